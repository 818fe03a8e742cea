"""The names of a closed job are gone after 30 days, with a counted receipt."""

from __future__ import annotations

import io
from contextlib import chdir, redirect_stderr, redirect_stdout
from pathlib import Path

from station_driver import Person, shorten
from station_harness import Bench
from test_flow_checks import JOB, shop, signed_on

from kiosk.__main__ import main
from kiosk.run.events_shift import NamesDeleted
from kiosk.run.model import Now
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


def dispose(place: Path) -> tuple[int, str, str]:
    """Run `kiosk dispose` in a shop's folder."""
    out, err = io.StringIO(), io.StringIO()
    with chdir(place), redirect_stdout(out), redirect_stderr(err):
        code = main(["dispose", "--log", str(place / "log.sqlite3")])
    return code, out.getvalue(), err.getvalue()


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
