"""The package for Android tablets: its specification agrees with the project.

Keys and values are those of buildozer 1.6's own default.spec and of python-for-android 2026.5.9's
`--orientation`; both tools read this file and find one set of recipes for it (tried by hand).
"""

from __future__ import annotations

import importlib.util
import re
import tomllib
from configparser import ConfigParser
from pathlib import Path
from types import ModuleType

import pytest
from packaging.requirements import Requirement
from packaging.specifiers import SpecifierSet

import kiosk
from kiosk.commands.first_shop import EXAMPLES, enter

ROOT = Path(__file__).resolve().parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))


def specification() -> dict[str, str]:
    read = ConfigParser(interpolation=None, allow_no_value=True)
    read.read_string((ROOT / "buildozer.spec").read_text("utf-8"))
    return dict(read["app"])


def listed(key: str) -> list[str]:
    return [each.strip() for each in specification()[key].split(",")]


def entry() -> ModuleType:
    spec = importlib.util.spec_from_file_location("android_main", ROOT / "main.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_package_requires_the_projects_dependencies_in_allowed_versions() -> None:
    named = dict(each.partition("==")[::2] for each in listed("requirements"))
    wanted = [Requirement(each) for each in PROJECT["project"]["dependencies"]]
    assert {each.name for each in wanted} <= named.keys()
    pinned = [each for each in wanted if named[each.name]]
    assert all(each.specifier.contains(named[each.name]) for each in pinned)
    assert "kivy" in {each.name for each in pinned}  # python-for-android builds it itself
    python = SpecifierSet(PROJECT["project"]["requires-python"])
    assert python.contains(named["python3"])
    assert named["hostpython3"] == named["python3"]


def test_the_screen_rotates_four_ways_and_names_stay_out_of_backups() -> None:
    assert set(listed("orientation")) == {
        "landscape", "portrait", "landscape-reverse", "portrait-reverse"
    }  # fmt: skip
    assert specification()["android.allow_backup"] == "False"
    assert set(listed("android.permissions")) == {"VIBRATE", "WAKE_LOCK"}


def test_the_package_has_the_version_and_every_kind_of_installed_file() -> None:
    app = specification()
    text = (ROOT / app["version.filename"].replace("%(source.dir)s/", "")).read_text("utf-8")
    found = re.search(app["version.regex"], text)
    assert found is not None
    assert found[1] == kiosk.__version__
    data = PROJECT["tool"]["setuptools"]["package-data"]["*"]
    suffixes = {each.rpartition(".")[2] for each in data}
    own = {f.suffix[1:] for each in EXAMPLES for f in (ROOT / each).rglob("*.*")}
    needed = (suffixes | own) - {"claimed", "md"}  # a claim and a page are not part of a shop
    assert needed <= set(listed("source.include_exts"))
    left_out = listed("source.exclude_dirs")
    assert not {"kiosk", "assets", *EXAMPLES} & set(left_out)


def test_the_first_start_makes_a_shop_and_the_next_leaves_it_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    shop, examples = tmp_path / "press-station", entry().HERE
    enter(shop, examples)
    assert Path.cwd() == shop
    policy = shop / "recipes" / "shop.yaml"
    assert policy.read_bytes() == (ROOT / "recipes" / "shop.yaml").read_bytes()
    policy.write_text("# my shop\n", "utf-8")
    (tmp_path / "press-station.new").mkdir()  # as an interrupted start leaves it
    enter(shop, examples)
    assert policy.read_text("utf-8") == "# my shop\n"
    assert {each.name for each in (shop / "shared" / "jobs").iterdir()} >= {"raft-polo"}
