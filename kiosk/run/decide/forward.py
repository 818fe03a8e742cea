"""Forward: confirms the last move and starts the next, or is refused aloud."""

from __future__ import annotations

from collections.abc import Callable

from kiosk.plan.model import Phase
from kiosk.run.decide.bar import BarMeaning
from kiosk.run.decide.closing import close
from kiosk.run.decide.result import early, peeled, result
from kiosk.run.decide.table import Decision, refuse
from kiosk.run.facts.hands import seconds_missing
from kiosk.run.facts.peels import late_seconds
from kiosk.run.facts.tickets import slot_ticket, step_at
from kiosk.run.state import commands as c
from kiosk.run.state.commands import Verb
from kiosk.run.state.event import Now
from kiosk.run.state.events import AskedQuick, Closed, Confirmed, Finished, Opened, OpenSaid, WentOn
from kiosk.run.state.events_station import Restarted
from kiosk.run.state.model import Seen, Stage, State

SETTLES_SECONDS = 0.5
"""A press of forward that began earlier after a change of its label was meant for the old one."""

_ASKED = Closed | Confirmed | Finished


def forward(state: State, command: c.Forward, now: Now, bar: BarMeaning) -> Decision:
    """Do what the label said when it was pressed, or refuse; never anything else.

    `bar` is what forward means now, `state` is settled.
    """
    if bar.meaning is None:
        heat = state.heat
        hot = heat is not None and heat.dwell_seconds is not None and not heat.rang
        return refuse("forward.hot" if hot else "forward.nobody")
    if command.meaning != bar.meaning:
        return refuse("forward.changed")
    if command.down - bar.since < SETTLES_SECONDS:
        return refuse("forward.too_soon")
    decided = _VERBS[bar.meaning.verb](state, command, now)
    job = state.job
    of_slot = job is not None and bar.meaning.ticket == job.slot
    missing = seconds_missing(state, now) if of_slot else 0.0
    if missing > 0 and isinstance(decided, tuple) and isinstance(decided[0], _ASKED):
        return _ask_quick(state, bar.meaning, now, missing)
    return decided


def _ask_quick(state: State, meaning: c.Meaning, now: Now, missing: float) -> Decision:
    """One soft question; the second press goes on."""
    ticket = slot_ticket(state.job)
    return (AskedQuick(now, meaning.ticket, ticket.step if ticket else 0, missing),)


def _close(state: State, command: c.Forward, now: Now) -> Decision:
    """The count-in began when the foot or finger went down."""
    job = state.job
    closes_in = job.plan.closes_in_seconds if job else 0.0
    starts_in = max(0.0, closes_in - max(0.0, now.clock - command.down))
    return close(state, command.meaning, now, starts_in, Seen.DECLARED)


def _confirm(state: State, command: c.Forward, now: Now) -> Decision:
    job = state.job
    ticket = None if job is None else job.tickets.get(command.meaning.ticket)
    step = None if job is None or ticket is None else step_at(job, ticket, command.meaning.step)
    soon, late = None, None
    if job is not None and ticket is not None and step is not None and step.phase is Phase.PEEL:
        soon, late = early(job, ticket, now), late_seconds(job, ticket, now)
    first = last = command.meaning.step
    return (Confirmed(now, command.meaning.ticket, first, last, soon, late_seconds=late),)


def _good(state: State, command: c.Forward, now: Now) -> Decision:
    job = state.job
    if job is None:
        return refuse("no_job")
    good = c.Inspect(command.meaning.ticket, Stage.GOOD)
    return (result(state, job, job.tickets[command.meaning.ticket], good, now),)


def _peeled(state: State, command: c.Forward, now: Now) -> Decision:
    job = state.job
    if job is None:
        return refuse("no_job")
    return peeled(state, job, job.tickets[command.meaning.ticket], now)


def _opened(state: State, command: c.Forward, now: Now) -> Decision:
    deadline = state.heat.deadline if state.heat else None
    after = None if deadline is None else now.clock - deadline
    return (Opened(now, command.meaning.ticket, command.meaning.step, Seen.DECLARED, after),)


def _press_is_open(state: State, command: c.Forward, now: Now) -> Decision:
    return (OpenSaid(now),)


def _go_on(state: State, command: c.Forward, now: Now) -> Decision:
    return (WentOn(now, command.meaning.ticket),)


def _restart(state: State, command: c.Forward, now: Now) -> Decision:
    return (Restarted(now),)


_VERBS: dict[Verb, Callable[[State, c.Forward, Now], Decision]] = {
    Verb.CLOSE: _close,
    Verb.CONFIRM: _confirm,
    Verb.FINISH: _good,
    Verb.PEELED: _peeled,
    Verb.OPENED: _opened,
    Verb.PRESS_IS_OPEN: _press_is_open,
    Verb.GO_ON: _go_on,
    Verb.RESTART: _restart,
}
