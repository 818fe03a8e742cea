"""A wall clock changed in mid-shift changes no duration in a report, and is mentioned."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from command_line import kiosk
from log_station import simulated, unsynced

from kiosk.log.facts import read_through
from kiosk.log.facts.derive import ready
from kiosk.log.facts.facts import Facts
from kiosk.log.facts.read import facts
from kiosk.log.facts.shifts import shifts
from kiosk.log.store.store import Store
from kiosk.report.period import Period, records
from kiosk.run.state.event import Event
from kiosk.run.state.events import Finished
from kiosk.words import Words

HOUR = 3600.0


@pytest.fixture(scope="module")
def events(tmp_path_factory: pytest.TempPathFactory) -> list[Event]:
    path = tmp_path_factory.mktemp("whole") / "station.sqlite3"
    simulated(path, 10, seed=2)
    with Store.read_only(path) as store:
        return [event for _, event in store.events()]


def read(path: Path, events: list[Event]) -> Facts:
    with unsynced(Store.open(path / "log.sqlite3", None)) as store:
        store.append(events)
        with store.reading():
            ready(store)
            return read_through(facts(store, shifts(store)))


def set_by(events: list[Event], seconds: float, *numbers: int) -> list[Event]:
    """Return the events with the wall clock moved by `seconds` at each of these numbers."""
    ahead, moved = 0.0, []
    for seq, event in enumerate(events, 1):
        ahead += seconds if seq in numbers else 0.0
        moved.append(replace(event, at=replace(event.at, wall=event.at.wall + ahead)))
    return moved


def rebooted(events: list[Event], seq: int, off: float) -> list[Event]:
    """Return the events with a new boot from number `seq`, and the wall clock `off` seconds on."""
    begins = events[seq - 1].at.clock
    return [
        event
        if nth < seq
        else replace(
            event,
            at=replace(
                event.at, boot="later", clock=event.at.clock - begins + 5, wall=event.at.wall + off
            ),
        )
        for nth, event in enumerate(events, 1)
    ]


def ordered(found: Facts) -> float:
    """Return the seconds of the only job."""
    (seconds,) = found.ordered_seconds.values()
    return seconds


def told(found: Facts) -> list[str]:
    return [Words().say(each) for each in records(Period((found,)))][1:]


@pytest.mark.parametrize("seconds", [-HOUR, -8 * HOUR, HOUR, 86_400.0])
def test_a_changed_wall_clock_changes_no_duration(
    events: list[Event], tmp_path: Path, seconds: float
) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    as_it_was = read(tmp_path / "a", events)
    moved = read(tmp_path / "b", set_by(events, seconds, 40))
    for name in ("ordered_seconds", "tallies", "cycles", "moves", "peels", "garments", "spoiled"):
        assert getattr(moved, name) == getattr(as_it_was, name)
    counted, again = ([s[:2] for s in each.samples] for each in (as_it_was, moved))
    assert again == counted  # in the order of the results, whatever the wall clock showed
    assert ordered(as_it_was) > 100.0
    assert told(as_it_was) == []


@pytest.mark.parametrize(
    ("seconds", "said"), [(-HOUR, "was set back 60 min"), (2 * HOUR, "was set forward 120 min")]
)
def test_a_jump_of_the_wall_clock_is_named(
    events: list[Event], tmp_path: Path, seconds: float, said: str
) -> None:
    (sentence,) = told(read(tmp_path, set_by(events, seconds, 40)))
    assert said in sentence
    assert "event 40" in sentence


def test_small_clock_corrections_are_not_mentioned(events: list[Event], tmp_path: Path) -> None:
    assert told(read(tmp_path, set_by(events, -2.0, 20, 40, 60))) == []


def test_time_off_between_two_boots_is_read_from_the_wall_clock(
    events: list[Event], tmp_path: Path
) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    as_it_was = ordered(read(tmp_path / "a", events))
    off = read(tmp_path / "b", rebooted(events, 40, 300.0))
    assert ordered(off) == pytest.approx(as_it_was + 300.0)
    assert told(off) == []


def test_a_clock_set_back_while_off_subtracts_no_time(events: list[Event], tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    as_it_was = ordered(read(tmp_path / "a", events))
    gap = events[39].at.clock - events[38].at.clock
    back = read(tmp_path / "b", rebooted(events, 40, -HOUR))
    assert ordered(back) == pytest.approx(as_it_was - gap)
    (sentence,) = told(back)
    assert "was set back" in sentence


@pytest.fixture
def at_a_bench(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Set another time zone than the tests': UTC-7, in POSIX notation."""
    monkeypatch.setenv("TZ", "UTC7")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


def sheet(path: Path, *options: str) -> str:
    said = kiosk("report", "--log", str(path / "log.sqlite3"), *options)
    assert (said.code, said.err) == (0, "")
    return said.out


@pytest.mark.usefixtures("at_a_bench")
def test_a_closing_sheet_mentions_a_changed_clock(events: list[Event], tmp_path: Path) -> None:
    """If the clock was set before the first or after the last result, the sheet's times agree."""
    ended = [seq for seq, event in enumerate(events, 1) if isinstance(event, Finished)]
    for name, at, is_told in (
        ("before", ended[0] - 2, False),
        ("between", ended[3], True),
        ("after", ended[-1] + 1, False),
    ):
        (tmp_path / name).mkdir()
        read(tmp_path / name, set_by(events, -HOUR, at))
        text = sheet(tmp_path / name, "--order", "ferry-order")
        assert ("the clock of log was set back 60 min" in text) is is_told, name


@pytest.mark.usefixtures("at_a_bench")
def test_sheets_and_cards_show_local_time_and_json_adds_the_offset(
    events: list[Event], tmp_path: Path
) -> None:
    read(tmp_path, events)
    wall = next(event.at.wall for event in events if isinstance(event, Finished))
    here = datetime.fromtimestamp(wall, timezone(timedelta(hours=-7))).strftime("%Y-%m-%d %H:%M")
    for option, value in (("--order", "ferry-order"), ("--garment", "ferry-order/01")):
        for text in (
            sheet(tmp_path, option, value),
            sheet(tmp_path, option, value, "--html", str(tmp_path / "a.html"))
            + (tmp_path / "a.html").read_text("utf-8"),
        ):
            assert here in text
            assert "-07:00" not in text
        assert f"{here}-07:00" in sheet(tmp_path, option, value, "--json")
