"""Invariants of every state that the station can reach."""

from __future__ import annotations

from kiosk.run.facts.tickets import ASIDE, AT_SLOT, pass_of
from kiosk.run.state.model import ENDED, JobRun, TicketStage
from kiosk.run.state.state import State


def assert_sound(state: State) -> None:
    """Each open ticket is in the one place for its stage; at most one is at the press."""
    for job in state.jobs.values():
        _assert_places(job)
        _assert_copies(job)
    if state.asked_closed:
        assert state.heat is not None
        assert state.asked is not None


def assert_pressed_once(state: State) -> None:
    """No garment had more finals than a supervisor allowed."""
    for job in state.jobs.values():
        for ticket in job.tickets.values():
            assert ticket.finals <= 1 + ticket.represses, ticket
            if ticket.stage is TicketStage.WAITING:
                assert ticket.finals <= ticket.represses, ticket


def assert_steps_exist(state: State) -> None:
    """Each ticket's step exists in its pass, or is just past the last one."""
    for job in state.jobs.values():
        for ticket in job.tickets.values():
            assert 0 <= ticket.step <= len(pass_of(job, ticket).steps), ticket


def assert_heat_is_at_the_slot(state: State) -> None:
    """Heat that was asked for is on the ticket in the slot."""
    if state.heat is not None and state.heat.dwell_seconds is not None:
        assert state.job is not None
        assert state.heat.ticket == state.job.slot


def _assert_places(job: JobRun) -> None:
    slot = (job.slot,) if job.slot else ()
    places = (*job.queue, *slot, *job.rack, *job.aside)
    still_open = {name for name, t in job.tickets.items() if t.stage not in ENDED}
    assert len(places) == len(set(places)), "a ticket in two places"
    assert set(places) == still_open, "a ticket lost, or one that has ended still somewhere"
    assert {job.tickets[n].stage for n in job.queue} <= {TicketStage.WAITING}
    assert {job.tickets[n].stage for n in slot} <= AT_SLOT
    assert {job.tickets[n].stage for n in job.rack} <= {TicketStage.COOLING}
    assert {job.tickets[n].stage for n in job.aside} <= ASIDE
    assert job.leaving == "" or job.leaving in job.rack
    assert job.slot or not job.questions


def _assert_copies(job: JobRun) -> None:
    """Only the last copy of each garment is open; copies are numbered without gaps."""
    again = {ticket.garment.line for ticket in job.tickets.values() if ticket.copy != 1}
    copies: dict[str, set[int]] = {line: set() for line in again}
    made_again = [t for t in job.tickets.values() if t.garment.line in again]
    for ticket in made_again:
        copies[ticket.garment.line].add(ticket.copy)
    for line, found in copies.items():
        assert found == set(range(1, len(found) + 1)), line
    for ticket in made_again:
        if ticket.copy < max(copies[ticket.garment.line]):
            assert ticket.stage in ENDED, ticket
