"""At the real station: closings that never happened or had no tap, a platen to clear."""

from __future__ import annotations

from pathlib import Path

import pytest
from station_driver import Foot, Person, small
from station_harness import Bench

from kiosk.log.verify import verify
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.commands import Verb
from kiosk.run.state.event import Event
from kiosk.run.state.events import Closed, JobLeft, NeverClosed, TimeUp, ToldPressed
from kiosk.run.state.model import TimeSource
from kiosk.station.desk.sheet import PageKind

STACK = "raft-polo"  # two layers, tacked
PLAIN = "swim-school"  # one layer, peeled hot at the press
RACK = "ice-crew"


def said(person: Person) -> str:
    return " ".join(person.texts().split())


def stray(person: Person, closings: int) -> str:
    """Press forward without closing the press, until its time runs out; return the ticket."""
    person.to_heat(closings)
    ticket = person.view.ticket
    person.until_open()
    person.stage.pass_time(1.0)
    return ticket


def kinds(person: Person) -> list[type[Event]]:
    return [type(event) for event in person.events()]


def slot(person: Person) -> tuple[str, int, int]:
    job = person.station.shell.state.job
    assert job is not None
    ticket = job.tickets[job.slot]
    return ticket.id, ticket.step, ticket.finals


def test_back_one_asks_before_it_takes_back_a_stray_tack(bench: Bench, tmp_path: Path) -> None:
    person = small(bench, tmp_path, STACK)
    ticket = stray(person, 2)
    before = slot(person)
    person.side(right=False)
    assert person.station.desk.page is PageKind.WAS_CLOSED
    person.choose("It was closed")
    assert slot(person) == before  # nothing was taken back
    person.stage.pass_time(1.0)
    person.side(right=False)
    person.choose(f"{person.view.number}: press never closed")
    assert slot(person)[1] < before[1]
    assert person.view.bar.meaning is not None
    assert (person.view.bar.meaning.verb, person.view.ticket) == (Verb.CLOSE, ticket)
    assert kinds(person)[-3:] == [Closed, TimeUp, NeverClosed]
    person.press_all()
    person.close()
    assert verify(person.log).pressed_twice == 0


def test_a_stray_final_is_taken_back_on_hold_and_its_garment_returns(
    bench: Bench, tmp_path: Path
) -> None:
    person = small(bench, tmp_path, RACK)
    ticket = stray(person, 2)
    assert person.view.ticket != ticket  # the next one is up already
    job = person.station.shell.state.job
    assert job is not None
    number = job.tickets[ticket].garment.number
    person.side()
    assert person.view.kind is ScreenKind.HELD
    person.choose("Correct a closing", f"{number}: press never closed")
    assert slot(person)[0] == ticket
    assert slot(person)[2] == 0
    person.press_all()
    person.close()
    assert verify(person.log).pressed_twice == 0


def test_a_final_entered_by_hand_counts_with_its_seconds(bench: Bench, tmp_path: Path) -> None:
    person = small(bench, tmp_path, PLAIN, lines="1")
    person.to_heat(1)
    person.until_open()
    bench.pass_time(1.0)
    ticket, number = person.view.ticket, person.view.number
    person.side()
    person.choose("Correct a closing", f"{number} is already pressed", *"14")
    assert person.station.sheet is not None
    assert person.station.sheet.sheet.entry == "14 s"
    person.choose("Record this time")
    told = [event for event in person.events() if isinstance(event, ToldPressed)]
    assert [(each.ticket, each.heat_seconds) for each in told] == [(ticket, 14.0)]
    job = person.station.shell.state.job
    assert job is not None
    assert (job.tickets[ticket].finals, job.tickets[ticket].opened_seen) == (1, TimeSource.TOLD)
    assert person.view.inspecting
    assert "time entered by hand" in said(person)
    person.press_all()
    assert job.tickets.keys() == {ticket}


def test_a_closing_entered_with_no_seconds_or_too_many_is_not_recorded(
    bench: Bench, tmp_path: Path
) -> None:
    person = small(bench, tmp_path, PLAIN, lines="1")
    person.answer()
    person.side()
    number = person.view.number
    person.choose("Correct a closing", f"{number} is already pressed", "Record this time")
    assert person.station.desk.page is PageKind.SECONDS_BY_HAND
    person.choose(*"999", "Record this time")
    assert "Enter 1 to 600 seconds." in said(person)
    assert ToldPressed not in kinds(person)


def test_the_pedal_alone_takes_back_a_closing_and_enters_another(
    bench: Bench, tmp_path: Path
) -> None:
    foot = small(bench, tmp_path, PLAIN, lines="1", by=Foot)
    assert isinstance(foot, Foot)
    stray(foot, 2)
    number = foot.view.number
    foot.press_pedal(1.3)
    foot.choose(f"{number}: press never closed")
    assert kinds(foot)[-1] is NeverClosed
    foot.press_pedal(1.3)
    foot.choose(f"{number} is already pressed", *"14", "Record this time")
    assert ToldPressed in kinds(foot)
    assert foot.view.inspecting


# -- the platen ------------------------------------------------------------


@pytest.mark.parametrize(
    ("closings", "words"), [(1, "pre-pressed. Take it off"), (2, "tacked. Take it off flat")]
)
def test_putting_a_job_back_mid_garment_asks_to_clear_the_platen(
    closings: int, words: str, bench: Bench, tmp_path: Path
) -> None:
    person = small(bench, tmp_path, STACK)
    stray(person, closings)
    number = person.view.number
    person.side()
    person.choose("Put the job back")
    assert "Clear the platen first" in said(person)
    assert f"Number {number}: {words}" in said(person)
    assert JobLeft not in kinds(person)
    person.choose("The platen is clear")
    assert JobLeft in kinds(person)


def test_handing_over_shows_where_the_garment_leaving_the_press_goes(
    bench: Bench, tmp_path: Path
) -> None:
    person = small(bench, tmp_path, RACK)
    ticket = stray(person, 2)
    job = person.station.shell.state.job
    assert job is not None
    number = job.tickets[ticket].garment.number
    person.side()
    person.choose("hand over")
    assert f"Number {number}: flat on the rack, carrier on." in said(person)
    person.choose("The platen is clear")
    assert person.station.desk.page is PageKind.HAND_OVER


def test_an_empty_platen_is_not_asked_about(bench: Bench, tmp_path: Path) -> None:
    person = small(bench, tmp_path, PLAIN, lines="1")
    person.press_all()
    bench.pass_time(1.0)
    person.choose("Put the job away")
    assert JobLeft in kinds(person)
    assert person.station.desk.page is PageKind.JOBS
