"""When a garment's last peel is due."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from kiosk.catalog.model import Peel
from kiosk.plan.heat import (
    FROM_ESTIMATE,
    beside_guess,
    is_guessed,
    is_rule,
    last_call,
    told_by_guess,
)
from kiosk.plan.model import Pass, PeelWait
from kiosk.plan.stack import Range
from kiosk.run.facts.moves import wait_at, wait_by_time
from kiosk.run.facts.tickets import pass_of
from kiosk.run.state.cooling import Lies
from kiosk.run.state.event import Now
from kiosk.run.state.event import elapsed as elapsed
from kiosk.run.state.model import JobRun, Stage, Ticket

NEVER = PeelWait(Peel.COLD, inf, inf, FROM_ESTIMATE, Range(inf, inf, inf))
"""Of a garment that does not cool where it lies."""


@dataclass(frozen=True, slots=True)
class PeelTime:
    """Seconds until a peel is due, from and to (negative: past), of `waited` seconds so far.

    `low` to `high` is the range that is told: of the start, or the sheet's own window. `closing`
    is when the window may be over. Infinite where it never comes. `uncertain` where the time
    since opening spans a reboot and comes from wall time; `assumed` where nobody said where it
    lies, and it is taken to lie flat off the platen. `window` where `low` to `high` is one.
    `guessed` where what is told now rests on a guess. `basis` is the wait itself, None where
    it never comes.
    """

    from_seconds: float
    to_seconds: float
    waited: float
    uncertain: bool
    low: float = inf
    high: float = inf
    closing: float = inf
    assumed: bool = False
    window: bool = False
    guessed: bool = False
    basis: PeelWait | None = None


def peel_time(job: JobRun, ticket: Ticket, now: Now) -> PeelTime | None:
    """Return when the peel at hand of a ticket is due; None where nothing is left to wait for.

    On the rack that is the first that is not confirmed; in the hands that of the moment. What a
    sheet, a trial or a published work says comes first, then the estimate of this garment beside
    the shop's guess, then the plan's.
    """
    passage = pass_of(job, ticket)
    if ticket.stage is Stage.COOLING:
        return time_of(job, ticket, now, wait_at(passage, ticket.step))
    return time_of(job, ticket, now, hand_wait(passage, ticket, now))


def last_peel_time(job: JobRun, ticket: Ticket, now: Now) -> PeelTime | None:
    """Return when the last peel of a ticket is due; None where nothing is left to wait for."""
    return time_of(job, ticket, now, pass_of(job, ticket).wait)


def shown_wait(job: JobRun, ticket: Ticket, now: Now) -> PeelWait | None:
    """Return the wait that a chip shows: of the garment in the hands that of the moment."""
    passage = pass_of(job, ticket)
    leaving = ticket.id == job.leaving and bool(job.slot)
    if ticket.stage is Stage.COOLING and not leaving:
        return wait_at(passage, ticket.step)
    return hand_wait(passage, ticket, now)


def hand_wait(passage: Pass, ticket: Ticket, now: Now) -> PeelWait | None:
    """Return the wait of the moment of a garment whose peels the hands confirm in one move."""
    waited = 0.0 if ticket.opened is None else elapsed(ticket.opened, now)[0]
    return wait_by_time(passage, ticket.step, waited)


def time_of(job: JobRun, ticket: Ticket, now: Now, wait: PeelWait | None) -> PeelTime | None:
    """Return when the peel of a wait is due; None where nothing is left to wait for."""
    if wait is None or ticket.opened is None or ticket.peeled:
        return None
    waited, certain = elapsed(ticket.opened, now)
    wait = own_wait(pass_of(job, ticket), ticket, wait)
    assumed = wait.ready is not None and ticket.lies is Lies.NOT_SAID
    return _time(wait, waited, uncertain=not certain, assumed=assumed)


def estimates(job: JobRun, ticket: Ticket) -> bool:
    """Return whether the ticket's own estimate counts for its last peel; a rule's wait wins."""
    wait, estimate = pass_of(job, ticket).wait, ticket.estimate
    if wait is None or is_rule(wait) or estimate is None:
        return False
    return bool(estimate.lifted) and estimate.opened == ticket.opened


def own_wait(passage: Pass, ticket: Ticket, wait: PeelWait) -> PeelWait:
    """Return the garment's own estimate of one of its peels, the plan's wait where there is none.

    Beside a guess the later beginning counts. A hot peel is done where it was pressed.
    """
    estimate, stages = ticket.estimate, passage.stages or (passage.wait,)
    if estimate is None or estimate.opened != ticket.opened or is_rule(wait):
        return wait
    hot = wait.peel is Peel.HOT
    own = estimate.on_pad if hot or ticket.lies is Lies.ON_PAD else estimate.lifted
    if wait not in stages or len(own) != len(stages):
        return wait
    estimated = own[stages.index(wait)]
    if estimated is not None:
        return beside_guess(estimated, wait.guess)
    return NEVER if ticket.lies is Lies.ON_PAD else wait


def _time(wait: PeelWait, waited: float, uncertain: bool, assumed: bool) -> PeelTime:
    first, last, guessed = wait.from_seconds - waited, wait.to_seconds - waited, is_guessed(wait)
    if wait.ready is None:
        return PeelTime(
            first, last, waited, uncertain, first, last, window=True, guessed=guessed, basis=wait
        )
    low, high = wait.ready.low - waited, wait.ready.high - waited
    if guessed:  # it begins later than what is estimated
        low, high = max(low, first), max(high, first)
    closing, guessed = last_call(wait)[0] - waited, told_by_guess(wait, waited)
    basis = None if wait is NEVER else wait
    return PeelTime(
        first, last, waited, uncertain, low, high, closing, assumed, guessed=guessed, basis=basis
    )


def is_due(job: JobRun, ticket: Ticket, now: Now) -> bool:
    """Return whether a ticket's peel at hand need not wait any longer."""
    time = peel_time(job, ticket, now)
    return time is None or time.from_seconds <= 0


def due_clock(job: JobRun, ticket: Ticket, now: Now) -> float | None:
    """Return when the peel was or will be due, on the clock of `now`; infinite for never."""
    time = peel_time(job, ticket, now)
    return None if time is None else now.clock + time.from_seconds


def oldest_due(job: JobRun, now: Now) -> Ticket | None:
    """Return the ticket that has been on the rack longest of those whose peel is due."""
    for name in job.rack:
        if is_due(job, job.tickets[name], now):
            return job.tickets[name]
    return None


def serve_next(job: JobRun, now: Now) -> str:
    """Return the ticket of the rack to be served next, "" for none: due longest, or due first."""
    due = oldest_due(job, now)
    if due is not None:
        return due.id
    waits = [(due_clock(job, job.tickets[name], now) or now.clock, name) for name in job.rack]
    return min(waits, key=lambda wait: wait[0])[1] if waits else ""
