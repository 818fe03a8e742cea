"""The Debian package's contents, laid out as on a tablet, without its wheels."""

from __future__ import annotations

import os
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from kiosk.begin import HOME, STATION_EXTRA, control, lay_out, requirements

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def tree(tmp_path_factory: pytest.TempPathFactory) -> Path:
    package = tmp_path_factory.mktemp("package")
    lay_out(package, control("amd64", ["libegl1"]))
    return package


def test_the_packed_program_reads_the_packed_shop(tree: Path) -> None:
    home = tree / HOME
    done = subprocess.run(
        [sys.executable, "-m", "kiosk", "check"],
        cwd=home / "shop",
        env={**os.environ, "PYTHONPATH": str(home / "app")},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    jobs = list((home / "shop" / "shared" / "jobs").glob("*/job.yaml"))
    assert f"jobs: {len(jobs)}" in done.stdout
    assert jobs


def test_all_fonts_faces_tones_and_sentences_are_packed(tree: Path) -> None:
    packed = tree / HOME / "app" / "assets"
    ours = Path(__file__).resolve().parents[2] / "assets"
    for folder in ("fonts", "faces", "tones", "locale"):
        every = [path for path in (ours / folder).rglob("*") if path.is_file()]
        files = [p for p in every if p.suffix != ".py" and "__pycache__" not in p.parts]
        assert files
        for path in files:
            assert (packed / path.relative_to(ours)).read_bytes() == path.read_bytes()


def test_the_scripts_are_valid_shell_and_executable(tree: Path) -> None:
    for script in ("usr/bin/kiosk", "usr/bin/press-station", "DEBIAN/postinst", "DEBIAN/prerm"):
        assert os.access(tree / script, os.X_OK)
        subprocess.run(["sh", "-n", str(tree / script)], check=True)


def test_the_control_file_requires_the_python_of_its_wheels(tree: Path) -> None:
    control = (tree / "DEBIAN" / "control").read_text("utf-8")
    minor = sys.version_info.minor
    assert f"python3 (>= 3.{minor}), python3 (<< 3.{minor + 1})" in control
    assert "libegl1" in control
    assert any(each.startswith("kivy") for each in requirements())


def test_every_library_that_a_command_needs_is_packed() -> None:
    """A tablet installed without a network also sends to the shop's server (docs/shop.md)."""
    named = {each.split(">")[0] for each in requirements()}
    assert {"openpyxl", "matplotlib", "psycopg[binary]", "starlette", "uvicorn"} <= named
    assert "pytest" not in named


def test_a_stations_set_up_installs_the_workbook_reader() -> None:
    parts = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    installed = parts["optional-dependencies"][STATION_EXTRA.strip("[]")]
    assert any(each.startswith("openpyxl") for each in installed)


def test_the_voice_is_recommended_and_licences_are_where_debian_expects_them(tree: Path) -> None:
    assert "Recommends: espeak-ng\n" in (tree / "DEBIAN" / "control").read_text("utf-8")
    licences = (tree / "usr/share/doc/press-station-kiosk/copyright").read_text("utf-8")
    assert "License: MIT" in licences
    licence = (Path(__file__).resolve().parents[2] / "LICENSE").read_text("utf-8")
    for line in filter(None, licence.splitlines()[4:]):
        assert line in licences
    fonts = tree / HOME / "app" / "assets" / "fonts"
    granted = {
        "b612": ("OFL.txt", "SIL OPEN FONT LICENSE Version 1.1"),
        "dejavu": ("LICENSE.txt", "Permission is hereby granted, free of charge"),
    }
    assert {folder.name for folder in fonts.iterdir()} == granted.keys()
    for name, (file, words) in granted.items():
        assert words in (fonts / name / file).read_text("utf-8")
        assert f"app/assets/fonts/{name}/*" in licences


ENTERING = """
import os
import sys
from kiosk.commands.arguments import parse
from kiosk.commands.first_shop import enter
enter(*parse(sys.argv[1:]).shop)
print(*os.listdir("recipes"))
"""
"""What `kiosk run --shop` does before it opens a window."""


def test_the_first_start_makes_a_shop_and_the_second_keeps_it(tree: Path, tmp_path: Path) -> None:
    shipped = (tree / "usr/bin/press-station").read_text("utf-8")
    script = tmp_path / "press-station"
    entering = tmp_path / "entering.py"
    entering.write_text(ENTERING)
    script.write_text(
        shipped.replace("/opt/press-station-kiosk", str(tree / HOME)).replace(
            "/usr/bin/kiosk", f"{sys.executable} {entering}"
        )
    )
    shop = tmp_path / "wall"
    (tmp_path / "wall.new" / "recipes").mkdir(parents=True)  # of a start that a full disk ended
    first = _shop(script, shop)
    (shop / "recipes" / "ours.yaml").write_text("title: Ours\n")
    assert "materials.yaml" in first
    assert {each.name for each in shop.iterdir()} == {"recipes", "shared"}
    assert "ours.yaml" in _shop(script, shop)


def _shop(script: Path, shop: Path) -> str:
    environment = {**os.environ, "PRESS_STATION_SHOP": str(shop), "PYTHONPATH": str(ROOT)}
    return subprocess.run(
        ["sh", str(script)], env=environment, check=True, capture_output=True, text=True
    ).stdout
