"""A full disk: the clock runs on, the screen says NOT RECORDED, nothing is lost."""

from __future__ import annotations

import resource
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from station_driver import PIN, Person, small
from station_harness import Bench
from station_screen import PANELS
from station_tree import walk

from kiosk.catalog.base.notes import say
from kiosk.log.verify import verify
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.events import Closed, Finished, TimeUp
from kiosk.station.desk.sheet import Sheet, TablePicture
from kiosk.station.glass.boxes import Scale
from kiosk.station.glass.screens.sheet_page import SheetPage
from kiosk.station.glass.widgets.text import Text
from kiosk.words import Words

FULL = "NOT RECORDED"
BLOCKED = "Not recorded: no new garment yet"


@contextmanager
def full_disk() -> Iterator[None]:
    """Keep any file of this process from growing, so that the log is full at once."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def under_heat(person: Person) -> bool:
    return person.view.kind is ScreenKind.HEAT


def to_the_final(bench: Bench, place: Path) -> Person:
    """Return a person whose next closing is the first garment's final."""
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
        assert under_heat(person)  # the press is closed, whatever the disk reports
        assert "NOT RECORDED: 1 event, the disk reports a fault. No new" in person.texts()
        person.until_open()
        assert FULL in person.texts()
        while person.view.nth == 1:
            person.move_on()
        person.answer()
        queued = person.station.shell.recorder.unrecorded
        assert queued >= 3
        assert BLOCKED in person.texts()
        assert "close" not in person.view.bar.label.id
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


def test_the_bar_says_what_a_tap_does_until_the_record_is_written_again(
    bench: Bench, tmp_path: Path
) -> None:
    person = to_the_final(bench, tmp_path)
    with full_disk():
        person.move_on()
        person.until_open()
        assert BLOCKED not in person.texts()  # the garment in hand is finished
        while person.view.nth == 1:
            person.move_on()
        person.answer()
        bench.pass_time(1.0)
        texts = person.texts()
        assert BLOCKED in texts
        assert "goes on by itself once it is written" in texts
    while person.view.bar.meaning is None:
        bench.frames()
    assert BLOCKED not in person.texts()
    person.press()  # too soon to have read that this closes the press
    assert not under_heat(person)
    bench.pass_time(person.works())
    person.press()
    assert under_heat(person)
    person.close()


def test_unrecorded_events_are_written_in_order(bench: Bench, tmp_path: Path) -> None:
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


@contextmanager
def held(log: Path) -> Iterator[None]:
    """Have another program hold the record's write lock throughout."""
    with closing(sqlite3.connect(log, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        yield


def asks_to_leave(person: Person) -> None:
    person.side()
    person.choose("Supervisor", *PIN, "Enter", "Leave the kiosk")


def test_leaving_with_a_full_disk_lists_what_is_lost_and_can_be_retried(
    bench: Bench, tmp_path: Path
) -> None:
    """Nothing is lost silently: ../shared/design.md section 8."""
    person = to_the_final(bench, tmp_path)
    with full_disk():
        person.move_on()
        person.until_open()
        while person.view.nth == 1:
            person.move_on()
        asks_to_leave(person)
        assert not person.has_left
        said = person.texts()
        assert "not in the record: the disk" in said
        assert "Write this down" in said
        assert "final press" in said
        assert "good" in said
        person.choose("Try again")
        assert not person.has_left
    person.choose("Try again")
    assert person.has_left
    assert person.station.shell.recorder.unrecorded == 0
    person.close()


def test_without_a_garments_result_nothing_has_to_be_written_down(
    bench: Bench, tmp_path: Path
) -> None:
    """A table of only "and 1 more event" told nobody what to write."""
    person = to_the_final(bench, tmp_path)
    while person.view.nth == 1:
        person.move_on()
    with full_disk():
        asks_to_leave(person)
        said = person.texts()
        assert "No other place takes it either" in said
        assert "It holds no heat and no garment's result" in said
        assert "Write this down" not in said
        assert "more event" not in said
    person.close()


@pytest.mark.parametrize("panel", PANELS)
def test_lines_above_a_short_table_keep_their_full_size(bench: Bench, panel: str) -> None:
    """The instructions had half their height, above an empty half page."""
    wide, high, inches = PANELS[panel]
    bench.resize(wide, high)
    words = Words("en")
    lines = (words("leave.no_place"), words("leave.write_down"))
    why = words("leave.not_recorded", count=3, why=say("log.why.disk"))
    row = ("08:30:10", "27", "final press")
    table = TablePicture(("time", "garment", "what happened"), (row, row, row))
    sheet = Sheet("Leave the kiosk?", headline=why, lines=lines, picture=table)
    scale = Scale((wide, high), inches)
    page = SheetPage(sheet, (wide, high), scale, "more", lambda: 0.0, lambda: None, "PRACTICE")
    shown = [each for each in walk(page) if isinstance(each, Text) and each.text in lines]
    assert len(shown) == 2
    assert min(each.fitted.share for each in shown) == 1.0
    assert any("final press" in each.text for each in walk(page) if isinstance(each, Text))


def test_events_saved_elsewhere_are_in_the_record_after_the_next_start(
    bench: Bench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place, elsewhere = tmp_path / "shop", tmp_path / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(elsewhere))
    person = to_the_final(bench, place)
    with held(person.log):
        person.move_on()
        person.until_open()
        while person.view.nth == 1:
            person.move_on()
        asks_to_leave(person)
        said = person.texts().replace("\n", " ")
        assert "kept in" in said
        assert "next start" in said
        person.choose("Leave the kiosk")
        assert person.has_left
        (kept,) = elsewhere.iterdir()
        pressed = sum(isinstance(event, Closed) for event in person.events())
        person.close()
    assert kept.exists()
    person.station = person._open()
    told = person.station.shell.recorder.taken_up
    assert told is not None
    assert "could not be written when the station was left" in Words().say(told)
    assert sum(isinstance(event, Closed) for event in person.events()) == pressed + 1
    assert not list(elsewhere.iterdir())
    person.close()
    assert verify(person.log).ok
