"""Clocks that jump, a machine that sleeps, a station that stops while the press is closed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from station_driver import Person, small
from station_harness import Bench
from stored import Stored, stored_from

from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.event import Event
from kiosk.run.state.events import Closed, OutcomeUnknown, TimeUp
from kiosk.run.state.events_station import WallClockMoved
from kiosk.run.state.model import TicketStage

HOUR = 3600.0


@pytest.fixture(scope="module")
def pre_pressed(_bench: Bench, tmp_path_factory: pytest.TempPathFactory) -> Stored:
    """A shop whose first garment has had its first closing."""
    _bench.resize(1280, 800)
    person = small(_bench, tmp_path_factory.mktemp("shop"), "swim-school")
    person.to_heat()
    person.until_open()
    return stored_from(person)


@pytest.fixture
def person(pre_pressed: Stored, bench: Bench, tmp_path: Path) -> Person:
    """A person whose first garment is under its final press."""
    person = pre_pressed.again(bench, tmp_path)
    person.to_heat()
    return person


def of_kind(events: tuple[Event, ...], kind: type[Event]) -> list[Event]:
    return [event for event in events if isinstance(event, kind)]


def the_closing(person: Person) -> Closed:
    return next(e for e in reversed(person.events()) if isinstance(e, Closed))


def stage_of(person: Person, ticket: str) -> TicketStage:
    job = person.station.shell.state.job
    assert job is not None
    return job.tickets[ticket].stage


@pytest.mark.parametrize("hours", [-1, 1])
def test_setting_the_wall_clock_changes_no_dwell(hours: int, person: Person) -> None:
    closed = the_closing(person)
    person.wall_moved += hours * HOUR
    person.until_open()
    moved = of_kind(person.events(), WallClockMoved)
    assert [round(e.seconds) for e in moved if isinstance(e, WallClockMoved)] == [hours * HOUR]
    time_up = of_kind(person.events(), TimeUp)[-1]
    assert isinstance(time_up, TimeUp)
    assert time_up.due == closed.at.clock + closed.starts_in + closed.dwell_seconds
    assert 0 <= time_up.at.clock - time_up.due < 0.3


@pytest.mark.parametrize("hours", [-1, 1])
def test_setting_the_wall_clock_while_hands_work_holds_nobody_up(
    hours: int, person: Person, bench: Bench
) -> None:
    """A tablet that finds its network: the bar was dead until something else was recorded."""
    person.until_open()
    person.answer()
    bench.pass_time(20.0)
    person.wall_moved += hours * HOUR
    bench.pass_time(5.0)
    before = len(person.events())
    person.bar()
    assert of_kind(person.events()[before:], WallClockMoved)
    assert len(person.events()) > before + 1


def test_after_the_machine_slept_the_outcome_is_unknown(person: Person, bench: Bench) -> None:
    """It woke long after the time was up: nobody knows when the press was opened."""
    ticket = the_closing(person).ticket
    person.slept += 300.0
    bench.pass_time(1.5)
    assert stage_of(person, ticket) is TicketStage.UNKNOWN
    assert len(of_kind(person.events(), OutcomeUnknown)) == 1
    assert "OPEN THE PRESS first" in person.texts()
    person.move_on()
    assert person.view.inspect_ticket == ticket
    assert person.view.bar.meaning is None  # nothing that could be pressed by habit
    person.choose("Good")
    assert stage_of(person, ticket) is TicketStage.GOOD


def test_a_short_sleep_before_the_time_is_up_changes_no_dwell(person: Person) -> None:
    closed = the_closing(person)
    person.slept += 4.0
    person.until_open()
    time_up = of_kind(person.events(), TimeUp)[-1]
    assert isinstance(time_up, TimeUp)
    assert time_up.due == closed.at.clock + closed.starts_in + closed.dwell_seconds
    assert not of_kind(person.events(), OutcomeUnknown)


def test_a_restart_before_the_deadline_continues_the_countdown(
    person: Person, bench: Bench
) -> None:
    closed = the_closing(person)
    bench.pass_time(2.0)
    person.restart(person.boot)
    again = person.view.countdown
    assert again is not None
    due = closed.at.clock + closed.starts_in + closed.dwell_seconds
    assert again.left == pytest.approx(due - person.now().clock)
    assert "open by hand at the tone" in person.texts()  # one instruction at a time
    assert "OPEN THE PRESS" not in person.texts()
    person.until_open()
    assert next(e for e in reversed(person.events()) if isinstance(e, TimeUp)).due == due


def late(person: Person) -> None:
    """Restart a minute later."""
    person.slept += 60.0
    person.restart(person.boot)


def rebooted(person: Person) -> None:
    """Restart at once, but after the machine was off."""
    person.restart("another boot")


@pytest.mark.parametrize("again", [late, rebooted])
def test_after_a_late_restart_the_garment_is_inspected(
    again: Callable[[Person], None], person: Person
) -> None:
    ticket = the_closing(person).ticket
    again(person)
    assert person.view.kind is ScreenKind.OPEN_FIRST
    assert "OPEN THE PRESS first" in person.texts()
    assert stage_of(person, ticket) is TicketStage.UNKNOWN
    person.move_on()
    assert person.view.inspect_ticket == ticket
    assert person.view.bar.meaning is None
    finals = len(of_kind(person.events(), Closed))
    person.choose("Good")
    assert stage_of(person, ticket) is TicketStage.GOOD
    assert len(of_kind(person.events(), Closed)) == finals  # never pressed a second time


def test_rack_times_after_a_reboot_are_uncertain(bench: Bench, tmp_path: Path) -> None:
    person = small(bench, tmp_path, "ice-crew")
    while not person.view.chips:
        person.move_on()
    assert not person.view.chips[0].uncertain
    person.restart("another boot")
    assert person.view.chips[0].uncertain


def test_a_restart_between_two_closings_continues_where_it_was(
    bench: Bench, tmp_path: Path
) -> None:
    person = small(bench, tmp_path, "swim-school")
    person.to_heat()
    person.until_open()
    before = person.view
    person.restart("another boot")
    assert (person.view.kind, person.view.ticket) == (ScreenKind.SETTING, before.ticket)
    person.enter_setting()
    after = person.view
    assert (after.kind, after.ticket, after.move) == (before.kind, before.ticket, before.move)
