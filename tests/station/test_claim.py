"""Which station holds a job: decided by its log's random id and contents, not by names."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from log_damage import no_file_grows_beyond

from kiosk.log.store.store import Store
from kiosk.run.state.event import Now
from kiosk.run.state.events_station import Held
from kiosk.station.desk.jobs.claims import (
    NAME,
    CannotClaim,
    Claimant,
    claim,
    holder,
    release,
    take_over,
)

WALL = 1.77e9


@pytest.fixture
def stack() -> Iterator[ExitStack]:
    with ExitStack() as stack:
        yield stack


@pytest.fixture
def job(tmp_path: Path) -> Path:
    folder = tmp_path / "jobs" / "lanterns"
    folder.mkdir(parents=True)
    return folder


def station(stack: ExitStack, path: Path, name: str = "tablet/station") -> Claimant:
    store = stack.enter_context(Store.open(path))
    happens(store, 1.0)
    return Claimant(name, store)


def happens(store: Store, clock: float) -> None:
    store.append([Held(Now(f"boot of {store.path}", clock, WALL + clock), "phone")])


def test_two_tablets_with_the_same_name_cannot_both_claim_a_job(
    stack: ExitStack, tmp_path: Path, job: Path
) -> None:
    one = station(stack, tmp_path / "one" / "station.sqlite3")
    other = station(stack, tmp_path / "other" / "station.sqlite3")
    assert one.owns(claim(job, one, WALL))
    assert not other.owns(claim(job, other, WALL))
    release(job, other)
    assert holder(job) is not None
    release(job, one)
    assert other.owns(claim(job, other, WALL))


def test_a_station_recognises_its_claim_after_a_rename_and_more_events(
    stack: ExitStack, tmp_path: Path, job: Path
) -> None:
    path = tmp_path / "one" / "station.sqlite3"
    with ExitStack() as first:
        before = station(first, path)
        claim(job, before, WALL)
        for clock in range(2, 9):
            happens(before.store, float(clock))
    path = path.rename(tmp_path / "renamed.sqlite3")
    after = station(stack, path, "another-host/renamed")
    assert after.owns(claim(job, after, WALL))


def test_a_copied_log_cannot_claim_the_originals_job_once_they_differ(
    stack: ExitStack, tmp_path: Path, job: Path
) -> None:
    """A cloned tablet: id and name are the same, later events differ."""
    path, clone = tmp_path / "station.sqlite3", tmp_path / "clone" / "station.sqlite3"
    with ExitStack() as first:
        station(first, path)
    clone.parent.mkdir()
    shutil.copy(path, clone)
    original, copy = station(stack, path), station(stack, clone)
    assert original.store.station == copy.store.station
    held = claim(job, original, WALL)
    assert original.owns(held)
    assert not copy.owns(claim(job, copy, WALL))
    assert copy.is_copied_from(held)
    assert not original.is_copied_from(held)
    release(job, copy)
    assert holder(job) == held


def test_a_supervisor_can_take_over_a_job_from_another_station(
    stack: ExitStack, tmp_path: Path, job: Path
) -> None:
    one = station(stack, tmp_path / "one.sqlite3")
    other = station(stack, tmp_path / "other.sqlite3", "tablet/other")
    claim(job, one, WALL)
    assert other.owns(take_over(job, other, WALL))
    assert not one.owns(claim(job, one, WALL))


@pytest.mark.parametrize(("name", "ours"), [("tablet/station", True), ("tablet/other", False)])
def test_a_claim_by_an_older_program_is_matched_by_name(
    stack: ExitStack, tmp_path: Path, job: Path, name: str, ours: bool
) -> None:
    (job / NAME).write_text(json.dumps({"station": name, "since": WALL}))
    assert (
        station(stack, tmp_path / "log").owns(claim(job, station(stack, tmp_path / "l2"), WALL))
        is ours
    )


def test_a_claim_cut_short_by_a_full_disk_is_ignored(
    stack: ExitStack, tmp_path: Path, job: Path
) -> None:
    one = station(stack, tmp_path / "log")
    with no_file_grows_beyond(8), pytest.raises(CannotClaim, match=r"^File too large$"):
        claim(job, one, WALL)
    assert holder(job) is None
    assert one.owns(claim(job, one, WALL))


@pytest.mark.parametrize("head", ["", "7", "x" * 100, "99999999:00000000", None, [], 7])
def test_a_claim_with_a_broken_digest_belongs_to_another_station(
    stack: ExitStack, tmp_path: Path, job: Path, head: object
) -> None:
    one = station(stack, tmp_path / "log")
    record = {"station": one.name, "since": WALL, "id": one.store.station, "head": head}
    (job / NAME).write_text(json.dumps(record))
    assert not one.owns(claim(job, one, WALL))
