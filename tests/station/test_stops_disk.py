"""A disk that is full: the clock runs on, the glass says NOT RECORDED, nothing is lost."""

from __future__ import annotations

import resource
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from station_driver import Person, small
from station_harness import Bench

from kiosk.log.verify import verify
from kiosk.run.facts.questions import Kind
from kiosk.run.state.events import Closed, Finished, TimeUp

FULL = "NOT RECORDED"


@contextmanager
def full_disk() -> Iterator[None]:
    """No file of this process grows any more: the log's comes to an end at once."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def under_heat(person: Person) -> bool:
    return person.view.kind is Kind.HEAT


def to_the_final(bench: Bench, place: Path) -> Person:
    """Somebody whose next closing is the first garment's final."""
    person = small(bench, place, "swim-school")
    person.to_heat()
    person.until_open()
    bench.pass_time(person.works())
    return person


def test_a_garment_in_hand_is_finished_and_no_new_one_begins(bench: Bench, tmp_path: Path) -> None:
    person = to_the_final(bench, tmp_path)
    recorded = person.station.shell.recorder.last
    with full_disk():
        person.move_on()
        assert under_heat(person)  # the press is closed, whatever the disk says
        assert "NOT RECORDED: 1 event, the disk reports a fault. No new" in person.texts()
        person.until_open()
        assert FULL in person.texts()
        while person.view.nth == 1:
            person.move_on()
        person.answer()
        queued = person.station.shell.recorder.unrecorded
        assert queued >= 3
        person.forward()  # load and close the next one
        assert not under_heat(person)
        assert "start no new one" in person.texts()
        assert person.station.shell.recorder.unrecorded == queued
        assert person.events()[-1:] == person.events()[recorded - 1 :]  # none of it on disk
    bench.pass_time(3.0)
    assert FULL not in person.texts()
    written = person.events()[recorded:]
    assert [type(e) for e in written if isinstance(e, Closed | TimeUp | Finished)] == [
        Closed,
        TimeUp,
        Finished,
    ]
    person.move_on()
    assert under_heat(person)
    person.close()
    assert verify(person.log).ok


def test_what_was_not_recorded_is_written_in_its_order(bench: Bench, tmp_path: Path) -> None:
    person = to_the_final(bench, tmp_path)
    with full_disk():
        person.move_on()
        person.until_open()
    bench.pass_time(3.0)
    closed, time_up = [e for e in person.events() if isinstance(e, Closed | TimeUp)][-2:]
    assert isinstance(closed, Closed)
    assert isinstance(time_up, TimeUp)
    assert closed.at.clock < time_up.at.clock  # each has its own moment
    assert time_up.due == closed.at.clock + closed.starts_in + closed.dwell_seconds
