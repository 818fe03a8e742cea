"""A hand move that was confirmed sooner than hands can do it: one soft question."""

from __future__ import annotations

from kiosk.catalog.model import Peel
from kiosk.plan.model import HOT_PHASES
from kiosk.plan.time import least_seconds
from kiosk.run.facts.moves import confirm_of, move_of, peel_steps, racked_at, wait_at
from kiosk.run.facts.peels import hand_wait, time_of
from kiosk.run.facts.tickets import pass_of, slot_ticket
from kiosk.run.state import events as e
from kiosk.run.state.anew import replace
from kiosk.run.state.model import JobRun, Now, Stage, State, Ticket

NOTHING_SECONDS = 0.01  # below it is how clocks are rounded

_BEGIN = (
    e.TicketCalled, e.TimeUp, e.Opened, e.WasClosed, e.ToldPressed, e.Confirmed, e.Finished,
)  # fmt: skip
"""After these the hands have everything still to do; after anything else it may be done."""


def seconds_missing(state: State, now: Now) -> float:
    """Return the seconds that the move at hand takes at the least and has not had, 0 for none.

    A move that was asked about once, or that begins anew with its pieces laid (not closed,
    taken back), is not asked about.
    """
    job = state.job
    ticket = slot_ticket(job)
    since = None if job is None else job.hands_from
    if job is None or ticket is None or since is None or since.boot != now.boot or job.quick:
        return 0.0
    passage = pass_of(job, ticket)
    move = move_of(passage, ticket, confirm_of(state, job.plan, passage))
    if move is None or ticket.stage is not Stage.AT_PRESS:
        return 0.0
    if move.ends:
        missing = in_hand_seconds(job, ticket, now)
        return missing if missing > NOTHING_SECONDS else 0.0
    steps = pass_of(job, ticket).steps[move.first : move.last + 1]
    least = sum(least_seconds(step) for step in steps if step.phase not in HOT_PHASES)
    missing = max(least - (now.clock - since.clock), owed_seconds(job, now))
    return missing if missing > NOTHING_SECONDS else 0.0


def in_hand_seconds(job: JobRun, ticket: Ticket, now: Now) -> float:
    """Return the seconds until a peel that is waited for in the hands can be due at the soonest."""
    wait = hand_wait(pass_of(job, ticket), ticket, now)
    if wait is None or wait.peel is Peel.HOT:
        return 0.0
    time = time_of(job, ticket, now, wait)
    return 0.0 if time is None else min(time.low, time.from_seconds)


def owed_seconds(job: JobRun, now: Now) -> float:
    """Return the seconds until the last peel can be done that hands owe a garment before the rack.

    A hot one waits for nothing.
    """
    ticket = job.tickets.get(job.leaving)
    if ticket is None:
        return 0.0
    passage = pass_of(job, ticket)
    racked = racked_at(passage, ticket.step) or 0
    ahead = (i for i in peel_steps(passage) if ticket.step <= i < racked)
    owed = [i for i in ahead if passage.steps[i].peel is not Peel.HOT]
    time = time_of(job, ticket, now, wait_at(passage, owed[-1])) if owed else None
    return 0.0 if time is None else time.from_seconds


def with_hands(before: State, state: State, event: e.Event) -> State:
    """Return `state`, which `event` made of `before`, with the moment when its move began."""
    job = state.job
    if job is None:
        return state
    if isinstance(event, e.AskedQuick):
        return _with(state, job.hands_from, quick=True)
    if _move(before) == _move(state):
        return state
    at = event.at if isinstance(event, _BEGIN) else None
    if isinstance(event, e.TimeUp):
        at = Now(event.at.boot, event.due, event.at.wall - (event.at.clock - event.due))
    return _with(state, at)


def _move(state: State) -> tuple[object, ...]:
    job = state.job
    ticket = slot_ticket(job)
    where = (None, 0) if ticket is None else (ticket.id, ticket.step)
    return (state.current, *where, state.heat is None)


def _with(state: State, at: Now | None, quick: bool = False) -> State:
    job = state.job
    if job is None or (job.hands_from, job.quick) == (at, quick):
        return state
    job = replace(job, hands_from=at, quick=quick)
    return replace(state, jobs={**state.jobs, job.job: job})
