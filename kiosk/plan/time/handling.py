"""Handling times: the one table for the schedule, for where a peel waits, and for simulation.

Seconds of a practised and of a slow operator. We know of no published times for this work: each
value is common practice, no source. A shop's own cycles replace them once there are enough
(`past_by_run`).
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from functools import cache
from statistics import quantiles

from kiosk.catalog.base import dataclass
from kiosk.plan.fingerprint import Plain, plain
from kiosk.plan.model import HOT_PHASES, Pass, PeelPlace, PeelWait, Phase, Plan, Step


@dataclass(frozen=True, slots=True)
class HandTime:
    """Seconds, with quick and with slow hands."""

    low: float
    high: float

    def __add__(self, other: HandTime) -> HandTime:
        return HandTime(self.low + other.low, self.high + other.high)

    def at(self, pace: float) -> float:
        """Return the seconds at a pace from 0 (quick) to 1 (slow)."""
        return self.low + pace * (self.high - self.low)

    def less(self, other: HandTime) -> HandTime:
        """Return the span minus `other`: never below 0, and `high` never below `low`."""
        low = max(0.0, self.low - other.low)
        return HandTime(low, max(low, self.high - other.high))

    def times(self, count: int) -> HandTime:
        """Return the span of `count` of these one after the other."""
        return HandTime(self.low * count, self.high * count)


NOTHING = HandTime(0, 0)

PER_STEP = {
    Phase.LOAD: HandTime(10, 20),  # common practice, no source
    Phase.COVER: HandTime(2, 5),  # common practice, no source
    Phase.INSPECT: HandTime(4, 10),  # common practice, no source
}
PER_PIECE = {
    Phase.LAY: HandTime(8, 18),  # common practice, no source
    Phase.LAY_TOP: HandTime(8, 20),  # common practice, no source
    Phase.REMOVE_CARRIER: HandTime(2, 5),  # common practice, no source
    Phase.PEEL: HandTime(3, 6),  # common practice, no source
}
OPENING = HandTime(1, 3)  # from the end of a closing until the hands are back; no source
BACK = PER_STEP[Phase.LOAD]  # back onto the platen, at the same place; no source
RACKING = HandTime(3, 8)  # off the platen and flat onto the rack; common practice, no source
READING = HandTime(
    2, 5
)  # a size, a number or a display, read and entered; common practice, no source
READ_BACK = HandTime(0, READING.high)  # for no garment (only one size), or for each
SETTLING = HandTime(180, 600)  # a press reaches a new temperature and is read; no source


def hands(step: Step) -> HandTime:
    """Return the seconds of hand work in a step; zero for a hot one."""
    return _hands(step.phase, len(step.pieces))


@cache
def _hands(phase: Phase, pieces: int) -> HandTime:
    if phase in HOT_PHASES:
        return NOTHING
    return PER_STEP.get(phase, NOTHING) + PER_PIECE.get(phase, NOTHING).times(pieces)


def of_pieces(phase: Phase, pieces: int) -> HandTime:
    """Return the seconds of hand work that this many pieces add to a step of `phase`."""
    return PER_PIECE.get(phase, NOTHING).times(pieces)


def press_time(step: Step, closes_in_seconds: float) -> HandTime:
    """Return the seconds of a hot step, including its count-in and opening; else zero."""
    if step.phase not in HOT_PHASES:
        return NOTHING
    closed = closes_in_seconds + (step.seconds or 0)
    return HandTime(closed, closed) + OPENING


def work(step: Step, closes_in_seconds: float) -> HandTime:
    """Return the seconds of a step, by hand or in the press, without waiting."""
    return hands(step) + press_time(step, closes_in_seconds)


def stage_of(each: Pass, step: Step) -> tuple[PeelWait | None, PeelPlace]:
    """Return the wait of a peel or carrier step of `each` (or None), and where it is done."""
    if step.phase is not Phase.PEEL:
        return step.wait, step.place
    found = [(n, wait) for n, wait in enumerate(each.stages) if wait.peel is step.peel]
    if not found:
        return None, PeelPlace.PRESS
    nth, wait = found[0]
    return wait, each.place_of(nth)


def carrier_waits(steps: Sequence[Step]) -> tuple[HandTime, ...]:
    """Return, by step, how long a tack's carriers are waited for, including loading again.

    All waits count from the opening, so only the last of several is counted.
    """
    after = (*steps[1:], None)
    return tuple(
        NOTHING
        if step.wait is None or (following is not None and following.wait is not None)
        else call_time(step.wait) + (NOTHING if step.place is PeelPlace.PRESS else BACK)
        for step, following in zip(steps, after, strict=True)
    )


def call_time(wait: PeelWait) -> HandTime:
    """Return the seconds until an operator is called to peel: as estimated, and as first called."""
    soonest = wait.from_seconds if wait.ready is None else wait.ready.middle
    return HandTime(soonest, max(wait.from_seconds, wait.prompt_seconds or 0.0))


ENOUGH = 10
"""With fewer cycles than this, typical handling times are used."""


@dataclass(frozen=True, slots=True)
class PastCycles:
    """Seconds from one garment's last tone to the next one's: the quartiles of `cycles`."""

    cycles: int
    low: float
    high: float


def past_of(seconds: Sequence[float]) -> PastCycles | None:
    """Return the quartiles of past cycles (seconds each), or None if there are too few."""
    if len(seconds) < ENOUGH:
        return None
    low, _, high = quantiles(seconds, n=4, method="inclusive")
    return PastCycles(len(seconds), low, high)


def procedure(plan: Plan, run: int) -> str:
    """Return a key that is equal for runs with the same work by hand and press, in any job."""
    parts = [
        [[_step_key(step) for step in each.steps], each.place.value, _wait_key(each.wait)]
        for each in (plan.passes[index] for index in plan.runs[run])
    ]
    return hashlib.sha256(json.dumps(parts, sort_keys=True).encode("utf-8")).hexdigest()


def _step_key(step: Step) -> list[Plain]:
    """The work in a step; a step with a carrier's wait is different from one without."""
    waits = [] if step.wait is None else [_wait_key(step.wait), step.place.value]
    return [step.phase.value, len(step.pieces), step.seconds, step.sheet, *waits]


def _wait_key(wait: PeelWait | None) -> Plain:
    """The parts of a wait that affect a garment's time, without its source."""
    return None if wait is None else plain([wait.peel, wait.from_seconds, wait.to_seconds])


def past_by_run(plan: Plan, cycles: Mapping[str, Sequence[float]]) -> dict[int, PastCycles]:
    """Return the past of each run of `plan` with enough of the shop's cycles (by procedure)."""
    found = {run: past_of(cycles.get(procedure(plan, run), ())) for run in range(len(plan.runs))}
    return {run: past for run, past in found.items() if past is not None}
