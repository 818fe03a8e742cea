"""When a garment's peel is due, and when one is late: a cold or warm one, a hot one."""

from enum import Enum
from math import inf
from typing import NamedTuple

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import Peel, Range
from kiosk.plan import heat
from kiosk.plan.model import Pass, PeelWait, Phase, Place, Step
from kiosk.run.facts.moves import wait_at, wait_by_time, waiting_carriers
from kiosk.run.facts.tickets import pass_of
from kiosk.run.state import JobRun, Lies, Now, Stage, Ticket, elapsed

NEVER = PeelWait(Peel.COLD, inf, inf, heat.FROM_ESTIMATE, Range(inf, inf, inf))
"""Of a garment that does not cool where it lies."""

NEVER_SECONDS = max(heat.COOLING_SECONDS.values())
"""Told of what never is due where it lies: so far the model looks."""


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


class Ready(Enum):
    """The zones of a cooling garment."""

    SOON = "too soon"
    NOW = "peel now"
    LATE = "late"


def ready_at(time: PeelTime) -> Ready:
    """Return the zone of a garment whose peel is due in `time`.

    Late is after the window that is written; where heat is estimated or practice says it, after
    the seconds of `kiosk.plan.heat.waits`: it lies forgotten, though a cold peel is none the worse.
    """
    if time.from_seconds > 0:
        return Ready.SOON
    return Ready.NOW if time.to_seconds >= 0 else Ready.LATE


def peel_time(job: JobRun, ticket: Ticket, now: Now) -> PeelTime | None:
    """Return when the peel at hand of a ticket is due; None where nothing is left to wait for.

    On the rack that is the first that is not confirmed; in the hands that of the moment. What a
    sheet, a trial or a published work says comes first, then the estimate of this garment beside
    the shop's guess, then the plan's.
    """
    passage = pass_of(job, ticket)
    if ticket.stage is Stage.COOLING:
        return time_of(passage, ticket, now, wait_at(passage, ticket.step))
    return time_of(passage, ticket, now, hand_wait(passage, ticket, now))


def last_peel_time(job: JobRun, ticket: Ticket, now: Now) -> PeelTime | None:
    """Return when the last peel of a ticket is due; None where nothing is left to wait for."""
    passage = pass_of(job, ticket)
    return time_of(passage, ticket, now, passage.wait)


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
    carriers = waiting_carriers(passage, ticket.step)
    if not carriers:
        return wait_by_time(passage, ticket.step, waited)
    own = passage.steps[ticket.step]
    ahead = [each.wait for each in carriers[carriers.index(own) if own in carriers else 0 :]]
    waits = (wait for wait in ahead if wait is not None and wait.to_seconds >= waited)
    return next(waits, ahead[-1])


def time_of(passage: Pass, ticket: Ticket, now: Now, wait: PeelWait | None) -> PeelTime | None:
    """Return when the peel of a wait is due, of a ticket in its pass; None where none is left."""
    if wait is None or ticket.opened is None or ticket.peeled:
        return None
    waited, certain = elapsed(ticket.opened, now)
    if not certain:  # at least as long as the machine is up: a clock set back would hold the wait
        waited = max(waited, now.clock)
    wait = own_wait(passage, ticket, wait)
    assumed = wait.ready is not None and ticket.lies is Lies.NOT_SAID
    assumed = assumed and not any(map(on_pad, waiting_carriers(passage, ticket.step)))
    return _time(wait, waited, uncertain=not certain, assumed=assumed)


def estimates(job: JobRun, ticket: Ticket) -> bool:
    """Return whether the ticket's own estimate counts for its last peel; a rule's wait wins."""
    wait, estimate = pass_of(job, ticket).wait, ticket.estimate
    if wait is None or heat.is_rule(wait) or estimate is None:
        return False
    return bool(estimate.lifted) and estimate.opened == ticket.opened


def own_wait(passage: Pass, ticket: Ticket, wait: PeelWait) -> PeelWait:
    """Return the garment's own estimate of one of its peels, the plan's wait where there is none.

    Beside a guess the later beginning counts. A hot peel is done where it was pressed, and a
    tack's carrier comes off where the plan has the garment wait.
    """
    estimate = ticket.estimate
    if estimate is None or estimate.opened != ticket.opened or heat.is_rule(wait):
        return wait
    carriers = waiting_carriers(passage, ticket.step)
    stages = tuple(each.wait for each in carriers) or passage.stages or (passage.wait,)
    here = ticket.lies is Lies.ON_PAD or any(on_pad(each) for each in carriers)
    own = estimate.on_pad if wait.peel is Peel.HOT or here else estimate.lifted
    if wait not in stages or len(own) != len(stages):
        return wait
    estimated = own[stages.index(wait)]
    if estimated is not None:
        return heat.beside_guess(estimated, wait.guess)
    return NEVER if here and wait.peel is not Peel.HOT else wait


def on_pad(carrier: Step) -> bool:
    """Return whether the garment waits for this carrier where it was tacked."""
    return carrier.wait is not None and carrier.place is Place.PRESS


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
    if guessed:  # it begins later than what is estimated
        low, high = max(low, first), max(high, first)
    closing, guessed = heat.last_call(wait)[0] - waited, heat.call_rests_on_guess(wait, waited)
    basis = None if wait is NEVER else wait
    return PeelTime(
        first, last, waited, uncertain, low, high, closing, assumed, guessed=guessed, basis=basis
    )


def early_seconds(time: PeelTime | None) -> float | None:
    """Return the seconds by which a peel now comes before it is due, None where it does not."""
    if time is None or time.from_seconds <= 0:
        return None
    return NEVER_SECONDS if time.from_seconds == inf else time.from_seconds


def due_clock(job: JobRun, ticket: Ticket, now: Now) -> float | None:
    """Return when the peel was or will be due, on the clock of `now`; infinite for never."""
    time = peel_time(job, ticket, now)
    return None if time is None else now.clock + time.from_seconds


class Due(NamedTuple):
    """A garment of the rack whose peel is due; `from_seconds` as in PeelTime (-inf: no wait)."""

    ticket: Ticket
    from_seconds: float


def oldest_due(job: JobRun, now: Now) -> Due | None:
    """Return the garment that has been on the rack longest of those whose peel is due."""
    for name in job.rack:
        time = peel_time(job, job.tickets[name], now)
        if time is None:
            return Due(job.tickets[name], -inf)
        if time.from_seconds <= 0:
            return Due(job.tickets[name], time.from_seconds)
    return None


def serve_next(job: JobRun, now: Now) -> str:
    """Return the ticket of the rack to be served next, "" for none: due longest, or due first."""
    due = oldest_due(job, now)
    if due is not None:
        return due.ticket.id
    waits = [(due_clock(job, job.tickets[name], now) or now.clock, name) for name in job.rack]
    return min(waits, key=lambda wait: wait[0])[1] if waits else ""


HOT_LATE_SECONDS = 120.0
"""After the hot window: whoever peels at once has looked it over by then (common practice)."""

LATE = "late"
"""The mark of a garment whose hot peel was late."""


def asks_how_it_peeled(job: JobRun, ticket: Ticket, now: Now) -> bool:
    """Return whether the garment at the press is asked about before it can be good."""
    return LATE in ticket.marks or hot_late_seconds(job, ticket, now) is not None


def hot_late_seconds(job: JobRun, ticket: Ticket, now: Now) -> float | None:
    """Return how long after its hot window a hot peel at hand comes, None where it is in time."""
    window = hot_window(job, ticket)
    if window is None or ticket.opened is None or not owes_hot(pass_of(job, ticket), ticket):
        return None
    late = elapsed(ticket.opened, now)[0] - window.high
    return late if late > HOT_LATE_SECONDS else None


def owes_hot(passage: Pass, ticket: Ticket) -> bool:
    """Return whether a hot peel is what comes next."""
    if ticket.peeled or ticket.hot_peeled or ticket.step >= len(passage.steps):
        return False
    step = passage.steps[ticket.step]
    return step.phase is Phase.PEEL and step.peel is Peel.HOT


def hot_at_press(job: JobRun) -> Ticket | None:
    """Return the garment on its way from the press that is peeled hot before others, or None.

    Alone on the rack it has the glass to itself, and its hot peel goes with the next one.
    """
    ticket = job.tickets.get(job.leaving) if len(job.rack) > 1 else None
    if ticket is None or ticket.peeled or ticket.hot_peeled:
        return None
    ahead = job.plan.passes[ticket.passage].steps[ticket.step :][:1]
    return ticket if any(step.peel is Peel.HOT for step in ahead) else None


@dataclass(frozen=True, slots=True)
class HotWindow:
    """The end of a hot window, seconds after opening: its range, and when it is called late.

    `by` is `.guess` where a guess says it.
    """

    low: float
    high: float
    late: float
    by: str


def hot_window(job: JobRun, ticket: Ticket) -> HotWindow | None:
    """Return when the hot window ends: it is peeled where it was pressed."""
    passage = pass_of(job, ticket)
    stages = passage.stages or (() if passage.wait is None else (passage.wait,))
    if not stages or stages[0].peel is not Peel.HOT:
        return None
    wait = own_wait(passage, ticket, stages[0])
    if wait.late is None:
        by = ".guess" if heat.is_guessed(wait) else ""
        return HotWindow(wait.to_seconds, wait.to_seconds, wait.to_seconds, by)
    end, by_guess = heat.last_call(wait)
    return HotWindow(end, wait.late.high, wait.late.middle, ".guess" if by_guess else "")
