"""A closing that never was, and one without a tap: may it be said?"""

from __future__ import annotations

from kiosk.plan.model import Phase
from kiosk.run.decide.decision import Decision, refuse
from kiosk.run.facts.last_closing import last_closing
from kiosk.run.facts.moves import next_hot
from kiosk.run.facts.tickets import is_hot, pass_of, slot_ticket, step_at
from kiosk.run.state import commands as c
from kiosk.run.state.events import NeverClosed, Refused, ToldPressed
from kiosk.run.state.model import JobRun, Now, Stage, State, Ticket

LONGEST_SECONDS = 600
"""Nobody presses longer; a figure above it is a slip of the finger."""


def say_never_closed(state: State, command: c.SayNeverClosed, now: Now) -> Decision:
    """Take the last closing back, though its time is up."""
    undo = last_closing(state.job)
    if undo is None or state.job is None:
        return refuse("never_closed.nothing")
    ticket = undo.tickets[0]
    hot = next_hot(pass_of(state.job, ticket), ticket.step, ticket.skipped)
    return (NeverClosed(now, ticket.id, ticket.step if hot is None else hot),)


def say_pressed(state: State, command: c.SayPressed, now: Now) -> Decision:
    """Count a closing without a tap, with its seconds as they are told."""
    job, hot = state.job, closing_ahead(state.job)
    if job is None or hot is None:
        return refuse("pressed.nothing")
    if not 1 <= command.seconds <= LONGEST_SECONDS:
        return refuse("pressed.seconds", most=LONGEST_SECONDS)
    ticket = job.tickets[job.slot]
    again = is_hot(step_at(job, ticket, hot), Phase.FINAL) and ticket.finals > 0
    if again and ticket.finals > ticket.represses:
        return (Refused(now, "refuse.second_final", ticket.id),)
    told = ToldPressed(now, ticket.id, ticket.step, hot, command.seconds, job.leaving, again)
    return (told,)


def closing_ahead(job: JobRun | None) -> int | None:
    """Return the hot step that the garment at hand comes to next, None for none."""
    ticket: Ticket | None = slot_ticket(job)
    if job is None or ticket is None or ticket.stage is not Stage.AT_PRESS or job.questions:
        return None
    return next_hot(pass_of(job, ticket), ticket.step, ticket.skipped)
