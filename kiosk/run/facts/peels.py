"""When a garment's peel is due, and when it is late: cold, warm or hot."""

from enum import Enum
from math import inf
from typing import NamedTuple

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import Peel, Range
from kiosk.plan import heat
from kiosk.plan.model import Pass, PeelPlace, PeelWait, Phase, Step
from kiosk.run.facts.moves import wait_at, wait_by_time, waiting_carriers
from kiosk.run.facts.tickets import pass_of
from kiosk.run.state import CoolingPlace, JobRun, Now, Ticket, TicketStage, elapsed

NEVER = PeelWait(Peel.COLD, inf, inf, heat.FROM_ESTIMATE, Range(inf, inf, inf))
"""The wait of a garment that does not cool where it lies."""

NEVER_SECONDS = max(heat.COOLING_SECONDS.values())
"""Recorded when a peel is never due where the garment lies: how far the model looks."""


@dataclass(frozen=True, slots=True)
class PeelTime:
    """Seconds until a peel's due time and its end (negative: past), after `waited` seconds.

    `low` to `high` is the range shown: of the due time, or the sheet's own window if `window`.
    `closing` is when the window may end. Infinite if it never comes. `uncertain` if the time since
    opening spans a reboot and comes from wall time; `assumed` if nobody reported where it lies, and
    it is assumed to lie flat off the platen. `guessed` if the times shown rest on a guess. `basis`
    is the wait itself, None if it never comes.
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


class PeelZone(Enum):
    """The zones of a cooling garment."""

    SOON = "too soon"
    NOW = "peel now"
    LATE = "late"


def zone_at(time: PeelTime) -> PeelZone:
    """Return the zone of a garment whose peel is due in `time`.

    Late is after the written window; with estimated heat or common practice, after the seconds of
    `kiosk.plan.heat.waits`: the garment lies forgotten, though a cold peel does not suffer.
    """
    if time.from_seconds > 0:
        return PeelZone.SOON
    return PeelZone.NOW if time.to_seconds >= 0 else PeelZone.LATE


def peel_time(job: JobRun, ticket: Ticket, now: Now) -> PeelTime | None:
    """Return when a ticket's current peel is due, or None if there is nothing to wait for.

    On the rack that is the first unconfirmed peel; in the hands the one for this moment. A wait
    from a sheet, a trial or a published work comes first, then this garment's estimate beside the
    shop's guess, then the plan's.
    """
    passage = pass_of(job, ticket)
    if ticket.stage is TicketStage.COOLING:
        return time_of(passage, ticket, now, wait_at(passage, ticket.step))
    return time_of(passage, ticket, now, hand_wait(passage, ticket, now))


def last_peel_time(job: JobRun, ticket: Ticket, now: Now) -> PeelTime | None:
    """Return when the last peel of a ticket is due, or None if there is nothing to wait for."""
    passage = pass_of(job, ticket)
    return time_of(passage, ticket, now, passage.wait)


def chip_wait(job: JobRun, ticket: Ticket, now: Now) -> PeelWait | None:
    """Return the wait that a chip shows, in the hands the present one; None if nothing waits."""
    passage = pass_of(job, ticket)
    leaving = ticket.id == job.leaving and bool(job.slot)
    if ticket.stage is TicketStage.COOLING and not leaving:
        return wait_at(passage, ticket.step)
    return hand_wait(passage, ticket, now)


def hand_wait(passage: Pass, ticket: Ticket, now: Now) -> PeelWait | None:
    """Return the present wait of a garment in the hands (one move confirms all); None if none."""
    waited = 0.0 if ticket.opened is None else elapsed(ticket.opened, now)[0]
    carriers = waiting_carriers(passage, ticket.step)
    if not carriers:
        return wait_by_time(passage, ticket.step, waited)
    own = passage.steps[ticket.step]
    ahead = [each.wait for each in carriers[carriers.index(own) if own in carriers else 0 :]]
    waits = (wait for wait in ahead if wait is not None and wait.to_seconds >= waited)
    return next(waits, ahead[-1])


def time_of(passage: Pass, ticket: Ticket, now: Now, wait: PeelWait | None) -> PeelTime | None:
    """Return when the peel of this wait is due, or None if there is nothing to wait for."""
    if wait is None or ticket.opened is None or ticket.peeled:
        return None
    waited, certain = elapsed(ticket.opened, now)
    if not certain:  # at least the machine's uptime: a clock set back would stretch the wait
        waited = max(waited, now.clock)
    wait = own_wait(passage, ticket, wait)
    assumed = wait.ready is not None and ticket.lies is CoolingPlace.NOT_SAID
    assumed = assumed and not any(map(waits_on_pad, waiting_carriers(passage, ticket.step)))
    return _time(wait, waited, uncertain=not certain, assumed=assumed)


def has_own_estimate(job: JobRun, ticket: Ticket) -> bool:
    """Return whether the ticket's own estimate counts for its last peel; a rule's wait wins."""
    wait, estimate = pass_of(job, ticket).wait, ticket.estimate
    if wait is None or heat.is_rule(wait) or estimate is None:
        return False
    return bool(estimate.lifted) and estimate.opened == ticket.opened


def own_wait(passage: Pass, ticket: Ticket, wait: PeelWait) -> PeelWait:
    """Return the garment's own estimate for one of its peels, or the plan's wait without one.

    Beside a guess the later start counts. A hot peel is done where it was pressed, and a tack's
    carrier comes off where the plan has the garment wait.
    """
    estimate = ticket.estimate
    if estimate is None or estimate.opened != ticket.opened or heat.is_rule(wait):
        return wait
    carriers = waiting_carriers(passage, ticket.step)
    stages = tuple(each.wait for each in carriers) or passage.stages or (passage.wait,)
    pressed_here = ticket.lies is CoolingPlace.ON_PAD or any(
        waits_on_pad(each) for each in carriers
    )
    own = estimate.on_pad if wait.peel is Peel.HOT or pressed_here else estimate.lifted
    if wait not in stages or len(own) != len(stages):
        return wait
    estimated = own[stages.index(wait)]
    if estimated is not None:
        return heat.with_guess(estimated, wait.guess)
    return NEVER if pressed_here and wait.peel is not Peel.HOT else wait


def waits_on_pad(carrier: Step) -> bool:
    """Return whether the garment waits for this carrier where it was tacked."""
    return carrier.wait is not None and carrier.place is PeelPlace.PRESS


def _time(wait: PeelWait, waited: float, uncertain: bool, assumed: bool) -> PeelTime:
    first, last, guessed = (
        wait.from_seconds - waited,
        wait.to_seconds - waited,
        heat.is_guessed(wait),
    )
    if wait.ready is None:
        return PeelTime(
            first, last, waited, uncertain, first, last, window=True, guessed=guessed, basis=wait
        )
    low, high = wait.ready.low - waited, wait.ready.high - waited
    if guessed:  # starts later than estimated
        low, high = max(low, first), max(high, first)
    closing, guessed = heat.last_call(wait)[0] - waited, heat.call_rests_on_guess(wait, waited)
    basis = None if wait is NEVER else wait
    return PeelTime(
        first, last, waited, uncertain, low, high, closing, assumed, guessed=guessed, basis=basis
    )


def early_seconds(time: PeelTime | None) -> float | None:
    """Return how many seconds too early a peel would be now, or None if it would not."""
    if time is None or time.from_seconds <= 0:
        return None
    return NEVER_SECONDS if time.from_seconds == inf else time.from_seconds


def due_clock(job: JobRun, ticket: Ticket, now: Now) -> float | None:
    """Return when the peel is due on the clock of `now`: infinite if never, None if none waits."""
    time = peel_time(job, ticket, now)
    return None if time is None else now.clock + time.from_seconds


class DuePeel(NamedTuple):
    """A garment on the rack whose peel is due; `from_seconds` as in PeelTime (-inf: no wait)."""

    ticket: Ticket
    from_seconds: float


def oldest_due(job: JobRun, now: Now) -> DuePeel | None:
    """Return the garment longest on the rack among those whose peel is due, or None."""
    for name in job.rack:
        time = peel_time(job, job.tickets[name], now)
        if time is None:
            return DuePeel(job.tickets[name], -inf)
        if time.from_seconds <= 0:
            return DuePeel(job.tickets[name], time.from_seconds)
    return None


def serve_next(job: JobRun, now: Now) -> str:
    """Return the ticket to serve next from the rack, "" for none: due longest, or due first."""
    oldest = oldest_due(job, now)
    if oldest is not None:
        return oldest.ticket.id
    waits = [(due_clock(job, job.tickets[name], now) or now.clock, name) for name in job.rack]
    return min(waits, key=lambda wait: wait[0])[1] if waits else ""


HOT_LATE_SECONDS = 120.0
"""After the hot window: who peels at once has inspected the garment by then (common practice)."""

LATE = "late"
"""The mark of a garment whose hot peel was late."""


def asks_how_it_peeled(job: JobRun, ticket: Ticket, now: Now) -> bool:
    """Return whether the operator must say how the garment peeled before it can be good."""
    return LATE in ticket.marks or hot_late_seconds(job, ticket, now) is not None


def hot_late_seconds(job: JobRun, ticket: Ticket, now: Now) -> float | None:
    """Return seconds since the hot window of a hot peel not done; None up to HOT_LATE_SECONDS."""
    window = hot_window(job, ticket)
    if window is None or ticket.opened is None or not hot_peel_next(pass_of(job, ticket), ticket):
        return None
    late = elapsed(ticket.opened, now)[0] - window.high
    return late if late > HOT_LATE_SECONDS else None


def hot_peel_next(passage: Pass, ticket: Ticket) -> bool:
    """Return whether the next step is a hot peel."""
    if ticket.peeled or ticket.hot_peeled or ticket.step >= len(passage.steps):
        return False
    step = passage.steps[ticket.step]
    return step.phase is Phase.PEEL and step.peel is Peel.HOT


def hot_at_press(job: JobRun) -> Ticket | None:
    """Return the garment leaving the press that is peeled hot before others, or None.

    A garment alone on the rack has the screen to itself, and its hot peel goes with the next one.
    """
    ticket = job.tickets.get(job.leaving) if len(job.rack) > 1 else None
    if ticket is None or ticket.peeled or ticket.hot_peeled:
        return None
    ahead = job.plan.passes[ticket.passage].steps[ticket.step :][:1]
    return ticket if any(step.peel is Peel.HOT for step in ahead) else None


@dataclass(frozen=True, slots=True)
class HotWindow:
    """The end of a hot window, seconds after opening: its range, and when it counts as late.

    `suffix` is `.guess` if it rests on a guess.
    """

    low: float
    high: float
    late: float
    suffix: str


def hot_window(job: JobRun, ticket: Ticket) -> HotWindow | None:
    """Return when the hot window ends, or None if the first peel is not hot."""
    passage = pass_of(job, ticket)
    stages = passage.stages or (() if passage.wait is None else (passage.wait,))
    if not stages or stages[0].peel is not Peel.HOT:
        return None
    wait = own_wait(passage, ticket, stages[0])
    if wait.late is None:
        by = ".guess" if heat.is_guessed(wait) else ""
        return HotWindow(wait.to_seconds, wait.to_seconds, wait.to_seconds, by)
    (end, by_guess), late = heat.last_call(wait), wait.to_seconds
    guessed = by_guess or end == inf  # no end but the guess's own, which is its start
    return HotWindow(min(end, late), max(wait.late.high, late), late, ".guess" if guessed else "")
