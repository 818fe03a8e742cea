"""Off the straight way: hold, back one, leave out, put aside."""

from __future__ import annotations

from kiosk.plan.model import Phase
from kiosk.run.decide.decision import Decision, refuse
from kiosk.run.decide.told import say_never_closed
from kiosk.run.facts.last_closing import CLOSED, last_tap
from kiosk.run.facts.moves import next_hot
from kiosk.run.facts.naming import called
from kiosk.run.facts.tickets import is_hot, next_ready, pass_of, same_garment, slot_ticket, step_at
from kiosk.run.state import commands as c
from kiosk.run.state.events import Held, SetAside, Skipped, TakenBack
from kiosk.run.state.model import JobRun, Now, Stage, State, Undo


def hold_on(state: State, command: c.HoldOn, now: Now) -> Decision:
    """A hold; only while the press is open, for it cannot stop heat."""
    return (Held(now, command.reason.strip()),)


def back(state: State, command: c.Back, now: Now) -> Decision:
    """Take back the last tap, as long as nothing was pressed on the strength of it."""
    job = state.job
    if job is None or not job.undo:
        return refuse("back.nothing")
    if job.undo[-1].what == CLOSED and not command.closing_stays:
        return say_never_closed(state, c.SayNeverClosed(), now)
    undo = last_tap(job)
    if undo is None:
        return refuse("back.nothing")
    if any(_has_begun(job, name) for name in undo.opened):
        return refuse("back.replaced")
    if not undo.slot and any(_has_begun(job, name) for name in _later_passes(job, undo)):
        return refuse("back.next_pass")
    return (TakenBack(now, undo.what, undo.tickets[0].id),)


def skip(state: State, command: c.Skip, now: Now) -> Decision:
    """Leave out the pre-press that comes next."""
    ticket = slot_ticket(state.job)
    if state.job is None or ticket is None or ticket.stage is not Stage.AT_PRESS:
        return refuse("skip.nothing")
    if not command.reason.strip():
        return refuse("reason")
    hot = next_hot(pass_of(state.job, ticket), ticket.step, ticket.skipped)
    if hot is None or not is_hot(step_at(state.job, ticket, hot), Phase.PRE_PRESS):
        return refuse("skip.nothing")
    return (Skipped(now, ticket.id, hot, command.reason.strip()),)


def put_aside(state: State, command: c.PutAside, now: Now) -> Decision:
    """Take the ticket off the press before its final, or to look at later what is unknown."""
    job, ticket = state.job, slot_ticket(state.job)
    if job is None or ticket is None:
        return refuse("aside.nothing")
    if not command.reason.strip():
        return refuse("reason")
    if ticket.stage is not Stage.UNKNOWN:
        if next_hot(pass_of(job, ticket), ticket.step) is None:
            return refuse("aside.pressed", number=called(ticket))
        if not next_ready(job):
            return refuse("aside.last", number=called(ticket))
    return (SetAside(now, ticket.id, command.reason.strip()),)


def _later_passes(job: JobRun, undo: Undo) -> tuple[str, ...]:
    names = [t.id for t in same_garment(job, undo.tickets[0])]
    return tuple(names[names.index(undo.tickets[0].id) + 1 :])


def _has_begun(job: JobRun, name: str) -> bool:
    """Whether anything was confirmed or pressed on a ticket."""
    ticket = job.tickets.get(name)
    if ticket is None or ticket.stage is Stage.VOID:
        return False
    return ticket.step > 0 or ticket.stage not in (Stage.WAITING, Stage.AT_PRESS)
