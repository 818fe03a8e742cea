"""Pages name recipes, materials and fabrics by title; other programs get their keys."""

from __future__ import annotations

import json
import re
from contextlib import redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path

import pytest

from kiosk.__main__ import main
from kiosk.catalog.read import read_catalog

ROOT = Path(__file__).resolve().parents[2]
JOBS = ("raft-polo", "ferry-relay")


def said(*asked: str) -> str:
    out = StringIO()
    with redirect_stdout(out), redirect_stderr(out):
        assert main([*asked]) == 0, out.getvalue()
    return out.getvalue()


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two jobs of the demo shop, pressed by the made-up operator, with slips and scrap."""
    path = tmp_path_factory.mktemp("titles") / "log.sqlite3"
    for job in JOBS:
        said("simulate", str(ROOT / "shared" / "jobs" / job), "--recipes", str(ROOT / "recipes"),
             "--log", str(path), "--seed", "4")  # fmt: skip
    return path


def keys() -> set[str]:
    """Return every key of the shop that has a title of its own."""
    shop, faults = read_catalog(ROOT / "recipes")
    assert shop is not None, faults
    return {k for each in (shop.materials, shop.fabrics, shop.recipes) for k in each if "-" in k}


def found_in(text: str) -> set[str]:
    return {key for key in keys() if re.search(rf"(?<![\w-]){key}(?![\w-])", text)}


@pytest.mark.parametrize(
    "asked", [("--shift", "all"), ("--garment", "raft-polo/27"), ("--order", "ferry-relay")]
)
def test_no_page_shows_a_key_that_has_a_title(
    log: Path, tmp_path: Path, asked: tuple[str, ...]
) -> None:
    page, told = tmp_path / "page.html", said("report", "--log", str(log), *asked)
    said("report", "--log", str(log), *asked, "--html", str(page))
    assert found_in(told) == set()
    assert found_in(page.read_text("utf-8")) == set()


def test_the_json_still_uses_keys(log: Path) -> None:
    told = json.loads(said("report", "--log", str(log), "--shift", "all", "--json"))
    assert {each["recipe"] for each in told["cycles"]} == {"two-layer-pair", "hot-name-cold-number"}
    assert "smooth-film" in told["materials"]
    assert {each["material"] for each in told["spoiled"]} <= keys()


def test_a_plan_starts_with_the_titles_of_recipe_and_fabric() -> None:
    plan = said("plan", str(ROOT / "shared" / "jobs" / "raft-polo"), "--recipes",
                str(ROOT / "recipes"))  # fmt: skip
    assert found_in("\n".join(plan.splitlines()[:3])) == set()
