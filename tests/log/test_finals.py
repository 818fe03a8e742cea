"""Finals counted from the events alone."""

from __future__ import annotations

from log_samples import at, beginning, garments, plan

from kiosk.log.rescue.walk import FinalCounter
from kiosk.run.facts.tickets import first_tickets
from kiosk.run.state.event import Event
from kiosk.run.state.events import Closed, JobStarted, JobTaken, NotClosed
from kiosk.run.state.events_shift import RepressAllowed
from kiosk.run.state.model import TimeSource

PRE_PRESS, FINAL = 1, 4


def closing(step: int = FINAL, ticket: str = "1/1/1") -> Closed:
    return Closed(at(10.0), ticket, 0, step, 12.0, 1.0, TimeSource.DECLARED)


def allowed() -> RepressAllowed:
    return RepressAllowed(at(11.0), "1/1/1", "WX", "edge lifted")


def unasked(*events: Event) -> int:
    finals = FinalCounter()
    for event in (*beginning(), *events):
        finals.note(event)
    return len(finals.unasked)


def test_one_final_is_not_too_many() -> None:
    assert unasked(closing(PRE_PRESS), closing()) == 0


def test_a_second_final_is_one_too_many() -> None:
    assert unasked(closing(), closing()) == 1


def test_a_ticket_counts_once_however_often_it_was_pressed() -> None:
    assert unasked(closing(), closing(), closing()) == 1


def test_a_final_reported_as_not_closed_does_not_count() -> None:
    assert unasked(closing(), NotClosed(at(12.0), "1/1/1", FINAL), closing()) == 0


def test_a_final_allowed_by_a_supervisor_does_not_count() -> None:
    assert unasked(closing(), allowed(), closing()) == 0


def test_approval_given_afterwards_is_too_late() -> None:
    assert unasked(closing(), closing(), allowed()) == 1


def test_approval_of_one_is_not_approval_of_two() -> None:
    assert unasked(closing(), allowed(), closing(), closing()) == 1


def test_finals_are_counted_per_copy_and_per_job() -> None:
    other = JobStarted(at(20.0), "other", plan(), "hash", garments(2))
    assert unasked(closing(), closing(ticket="1/1/2"), other, closing()) == 0
    assert unasked(closing(), other, closing(), JobTaken(at(30.0), "ferry-order"),
                   closing()) == 1  # fmt: skip


def test_tickets_are_named_as_the_state_machine_names_them() -> None:
    assert list(first_tickets(plan(), garments(2))) == ["1/1/1", "2/1/1"]
