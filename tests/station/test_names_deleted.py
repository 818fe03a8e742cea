"""The names of a closed job are gone after 30 days, with a counted receipt."""

from __future__ import annotations

import csv
import io
import os
import shutil
from contextlib import chdir, redirect_stderr, redirect_stdout
from pathlib import Path

import pytest
from station_driver import Person, shorten
from station_harness import Bench
from test_flow_checks import JOB, shop, signed_on

from kiosk.__main__ import main
from kiosk.log.store.store import Store
from kiosk.run.state.event import Now
from kiosk.run.state.events_shift import NamesDeleted
from kiosk.station.demo.hands import WALL

DAY = 24 * 3600.0


def closed_job(bench: Bench, place: Path) -> None:
    """One garment pressed, its job put away."""
    shop(place)
    shorten(place, JOB, "1")
    person = signed_on(bench, place)
    person.begin("Orsavel")
    person.press_all()
    person.choose("Put the job away")
    person.close()


def later(bench: Bench, place: Path, days: float) -> Person:
    now = Now("a later boot", bench.now, WALL + bench.now + days * DAY)
    return Person(bench, place, now=now)


def test_names_are_deleted_at_the_first_start_after_30_days(bench: Bench, tmp_path: Path) -> None:
    closed_job(bench, tmp_path)
    roster = tmp_path / "jobs" / JOB / "roster.csv"
    before = roster.read_text("utf-8")
    person = later(bench, tmp_path, 29.9)
    person.close()
    assert roster.read_text("utf-8") == before
    person = later(bench, tmp_path, 30.1)
    assert f"1 name deleted from {JOB}" in " ".join(person.texts().split())
    person.close()
    (receipt,) = [e for e in person.events() if isinstance(e, NamesDeleted)]
    assert (receipt.job, receipt.count) == (JOB, 1)
    assert "name," not in roster.read_text("utf-8")
    later(bench, tmp_path, 60.0).close()
    assert sum(isinstance(e, NamesDeleted) for e in person.events()) == 1


def test_while_the_shared_folder_is_away_nothing_counts_as_deleted(
    bench: Bench, tmp_path: Path
) -> None:
    closed_job(bench, tmp_path)
    (tmp_path / "jobs").rename(tmp_path / "away")
    (tmp_path / "jobs").mkdir()
    later(bench, tmp_path, 31.0).close()
    (tmp_path / "jobs").rmdir()
    (tmp_path / "away").rename(tmp_path / "jobs")
    person = later(bench, tmp_path, 32.0)
    person.close()
    assert [e.count for e in person.events() if isinstance(e, NamesDeleted)] == [1]


def dispose(place: Path, *arguments: str) -> tuple[int, str, str]:
    """Run `kiosk dispose` in a shop's folder."""
    return kiosk(place, "dispose", "--log", str(place / "log.sqlite3"), *arguments)


def kiosk(place: Path, *arguments: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    with chdir(place), redirect_stdout(out), redirect_stderr(err):
        code = main(list(arguments))
    return code, out.getvalue(), err.getvalue()


@pytest.fixture
def after_31_days(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    """The command's clock: 31 days after the bench's."""
    moment = Now("a later boot", bench.now, WALL + bench.now + 31 * DAY)
    monkeypatch.setattr("kiosk.commands.log.now", lambda: moment)


def closed_long_ago(bench: Bench, place: Path) -> Path:
    """A job that was closed 31 days ago, by the clock of `after_31_days`; its folder."""
    closed_job(bench, place)
    return place / "jobs" / JOB


def receipts(place: Path) -> list[int]:
    with Store.read_only(place / "log.sqlite3") as store:
        made = [each.event for each in store.events()]
    return [event.count for event in made if isinstance(event, NamesDeleted)]


@pytest.mark.usefixtures("after_31_days")
def test_a_job_outside_of_the_jobs_folder_is_found_by_its_start_record(
    bench: Bench, tmp_path: Path
) -> None:
    roster = closed_long_ago(bench, tmp_path) / "roster.csv"
    code, out, err = dispose(tmp_path)  # here ./shared/jobs is not the station's folder of jobs
    assert (code, err) == (0, "")
    assert "1 name deleted" in out
    assert "name," not in roster.read_text("utf-8")
    assert receipts(tmp_path) == [1]


@pytest.mark.usefixtures("after_31_days")
def test_a_job_that_is_not_found_stays_due(bench: Bench, tmp_path: Path) -> None:
    folder = closed_long_ago(bench, tmp_path)
    away = folder.rename(folder.with_name("renamed"))
    for _ in range(2):
        code, _, err = dispose(tmp_path)
        assert code == 1
        assert f"not found: {folder}" in err
    assert receipts(tmp_path) == []
    away.rename(folder)
    assert dispose(tmp_path)[0] == 0
    assert receipts(tmp_path) == [1]


@pytest.mark.usefixtures("after_31_days")
def test_a_job_that_a_person_says_is_gone_is_due_no_more(bench: Bench, tmp_path: Path) -> None:
    folder = closed_long_ago(bench, tmp_path)
    kept = shutil.copytree(folder, tmp_path / "kept")
    shutil.rmtree(folder)
    assert dispose(tmp_path)[0] == 1
    assert dispose(tmp_path, "--gone", JOB)[0] == 0
    assert receipts(tmp_path) == [0]
    assert "name," in (kept / "roster.csv").read_text("utf-8")


@pytest.mark.usefixtures("after_31_days")
def test_what_is_said_to_be_gone_and_is_there_loses_its_names(bench: Bench, tmp_path: Path) -> None:
    closed_long_ago(bench, tmp_path)
    assert dispose(tmp_path, "--gone", JOB)[0] == 0
    assert receipts(tmp_path) == [1]


@pytest.mark.usefixtures("after_31_days")
def test_no_byte_that_the_program_wrote_keeps_a_name(bench: Bench, tmp_path: Path) -> None:
    folder = closed_long_ago(bench, tmp_path)
    with (folder / "roster.csv").open(encoding="utf-8", newline="") as file:
        names = {row["name"] for row in csv.DictReader(file)}
    assert names
    assert all(names)
    picks = ("plan", str(folder), "--names", "--picks", str(tmp_path / "picks.html"))
    assert kiosk(tmp_path, *picks)[0] == 0
    assert kiosk(tmp_path, "report", "--log", "log.sqlite3", "--html", "report.html")[0] == 0
    assert kiosk(tmp_path, "log", "--log", "log.sqlite3", "--backup", "copy.sqlite3")[0] == 0
    (tmp_path / ".picks.html.new").write_text("what a kill left of it", "utf-8")
    assert dispose(tmp_path)[0] == 0
    assert not list(tmp_path.glob("*picks*"))
    for path in (each for each in tmp_path.rglob("*") if each.is_file()):
        content = path.read_bytes()
        assert not [name for name in names if name.encode() in content], path


@pytest.mark.usefixtures("after_31_days")
def test_what_is_out_of_reach_is_named(bench: Bench, tmp_path: Path) -> None:
    folder = closed_long_ago(bench, tmp_path)
    os.link(folder / "roster.csv", tmp_path / "twin.csv")
    (folder / "roster (copy).csv").write_text("line,name\n", "utf-8")
    for name in ("moved", "changed", "stays"):
        picks = ("plan", str(folder), "--names", "--picks", str(tmp_path / f"{name}.html"))
        assert kiosk(tmp_path, *picks)[0] == 0
    (tmp_path / "moved.html").rename(tmp_path / "elsewhere.html")
    (tmp_path / "changed.html").write_text("somebody's", "utf-8")
    code, out, _ = dispose(tmp_path)
    assert code == 0
    for told in ("hard link", "roster (copy).csv", "moved.html", "changed.html", "Not deleted"):
        assert told in out
    assert "stays.html" not in out
    assert (tmp_path / "changed.html").read_text("utf-8") == "somebody's"


def test_the_command_deletes_them_too_but_not_under_a_running_station(
    bench: Bench, tmp_path: Path
) -> None:
    """The record's wall clock lies in the past of the machine that runs this test or not."""
    closed_job(bench, tmp_path)
    (tmp_path / "shared").mkdir()
    (tmp_path / "jobs").rename(tmp_path / "shared" / "jobs")
    code, out, _ = dispose(tmp_path)
    assert (code, out) == (0, "No job was closed 30 days ago: no name to delete.\n")
    (tmp_path / "shared" / "jobs").rename(tmp_path / "jobs")
    person = later(bench, tmp_path, 1.0)
    code, out, err = dispose(tmp_path)
    person.close()
    assert (code, out) == (1, "")
    assert err
