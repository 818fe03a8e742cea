"""The last closing, as long as it can still be said that it never was."""

from __future__ import annotations

from kiosk.run.state.event import replace
from kiosk.run.state.model import JobRun, Seen, State, Ticket, Undo

CLOSED = "closed"
SAID = frozenset({Seen.DECLARED, Seen.TOLD})
"""A closing that a switch saw is no mistake of a finger."""


def closing(job: JobRun, ticket: Ticket) -> Undo:
    """Return what takes a closing on `ticket` back; `job` and `ticket` are as before it."""
    racked = job.tickets.get(job.leaving)
    tickets = (ticket,) if racked is None else (ticket, racked)
    return Undo(CLOSED, tickets, ticket.id, loaded=job.last_loaded)


def last_closing(job: JobRun | None) -> Undo | None:
    """Return the closing that may be said never to have been, None for none.

    Peels of other garments tapped since stay; what was done to its own is taken back first.
    """
    since: set[str] = set()
    for undo in () if job is None else reversed(job.undo):
        if undo.what == CLOSED:
            return None if undo.tickets[0].id in since else undo
        if undo.slot:
            return None
        since |= {ticket.id for ticket in undo.tickets}
    return None


def last_tap(job: JobRun) -> Undo | None:
    """Return the last tap that can be taken back and is no closing, None for none."""
    return next((undo for undo in reversed(job.undo) if undo.what != CLOSED), None)


def without_closing(job: JobRun) -> JobRun:
    """Return the job with a last closing that nobody can say never was."""
    return replace(job, undo=tuple(u for u in job.undo if u.what != CLOSED))


def closings_stay(state: State) -> State:
    """Return the state at a change of operator: a closing is only its own operator's to unsay."""
    job = state.job
    if job is None or all(undo.what != CLOSED for undo in job.undo):
        return state
    return replace(state, jobs={**state.jobs, job.job: without_closing(job)})
