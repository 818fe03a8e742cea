"""The one place that decides what a press of forward means now, and what it does."""

from collections.abc import Callable

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import Peel
from kiosk.plan.model import Phase
from kiosk.run.decide.result import confirm_peel, result, seconds_early
from kiosk.run.facts.hands import rack_after, rack_first, seconds_missing
from kiosk.run.facts.moves import Move, confirm_of, cools_on_rack, move_of
from kiosk.run.facts.peels import (
    DuePeel,
    asks_how_it_peeled,
    hot_at_press,
    hot_late_seconds,
    oldest_due,
)
from kiosk.run.facts.questions import BarOwner, ScreenKind
from kiosk.run.facts.tickets import is_hot, pass_of, slot_ticket, step_at
from kiosk.run.state import commands as c
from kiosk.run.state.commands import Meaning, Verb
from kiosk.run.state.event import Decision, Now, refuse
from kiosk.run.state.events import AskedQuick, Closed, Confirmed, Finished, Opened, OpenSaid, WentOn
from kiosk.run.state.events_station import Refused, Restarted
from kiosk.run.state.model import Heat, JobRun, Ticket, TicketStage, TimeSource
from kiosk.run.state.state import State


@dataclass(frozen=True, slots=True)
class BarMeaning:
    """What pressing forward does (None: refused), what it acts on, and since when (clock)."""

    meaning: Meaning | None
    owner: BarOwner
    since: float


def meaning_of(state: State, kind: ScreenKind, now: Now) -> BarMeaning:
    """Return what forward means in a settled state of `kind`.

    The `step` of the meaning: for CLOSE and OPENED the hot step, for CONFIRM the last hand step
    that it confirms, for FINISH, PEELED and GO_ON their ticket's current step.
    """
    since = state.last.clock if state.last is not None else now.clock
    heat, job = state.heat, state.job
    if kind is ScreenKind.OPEN_FIRST:
        return BarMeaning(Meaning(Verb.PRESS_IS_OPEN), BarOwner.PRESS, since)
    if kind is ScreenKind.HELD:
        return BarMeaning(Meaning(Verb.RESTART), BarOwner.PRESS, since)
    if kind in (ScreenKind.OVER, ScreenKind.UNASKED) and heat is not None:
        return BarMeaning(Meaning(Verb.OPENED, heat.ticket, heat.step), BarOwner.OVER, since)
    if kind is ScreenKind.HEAT and heat is not None:
        return _while_hot(job, heat, now, since)
    if kind is ScreenKind.HANDS and job is not None:
        return _by_hand(state, job, now, since)
    return BarMeaning(None, BarOwner.NOBODY, since)


def _while_hot(job: JobRun | None, heat: Heat, now: Now, since: float) -> BarMeaning:
    rack_from = heat.starts + rack_after(heat.dwell_seconds)
    if job is None or now.clock < rack_from:
        return BarMeaning(None, BarOwner.NOBODY, since)
    return _peel(oldest_due(job, now), now, max(since, rack_from))


def _peel(due: DuePeel | None, now: Now, since: float) -> BarMeaning:
    if due is None:
        return BarMeaning(None, BarOwner.NOBODY, since)
    meaning = Meaning(Verb.PEELED, due.ticket.id, due.ticket.step)
    return BarMeaning(meaning, BarOwner.RACK, max(since, now.clock + due.from_seconds))


def _by_hand(state: State, job: JobRun, now: Now, since: float) -> BarMeaning:
    ticket = slot_ticket(job)
    first = oldest_due(job, now) if ticket is None else rack_first(job, now)
    if ticket is None or first is not None:
        hot = hot_at_press(job)  # before the rack's; else the next closing confirms it
        if hot is not None:
            return BarMeaning(Meaning(Verb.PEELED, hot.id, hot.step), BarOwner.RACK, since)
        return _peel(first, now, since)
    meaning = _of_slot(state, job, ticket, now)
    return BarMeaning(meaning, BarOwner.NOBODY if meaning is None else BarOwner.PRESS, since)


def _of_slot(state: State, job: JobRun, ticket: Ticket, now: Now) -> Meaning | None:
    if ticket.stage is TicketStage.UNKNOWN:
        return _of_unknown(job, ticket)
    passage = pass_of(job, ticket)
    move = move_of(passage, ticket, confirm_of(state, job.plan, passage))
    if move is None:
        return _good(job, ticket, now)
    if move.hot is not None:
        return Meaning(Verb.CLOSE, ticket.id, move.hot)
    return _of_last_hands(job, ticket, move, now)


def _of_unknown(job: JobRun, ticket: Ticket) -> Meaning | None:
    """Only a closing before the final can continue; a final needs a result."""
    step = step_at(job, ticket, ticket.step)
    if not is_hot(step) or is_hot(step, Phase.FINAL):
        return None
    return Meaning(Verb.GO_ON, ticket.id, ticket.step)


def _good(job: JobRun, ticket: Ticket, now: Now) -> Meaning | None:
    """After a late hot peel the operator must say how it went: one tap cannot make it good."""
    late = asks_how_it_peeled(job, ticket, now)
    return None if late else Meaning(Verb.FINISH, ticket.id, ticket.step)


def _of_last_hands(job: JobRun, ticket: Ticket, move: Move, now: Now) -> Meaning | None:
    if not move.ends:
        return Meaning(Verb.CONFIRM, ticket.id, move.last)
    to_rack = cools_on_rack(pass_of(job, ticket)) and not ticket.peeled
    return Meaning(Verb.GO_ON, ticket.id, ticket.step) if to_rack else _good(job, ticket, now)


def close(
    state: State, meaning: c.Meaning, now: Now, starts_in: float, seen: TimeSource
) -> Decision:
    """Close on the ticket's hot step; refuse a second final that no supervisor allowed."""
    job = state.job
    ticket = None if job is None else job.tickets.get(meaning.ticket)
    if job is None or ticket is None:
        return refuse("no_job")
    step = step_at(job, ticket, meaning.step)
    seconds = float(step.seconds or 0) if step is not None else 0.0
    second_final = is_hot(step, Phase.FINAL) and ticket.finals > 0
    if second_final and ticket.used_up:
        return (Refused(now, "refuse.second_final", ticket.id),)
    return (
        Closed(
            now,
            ticket.id,
            ticket.step,
            meaning.step,
            seconds,
            starts_in,
            seen,
            job.leaving,
            second_final,
        ),
    )


SETTLES_SECONDS = 0.5
"""A tap that began sooner after the label changed was meant for the old label."""

_ASKED = Closed | Confirmed | Finished


def forward(state: State, command: c.Forward, now: Now, bar: BarMeaning) -> Decision:
    """Do what the label showed when pressed, or refuse; `bar` is the meaning now."""
    if bar.meaning is None:
        heat = state.heat
        hot = heat is not None and heat.dwell_seconds is not None and not heat.rang
        return refuse("forward.hot" if hot else "forward.nobody")
    if command.meaning != bar.meaning:
        return refuse("forward.changed")
    if command.down - bar.since < SETTLES_SECONDS:
        return refuse("forward.too_soon")
    decision = _VERBS[bar.meaning.verb](state, command, now)
    job = state.job
    of_slot = job is not None and bar.meaning.ticket == job.slot
    missing = seconds_missing(state, now) if of_slot else 0.0
    if missing > 0 and isinstance(decision, tuple) and isinstance(decision[0], _ASKED):
        return _ask_quick(state, bar.meaning, now, missing)
    return decision


def _ask_quick(state: State, meaning: c.Meaning, now: Now, missing: float) -> Decision:
    """Ask once; a second tap confirms."""
    ticket = slot_ticket(state.job)
    return (AskedQuick(now, meaning.ticket, ticket.step if ticket else 0, missing),)


def _close(state: State, command: c.Forward, now: Now) -> Decision:
    """Close; the count-in began when the foot or finger went down."""
    job = state.job
    closes_in = job.plan.closes_in_seconds if job else 0.0
    starts_in = max(0.0, closes_in - max(0.0, now.clock - command.down))
    return close(state, command.meaning, now, starts_in, TimeSource.DECLARED)


def _confirm(state: State, command: c.Forward, now: Now) -> Decision:
    job = state.job
    ticket = None if job is None else job.tickets.get(command.meaning.ticket)
    step = None if job is None or ticket is None else step_at(job, ticket, command.meaning.step)
    early_seconds, late_seconds = None, None
    if job is not None and ticket is not None and step is not None and step.phase is Phase.PEEL:
        late_seconds = hot_late_seconds(job, ticket, now)
        early_seconds = None if step.peel is Peel.HOT else seconds_early(job, ticket, now)
    first = last = command.meaning.step
    return (
        Confirmed(
            now, command.meaning.ticket, first, last, early_seconds, late_seconds=late_seconds
        ),
    )


def _finish(state: State, command: c.Forward, now: Now) -> Decision:
    job = state.job
    if job is None:
        return refuse("no_job")
    good = c.Inspect(command.meaning.ticket, TicketStage.GOOD)
    return (result(state, job, job.tickets[command.meaning.ticket], good, now),)


def _peeled(state: State, command: c.Forward, now: Now) -> Decision:
    job = state.job
    if job is None:
        return refuse("no_job")
    return confirm_peel(state, job, job.tickets[command.meaning.ticket], now)


def _opened(state: State, command: c.Forward, now: Now) -> Decision:
    deadline = state.heat.deadline if state.heat else None
    after = None if deadline is None else now.clock - deadline
    return (Opened(now, command.meaning.ticket, command.meaning.step, TimeSource.DECLARED, after),)


def _press_is_open(state: State, command: c.Forward, now: Now) -> Decision:
    return (OpenSaid(now),)


def _go_on(state: State, command: c.Forward, now: Now) -> Decision:
    return (WentOn(now, command.meaning.ticket),)


def _restart(state: State, command: c.Forward, now: Now) -> Decision:
    return (Restarted(now),)


_VERBS: dict[Verb, Callable[[State, c.Forward, Now], Decision]] = {
    Verb.CLOSE: _close,
    Verb.CONFIRM: _confirm,
    Verb.FINISH: _finish,
    Verb.PEELED: _peeled,
    Verb.OPENED: _opened,
    Verb.PRESS_IS_OPEN: _press_is_open,
    Verb.GO_ON: _go_on,
    Verb.RESTART: _restart,
}
