"""The names of a closed job are deleted after 30 days, with a counted receipt."""

from __future__ import annotations

import csv
import io
import os
import shutil
from contextlib import chdir, redirect_stderr, redirect_stdout
from pathlib import Path

import pytest
from ruled_shop import JOB, shop, signed_on
from station_driver import Person, shorten
from station_harness import Bench

from kiosk.__main__ import main
from kiosk.log.store.store import Store
from kiosk.run.state.event import Now
from kiosk.run.state.events_shift import NamesDeleted
from kiosk.station.demo.hands import WALL

DAY = 24 * 3600.0


@pytest.fixture(scope="module")
def closed(_bench: Bench, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Return a shop where one garment was pressed and its job put away, and a copy of it."""
    place = tmp_path_factory.mktemp("shop")
    shop(place)
    shorten(place, JOB, "1")
    _bench.resize(1280, 800)
    person = signed_on(_bench, place)
    person.begin("Orsavel")
    person.press_all()
    person.choose("Put the job away")
    person.close()
    return place, shutil.copytree(place, tmp_path_factory.mktemp("kept") / "shop")


@pytest.fixture
def place(closed: tuple[Path, Path]) -> Path:
    """The original shop, in the folder that its record names."""
    place, kept = closed
    shutil.rmtree(place)
    return shutil.copytree(kept, place)


def later(bench: Bench, place: Path, days: float) -> Person:
    now = Now("a later boot", bench.now, WALL + bench.now + days * DAY)
    return Person(bench, place, now=now)


def test_names_are_deleted_at_the_first_start_after_30_days(bench: Bench, place: Path) -> None:
    roster = place / "jobs" / JOB / "roster.csv"
    before = roster.read_text("utf-8")
    person = later(bench, place, 29.9)
    person.close()
    assert roster.read_text("utf-8") == before
    person = later(bench, place, 30.1)
    assert f"1 name deleted from {JOB}" in " ".join(person.texts().split())
    person.close()
    (receipt,) = [e for e in person.events() if isinstance(e, NamesDeleted)]
    assert (receipt.job, receipt.count) == (JOB, 1)
    assert "name," not in roster.read_text("utf-8")
    later(bench, place, 60.0).close()
    assert sum(isinstance(e, NamesDeleted) for e in person.events()) == 1


def test_nothing_counts_as_deleted_while_the_job_folder_is_missing(
    bench: Bench, place: Path
) -> None:
    (place / "jobs").rename(place / "away")
    (place / "jobs").mkdir()
    later(bench, place, 31.0).close()
    (place / "jobs").rmdir()
    (place / "away").rename(place / "jobs")
    person = later(bench, place, 32.0)
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
    """Set the command's clock to 31 days after the bench's."""
    moment = Now("a later boot", bench.now, WALL + bench.now + 31 * DAY)
    monkeypatch.setattr("kiosk.commands.log.now", lambda: moment)


def receipts(place: Path) -> list[int]:
    with Store.read_only(place / "log.sqlite3") as store:
        made = [each.event for each in store.events()]
    return [event.count for event in made if isinstance(event, NamesDeleted)]


@pytest.mark.usefixtures("after_31_days")
def test_a_job_outside_the_jobs_folder_is_found_by_its_start_event(place: Path) -> None:
    roster = place / "jobs" / JOB / "roster.csv"
    killed = place / "shared" / "jobs" / ".kova.77.making"  # by an order that was killed
    killed.mkdir(parents=True)
    os.utime(killed, (1e9, 1e9))
    code, out, err = dispose(place)  # here ./shared/jobs is not the station's jobs folder
    assert (code, err) == (0, "")
    assert "1 name deleted" in out
    assert "name," not in roster.read_text("utf-8")
    assert receipts(place) == [1]
    assert not killed.exists()


@pytest.mark.usefixtures("after_31_days")
def test_a_missing_job_stays_due(place: Path) -> None:
    folder = place / "jobs" / JOB
    away = folder.rename(folder.with_name("renamed"))
    for _ in range(2):
        code, _, err = dispose(place)
        assert code == 1
        assert f"not found: {folder}" in err
    assert receipts(place) == []
    away.rename(folder)
    assert dispose(place)[0] == 0
    assert receipts(place) == [1]


@pytest.mark.usefixtures("after_31_days")
def test_a_job_reported_gone_is_no_longer_due(place: Path) -> None:
    folder = place / "jobs" / JOB
    kept = shutil.copytree(folder, place / "kept")
    shutil.rmtree(folder)
    assert dispose(place)[0] == 1
    assert dispose(place, "--gone", JOB)[0] == 0
    assert receipts(place) == [0]
    assert "name," in (kept / "roster.csv").read_text("utf-8")


@pytest.mark.usefixtures("after_31_days")
def test_a_misspelt_job_after_gone_is_reported(place: Path) -> None:
    """Otherwise the operator would think the names settled, and be asked again for ever."""
    shutil.rmtree(place / "jobs" / JOB)
    code, _, err = dispose(place, "--gone", f"{JOB}-2")
    assert code == 1
    assert f"{JOB}-2: no job by this name is due" in err
    assert receipts(place) == []


@pytest.mark.usefixtures("after_31_days")
def test_a_job_reported_gone_but_still_there_loses_its_names(place: Path) -> None:
    assert dispose(place, "--gone", JOB)[0] == 0
    assert receipts(place) == [1]


@pytest.mark.usefixtures("after_31_days")
def test_no_file_the_program_wrote_keeps_a_name(place: Path) -> None:
    folder = place / "jobs" / JOB
    with (folder / "roster.csv").open(encoding="utf-8", newline="") as file:
        names = {row["name"] for row in csv.DictReader(file)}
    assert names
    assert all(names)
    picks = ("plan", str(folder), "--names", "--picks", str(place / "picks.html"))
    assert kiosk(place, *picks)[0] == 0
    assert kiosk(place, "report", "--log", "log.sqlite3", "--html", "report.html")[0] == 0
    assert kiosk(place, "log", "--log", "log.sqlite3", "--backup", "copy.sqlite3")[0] == 0
    (place / ".picks.html.new").write_text("what a kill left of it", "utf-8")
    assert dispose(place)[0] == 0
    assert not list(place.glob("*picks*"))
    for path in (each for each in place.rglob("*") if each.is_file()):
        content = path.read_bytes()
        assert not [name for name in names if name.encode() in content], path


@pytest.mark.usefixtures("after_31_days")
def test_copies_it_cannot_delete_are_listed(place: Path) -> None:
    folder = place / "jobs" / JOB
    os.link(folder / "roster.csv", place / "twin.csv")
    (folder / "roster (copy).csv").write_text("line,name\n", "utf-8")
    for name in ("moved", "changed", "stays"):
        picks = ("plan", str(folder), "--names", "--picks", str(place / f"{name}.html"))
        assert kiosk(place, *picks)[0] == 0
    (place / "moved.html").rename(place / "elsewhere.html")
    (place / "changed.html").write_text("somebody's", "utf-8")
    code, out, _ = dispose(place)
    assert code == 0
    for told in ("hard link", "roster (copy).csv", "moved.html", "changed.html", "Not deleted"):
        assert told in out
    assert "stays.html" not in out
    assert (place / "changed.html").read_text("utf-8") == "somebody's"


def test_the_command_refuses_to_run_beside_a_running_station(bench: Bench, place: Path) -> None:
    """It holds whether or not the record's wall clock is behind this machine's."""
    (place / "shared").mkdir()
    (place / "jobs").rename(place / "shared" / "jobs")
    code, out, _ = dispose(place)
    assert (code, out) == (0, "No job was closed 30 or more days ago: no names to delete.\n")
    (place / "shared" / "jobs").rename(place / "jobs")
    person = later(bench, place, 1.0)
    code, out, err = dispose(place)
    person.close()
    assert (code, out) == (1, "")
    assert err
