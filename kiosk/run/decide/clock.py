"""What the clock has brought about by now without anybody doing anything."""

from __future__ import annotations

from kiosk.run.apply.fold import replay
from kiosk.run.facts.checks import lot_hold, why_lapsed
from kiosk.run.facts.moves import next_hot
from kiosk.run.facts.questions import had_break, number_question, questions_for
from kiosk.run.facts.tickets import is_over, next_ready, pass_of, slot_ticket
from kiosk.run.state.event import Event, Now
from kiosk.run.state.events import JobDone, OutcomeUnknown, TicketCalled, TimeUp
from kiosk.run.state.events_shift import VerificationLapsed
from kiosk.run.state.model import JobRun, Stage, State
from kiosk.run.state.rules import Ask, Changed

LATE_SECONDS = 5
"""An end of time that nobody noticed for longer means that the machine slept or stalled."""


def settle(state: State, now: Now) -> tuple[Event, ...]:
    """Return the events that are due at `now`: ends of time, calls, questions after a break."""
    if state.last is None or state.boot != now.boot:
        return ()
    ended = _end_of_time(state, now)
    ended += _lapsed(state, now)
    if ended:
        state = replay(ended, state)
    return ended + _what_is_next(state, now)


def settled(state: State, now: Now) -> State:
    """Return the state with what is due at `now` counted as happened; screens draw this one."""
    return replay(settle(state, now), state)


def _end_of_time(state: State, now: Now) -> tuple[Event, ...]:
    heat = state.heat
    if heat is None or heat.deadline is None or heat.rang or now.clock < heat.deadline:
        return ()
    if now.clock - heat.deadline > LATE_SECONDS:
        return (OutcomeUnknown(now, heat.ticket, heat.step, "slept"),)
    return (TimeUp(now, heat.ticket, heat.step, heat.deadline),)


def _lapsed(state: State, now: Now) -> tuple[Event, ...]:
    """The check of the press, where it holds no longer."""
    check = state.check
    job = None if check is None else state.job
    why = None if job is None else why_lapsed(state, job, now)
    return () if check is None or why is None else (VerificationLapsed(now, check.press, why),)


def _what_is_next(state: State, now: Now) -> tuple[Event, ...]:
    job = state.job
    if job is None or not state.operator or state.heat is not None or job.done:
        return ()
    if job.slot:
        return _asked_again(state, job, now)
    if is_over(job):
        return (JobDone(now, job.job),)
    name = next_ready(job)
    if not name or lot_hold(job) is not None:
        return ()
    return (TicketCalled(now, name, questions_for(state, job, job.tickets[name], now)),)


def _asked_again(state: State, job: JobRun, now: Now) -> tuple[Event, ...]:
    """The number of the garment at hand, read anew by other or rested hands."""
    because = Changed.OPERATOR if state.changed_operator else Changed.BREAK
    if because is Changed.BREAK and not had_break(state, now):
        return ()
    ticket = slot_ticket(job)
    if ticket is None or ticket.stage is not Stage.AT_PRESS or not ticket.garment.number:
        return ()
    hot = next_hot(pass_of(job, ticket), ticket.step, ticket.skipped)
    if hot is None or any(q.ask is Ask.NUMBER for q in job.questions):
        return ()
    asked = (*job.questions, number_question(job, ticket, because))
    return (TicketCalled(now, ticket.id, asked),)
