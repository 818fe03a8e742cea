"""`kiosk run` and `kiosk demo` up to the opening of a window."""

from __future__ import annotations

import gc
from pathlib import Path

import pytest
from command_line import ROOT, kiosk, kiosk_here
from shop_folders import FILM, write_shop


@pytest.fixture(autouse=True)
def _with_a_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SDL_VIDEODRIVER", "offscreen")


def test_a_station_for_a_missing_job_exits_with_1(tmp_path: Path) -> None:
    _, *recipes = write_shop(tmp_path)
    result = kiosk("run", "nowhere-at-all", *recipes, "--log", str(tmp_path / "log.sqlite3"))
    assert result.code == 1
    assert "nowhere-at-all" in result.err
    assert not (tmp_path / "log.sqlite3").exists()
    assert gc.isenabled()  # no shop of a whole test run stays in memory


def test_a_station_refuses_a_log_file_of_another_kind(tmp_path: Path) -> None:
    _, *recipes = write_shop(tmp_path)
    other = tmp_path / "letter.txt"
    other.write_text("Dear shop,\n" * 100, "utf-8")
    result = kiosk("run", *recipes, "--log", str(other))
    assert result.code == 1
    assert "letter.txt" in result.err
    assert other.read_text("utf-8").startswith("Dear shop")


def test_a_demo_with_faulty_recipes_exits_with_1(tmp_path: Path) -> None:
    _, *recipes = write_shop(tmp_path, materials={"film": {**FILM, "surface": "shiny"}})
    result = kiosk("demo", *recipes)
    assert result.code == 1
    assert "shiny" in result.err


def test_a_demo_with_unwritable_pictures_exits_with_1(tmp_path: Path) -> None:
    _, *recipes = write_shop(tmp_path)
    file = tmp_path / "file"
    file.write_text("", "utf-8")
    result = kiosk("demo", *recipes, "--shots", str(file / "shots"))
    assert result.code == 1
    assert "cannot be written" in result.err


def test_a_demo_in_a_shop_of_its_own_says_which_files_it_plays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_shop(tmp_path)
    (tmp_path / "shared").mkdir()
    (tmp_path / "jobs").rename(tmp_path / "shared" / "jobs")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    result = kiosk_here("demo")
    assert (result.code, result.err.count("\n")) == (1, 1)
    assert "recipes and jobs that came with this program" in result.err
