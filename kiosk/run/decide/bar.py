"""The one place that says what a press of forward means now."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.plan.model import Phase
from kiosk.run.decide.clock import settled
from kiosk.run.facts.hands import rack_after, rack_first
from kiosk.run.facts.kind import Kind, Owner, kind_of
from kiosk.run.facts.moves import Move, confirm_of, move_of, racks
from kiosk.run.facts.peels import asks_how_it_peeled, due_clock, oldest_due
from kiosk.run.facts.tickets import is_hot, pass_of, slot_ticket, step_at
from kiosk.run.state.commands import Meaning, Verb
from kiosk.run.state.event import Now
from kiosk.run.state.model import Heat, JobRun, Stage, State, Ticket


@dataclass(frozen=True, slots=True)
class BarMeaning:
    """What pressing forward does (None: refused), whose the bar is, and since when (clock)."""

    meaning: Meaning | None
    owner: Owner
    since: float


def bar_meaning(state: State, now: Now) -> BarMeaning:
    """Return what forward means at `now`, deadlines that have passed counted as passed."""
    state = settled(state, now)
    return meaning_of(state, kind_of(state, now), now)


def meaning_of(state: State, kind: Kind, now: Now) -> BarMeaning:
    """Return what forward means of a settled state in the middle of `kind`.

    Of the meaning's `step`: CLOSE and OPENED name the hot step, CONFIRM the hand step that it
    confirms last, FINISH, PEELED and GO_ON the step at hand of their ticket.
    """
    since = state.last.clock if state.last is not None else now.clock
    heat, job = state.heat, state.job
    if kind is Kind.OPEN_FIRST:
        return BarMeaning(Meaning(Verb.PRESS_IS_OPEN), Owner.PRESS, since)
    if kind is Kind.HELD:
        return BarMeaning(Meaning(Verb.RESTART), Owner.PRESS, since)
    if kind in (Kind.OVER, Kind.UNASKED) and heat is not None:
        return BarMeaning(Meaning(Verb.OPENED, heat.ticket, heat.step), Owner.OVER, since)
    if kind is Kind.HEAT and heat is not None:
        return _while_hot(job, heat, now, since)
    if kind is Kind.HANDS and job is not None:
        return _by_hand(state, job, now, since)
    return BarMeaning(None, Owner.NOBODY, since)


def _while_hot(job: JobRun | None, heat: Heat, now: Now, since: float) -> BarMeaning:
    opens = heat.starts + rack_after(heat.dwell_seconds)
    if job is None or now.clock < opens:
        return BarMeaning(None, Owner.NOBODY, since)
    return _rack(job, now, max(since, opens))


def _rack(job: JobRun, now: Now, since: float) -> BarMeaning:
    return _peel(job, oldest_due(job, now), now, since)


def _peel(job: JobRun, ticket: Ticket | None, now: Now, since: float) -> BarMeaning:
    if ticket is None:
        return BarMeaning(None, Owner.NOBODY, since)
    due = due_clock(job, ticket, now)
    since = since if due is None else max(since, due)
    return BarMeaning(Meaning(Verb.PEELED, ticket.id, ticket.step), Owner.RACK, since)


def _by_hand(state: State, job: JobRun, now: Now, since: float) -> BarMeaning:
    ticket = slot_ticket(job)
    if ticket is None:
        return _rack(job, now, since)
    first = rack_first(job, now)
    if first is not None:
        return _peel(job, first, now, since)
    meaning = _of_slot(state, job, ticket, now)
    return BarMeaning(meaning, Owner.NOBODY if meaning is None else Owner.PRESS, since)


def _of_slot(state: State, job: JobRun, ticket: Ticket, now: Now) -> Meaning | None:
    if ticket.stage is Stage.UNKNOWN:
        return _of_unknown(job, ticket)
    passage = pass_of(job, ticket)
    move = move_of(passage, ticket, confirm_of(state, job.plan, passage))
    if move is None:
        return _good(job, ticket, now)
    if move.hot is not None:
        return Meaning(Verb.CLOSE, ticket.id, move.hot)
    return _of_last_hands(job, ticket, move, now)


def _of_unknown(job: JobRun, ticket: Ticket) -> Meaning | None:
    """Only what comes before the final can go on; a final asks for a result."""
    step = step_at(job, ticket, ticket.step)
    if not is_hot(step) or is_hot(step, Phase.FINAL):
        return None
    return Meaning(Verb.GO_ON, ticket.id, ticket.step)


def _good(job: JobRun, ticket: Ticket, now: Now) -> Meaning | None:
    """A hot peel that was late asks how it went: no one press makes it good."""
    late = asks_how_it_peeled(job, ticket, now)
    return None if late else Meaning(Verb.FINISH, ticket.id, ticket.step)


def _of_last_hands(job: JobRun, ticket: Ticket, move: Move, now: Now) -> Meaning | None:
    if not move.ends:
        return Meaning(Verb.CONFIRM, ticket.id, move.last)
    to_rack = racks(pass_of(job, ticket)) and not ticket.peeled
    return Meaning(Verb.GO_ON, ticket.id, ticket.step) if to_rack else _good(job, ticket, now)
