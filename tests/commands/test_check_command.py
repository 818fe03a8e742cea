"""`kiosk check` reports every fault."""

from __future__ import annotations

import shutil
from contextlib import chdir
from pathlib import Path

import pytest
from command_line import ROOT, kiosk, kiosk_here, process
from shop_folders import FILM, KNIT, write_shop


def test_a_clean_shop_exits_with_0(tmp_path: Path) -> None:
    result = kiosk("check", *write_shop(tmp_path))
    assert (result.code, result.err) == (0, "")
    assert result.out.splitlines() == [
        "guess: knit, press-one",
        "shop trial, not dated: film",
        "No faults. Recipes read: 1, jobs: 1. To see whether a job can be pressed: kiosk plan JOB",
    ]


def test_a_gap_in_a_sheets_bands_is_reported_but_no_fault(tmp_path: Path) -> None:
    seconds = {"low": "10 s", "high": "15 s", "normal": "15 s"}
    ends = (("260 F", "279 F"), ("290 F", "300 F"))
    bands = [{"from": low, "to": high, **seconds} for low, high in ends]
    result = kiosk("check", *write_shop(tmp_path, materials={"film": {**FILM, "dwell": bands}}))
    assert (result.code, result.err) == (0, "")
    assert "film.dwell: 280 F to 289 F is left out, so nothing is pressed there." in result.out


def test_the_projects_own_files_are_clean() -> None:
    result = process("check")
    assert (result.code, result.err) == (0, "")


def test_every_fault_of_every_file_is_printed(tmp_path: Path) -> None:
    job = write_shop(
        tmp_path,
        materials={"film": {**FILM, "surface": "shiny"}},
        fabrics={"knit": {**KNIT, "pre_press": "5"}},
        roster="line,size,name,number\n1,AQ,KOVA,31\n2,AL,OKORO,\n",
    )
    result = kiosk("check", *job)
    assert result.code == 1
    for found in ("materials.yaml", "shiny", "fabrics.yaml", "pre_press", "roster.csv:2", "AQ"):
        assert found in result.err
    assert result.err.count("\n") >= 4


def test_a_roster_question_exits_with_1_and_hides_the_name(tmp_path: Path) -> None:
    roster = "line,size,name,number\n1,AL,K0VA 7,31\n"
    result = kiosk("check", *write_shop(tmp_path, roster=roster))
    assert result.code == 1
    assert "roster.csv:2" in result.err
    assert "K0VA" not in result.err


def test_a_name_with_an_apostrophe_is_asked_about_without_showing_it(tmp_path: Path) -> None:
    roster = "line,size,name,number\n1,AL,'KOVA,31\n2,AL,FENN,'07\n"
    result = kiosk("check", *write_shop(tmp_path, roster=roster))
    assert result.code == 1
    assert result.err.count("the spreadsheet's mark for text") == 2
    assert 'did you mean "07"' in result.err
    assert "KOVA" not in result.err


def test_the_season_decides_which_numbers_are_asked_about(tmp_path: Path) -> None:
    """US college basketball: 37 numbers until 2022-23, all of 0 to 99 from 2023-24 (read)."""
    roster = "line,size,name,number\n1,AL,KOVA,16\n2,AL,FENN,55\n"
    job, *recipes = write_shop(tmp_path, roster=roster)
    shutil.copy(ROOT / "recipes" / "codes.yaml", Path(recipes[1]) / "codes.yaml")
    file = Path(job) / "job.yaml"
    plain = file.read_text("utf-8")
    results = {}
    for season in ("2022-23", "2023-24", ""):
        season_line = f"season: {season}\n" if season else ""
        file.write_text(f"{plain}code: basketball-college\n{season_line}", "utf-8")
        results[season] = kiosk("check", job, *recipes)
    assert results["2022-23"].code == 1
    assert 'found "16"' in results["2022-23"].err
    assert "roster.csv:2" in results["2022-23"].err
    assert "US college basketball does not have this number" in results["2022-23"].err
    assert '"55"' not in results["2022-23"].err
    assert results["2023-24"].code == 0
    assert "which season is the order for?" in results[""].err


def test_a_question_does_not_stop_a_plan(tmp_path: Path) -> None:
    roster = "line,size,name,number\n1,AL,KOVA,31\n2,AL,OKORO,31\n"
    result = kiosk("plan", *write_shop(tmp_path, roster=roster))
    assert result.code == 0
    assert "roster.csv:3" in result.err


def test_a_folder_of_jobs_is_checked_job_by_job(tmp_path: Path) -> None:
    job, *recipes = write_shop(tmp_path)
    second = tmp_path / "jobs" / "second"
    second.mkdir()
    (second / "job.yaml").write_text("title: Nothing\n", "utf-8")
    result = kiosk("check", str(Path(job).parent), *recipes)
    assert result.code == 1
    assert "second" in result.err


def test_a_shared_folder_is_searched_for_jobs(tmp_path: Path) -> None:
    job, *recipes = write_shop(tmp_path / "shared" / "2026")
    (Path(job) / "roster.csv").write_text("line,size,name,number\n1,AQ,KOVA,31\n", "utf-8")
    result = kiosk("check", str(tmp_path / "shared"), *recipes)
    assert result.code == 1
    assert "ferry" in result.err
    assert "AQ" in result.err
    assert kiosk("check", "shared").code == 0
    empty = tmp_path / "empty"
    empty.mkdir()
    assert kiosk("check", str(empty), *recipes).code == 1


def test_a_recipes_folder_among_the_paths_replaces_the_default(tmp_path: Path) -> None:
    job, _, recipes = write_shop(tmp_path)
    assert (
        kiosk("check", recipes, job)
        .out.splitlines()[-1]
        .startswith("No faults. Recipes read: 1, jobs: 1.")
    )
    assert kiosk("check", str(Path(recipes) / "one.yaml")).code == 0


def test_a_missing_path_is_a_fault(tmp_path: Path) -> None:
    _, *recipes = write_shop(tmp_path)
    result = kiosk("check", str(tmp_path / "nowhere"), *recipes)
    assert result.code == 1
    assert "nowhere" in result.err


def test_a_missing_path_at_the_root_is_reported_as_missing(tmp_path: Path) -> None:
    _, *recipes = write_shop(tmp_path)
    result = kiosk("check", "/no-such-job", *recipes)
    assert (result.code, result.err) == (1, "/no-such-job: no such file\n")


def test_a_missing_recipes_folder_is_a_fault(tmp_path: Path) -> None:
    result = kiosk("check", "--recipes", str(tmp_path / "none"))
    assert result.code == 1
    assert "none" in result.err


LONG = "x" * 300  # too long for a name: the system refuses to look, as in a closed folder


@pytest.mark.parametrize(
    "command",
    [
        ("check", f"{LONG}/a"),
        ("check", "--recipes", LONG),
        ("plan", "ferry", "--recipes", LONG),
        ("plan", f"{LONG}/a"),
        ("material", "Fresh film", "--recipes", LONG),
        ("log", "--log", LONG),
        ("report", "--log", LONG),
        ("dispose", "--log", LONG),
    ],
)
def test_an_inaccessible_path_is_named(command: tuple[str, ...]) -> None:
    result = kiosk(*command)
    assert result.code == 1
    assert LONG[:50] in result.err


def test_unreadable_jobs_and_folders_are_reported(tmp_path: Path) -> None:
    """A link to such a name simulates a folder without read permission: tests may run as root."""
    why = "its name is too long"
    write_shop(tmp_path)
    closed = tmp_path / "shared" / "jobs" / "closed"
    closed.mkdir(parents=True)
    (closed / "job.yaml").symlink_to(LONG)
    with chdir(tmp_path):
        result = kiosk_here("check")
        assert result.code == 1
        assert f"shared/jobs/closed/job.yaml: the file cannot be read: {why}" in result.err
        assert "cannot be read" in kiosk_here("plan", "closed").err
        (closed / "job.yaml").unlink()
        (closed / "job.yaml").symlink_to("nowhere")
        result = kiosk_here("check")
        assert (result.code, result.err) == (1, "shared/jobs/closed/job.yaml: no such file\n")
        shutil.rmtree("shared")
        Path("shared").symlink_to(LONG)
        result = kiosk_here("check")
        assert (result.code, result.err) == (1, f"shared/jobs: the folder cannot be read: {why}\n")
        assert kiosk_here("plan", "closed") == result
        Path("shared").unlink()
        Path("recipes", "codes.yaml").symlink_to(LONG)
        result = kiosk_here("check")
        assert (result.code, result.err) == (1, f"recipes: the folder cannot be read: {why}\n")


@pytest.mark.parametrize("command", ["log", "report", "dispose", "simulate raft-polo"])
@pytest.mark.parametrize("folder", [".", "/"])
def test_a_folder_is_not_accepted_as_a_record(command: str, folder: str) -> None:
    result = kiosk(*command.split(), "--log", folder)
    assert result.code == 1
    assert "is not a file" in result.err or "There is no record" in result.err
