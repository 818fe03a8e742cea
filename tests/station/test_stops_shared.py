"""Two stations: on one log, and on one job of a shared folder."""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from forks import ENVIRONMENT
from station_driver import PIN, ROOT, Person, lay_out, shorten
from station_harness import Bench

from kiosk.log.record.recorder import start
from kiosk.log.store.clock import now
from kiosk.run.facts.questions import ScreenKind
from kiosk.station.desk.jobs.claims import holder
from kiosk.station.desk.sheet import PageKind

JOB = "ice-crew"


def test_a_second_station_on_one_log_says_who_has_it_and_ends(tmp_path: Path) -> None:
    log = tmp_path / "log.sqlite3"
    recorder, _ = start(log, now())
    command = [sys.executable, "-m", "kiosk", "run", "--log", str(log)]
    second = subprocess.run(
        command, capture_output=True, text=True, cwd=ROOT, env=ENVIRONMENT, timeout=60, check=False
    )
    recorder.close()
    assert second.returncode == 1
    assert f"The record {log} is in use: process " in second.stderr
    assert "name another with --log" in second.stderr
    assert second.stdout == ""


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A shop with one short job."""
    lay_out(tmp_path, JOB)
    shorten(tmp_path, JOB, "123")
    return tmp_path


def test_a_share_that_is_down_is_reported_and_stops_no_start(shop: Path, bench: Bench) -> None:
    """A link too long to follow: like a dead mount, it never answers "not there"."""
    for part in ("recipes", "jobs"):
        shutil.rmtree(shop / part)
        (shop / part).symlink_to("x" * 300)
    person = Person(bench, shop)
    person.first_start()
    assert f"{shop / 'jobs'}: the folder cannot be read: its name is too long" in person.texts()
    person.choose("New order")
    person.close()


@pytest.fixture
def second(shop: Path, bench: Bench) -> Iterator[Person]:
    """A second station, at a job that the first began and left by a power cut."""
    first = Person(bench, shop, log="first")
    first.first_start()
    first.begin("Orsavel")
    first.close()
    bench.pass_time(60.0)
    person = Person(bench, shop, log="second")
    person.choose("New here", *"JB", "This is me", "Orsavel")
    yield person
    person.close()


def on(person: Person, page: PageKind) -> bool:
    return person.station.desk.page is page


def test_the_set_up_says_what_a_synced_folder_cannot_promise(second: Person) -> None:
    assert "only synced, two stations can start one job" in " ".join(second.texts().split())


def test_a_job_another_station_has_cannot_begin(second: Person) -> None:
    second.choose("Read the cautions")
    assert on(second, PageKind.SET_UP)
    assert "demo/first is working on this job. A supervisor can take it over." in second.texts()
    assert second.station.shell.state.job is None


def test_a_supervisor_takes_a_job_over_with_the_pin(second: Person, shop: Path) -> None:
    second.choose("take over", *"9999", "Enter")
    assert on(second, PageKind.PIN)
    second.choose(*PIN, "Enter")
    assert on(second, PageKind.WORK)
    claimed = holder(shop / "jobs" / JOB)
    assert claimed is not None
    assert claimed.station == "demo/second"


def test_a_job_put_back_is_free_for_others(second: Person, shop: Path) -> None:
    second.choose("take over", *PIN, "Enter")
    second.answer()
    second.side()
    assert second.view.kind is ScreenKind.HELD
    second.choose("Put the job back")
    assert holder(shop / "jobs" / JOB) is None


def test_a_folder_where_no_claim_can_be_written_is_reported(second: Person, shop: Path) -> None:
    folder = shop / "jobs" / JOB
    (folder / ".claimed").unlink()
    (folder / ".claimed").mkdir()  # nothing can be written there, even by root
    second.choose("back", "Orsavel", "take over", *PIN, "Enter")
    assert on(second, PageKind.SET_UP)
    assert "cannot be written" in second.texts()
