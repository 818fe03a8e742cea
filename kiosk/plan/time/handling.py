"""How long hands take: the one table for the schedule, for where a peel waits, and for simulation.

Seconds of a practised and of a slow operator. No published times of this work are known to us:
each value is common practice, no source. A shop's own cycles replace them as soon as it has some
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
from kiosk.plan.model import HOT_PHASES, PeelWait, Phase, Plan, Step


@dataclass(frozen=True, slots=True)
class Span:
    """Seconds, quick and slow."""

    low: float
    high: float

    def __add__(self, other: Span) -> Span:
        return Span(self.low + other.low, self.high + other.high)

    def at(self, pace: float) -> float:
        """Return the seconds of hands of a pace from 0, quick, to 1, slow."""
        return self.low + pace * (self.high - self.low)

    def times(self, count: int) -> Span:
        """Return the span of `count` of these one after the other."""
        return Span(self.low * count, self.high * count)


NOTHING = Span(0, 0)

PER_STEP = {
    Phase.LOAD: Span(10, 20),  # common practice, no source
    Phase.COVER: Span(2, 5),  # common practice, no source
    Phase.INSPECT: Span(4, 10),  # common practice, no source
}
PER_PIECE = {
    Phase.LAY: Span(8, 18),  # common practice, no source
    Phase.LAY_TOP: Span(8, 20),  # common practice, no source
    Phase.REMOVE_CARRIER: Span(2, 5),  # common practice, no source
    Phase.PEEL: Span(3, 6),  # common practice, no source
}
OPENING = Span(1, 3)  # from the end of a closing until the hands are back; no source
RACKING = Span(3, 8)  # off the platen and flat onto the rack; common practice, no source
READING = Span(2, 5)  # a size, a number or a display, read and entered; common practice, no source
READ_BACK = Span(0, READING.high)  # asked of no garment (one size), or of each
SETTLING = Span(180, 600)  # a press reaches another temperature and is read; no source


def hands(step: Step) -> Span:
    """Return the seconds of work of a step that hands do; nothing for a hot one."""
    return _hands(step.phase, len(step.pieces))


@cache
def _hands(phase: Phase, pieces: int) -> Span:
    if phase in HOT_PHASES:
        return NOTHING
    return PER_STEP.get(phase, NOTHING) + PER_PIECE.get(phase, NOTHING).times(pieces)


def pressed(step: Step, closes_in_seconds: float) -> Span:
    """Return the seconds that a hot step takes, counting in and opening included."""
    if step.phase not in HOT_PHASES:
        return NOTHING
    closed = closes_in_seconds + (step.seconds or 0)
    return Span(closed, closed) + OPENING


def work(step: Step, closes_in_seconds: float) -> Span:
    """Return the seconds of a step, hands or press."""
    return hands(step) + pressed(step, closes_in_seconds)


ENOUGH = 10
"""Fewer cycles than this tell nothing: the plain handling times stand then."""


@dataclass(frozen=True, slots=True)
class Past:
    """Seconds from one garment's last tone to the next one's: the quartiles of `cycles`."""

    cycles: int
    low: float
    high: float


def past_of(seconds: Sequence[float]) -> Past | None:
    """Return what past cycles (seconds each) tell, None where there are too few."""
    if len(seconds) < ENOUGH:
        return None
    low, _, high = quantiles(seconds, n=4, method="inclusive")
    return Past(len(seconds), low, high)


def procedure(plan: Plan, run: int) -> str:
    """Return the same text for runs in which hands and press do the same, whatever the job."""
    told = [
        [
            [[s.phase.value, len(s.pieces), s.seconds, s.sheet] for s in each.steps],
            each.place.value,
            _wait(each.wait),
        ]
        for each in (plan.passes[index] for index in plan.runs[run])
    ]
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode("utf-8")).hexdigest()


def _wait(wait: PeelWait | None) -> Plain:
    """What of a wait makes a garment take its time; not what it is known by."""
    return None if wait is None else plain([wait.peel, wait.from_seconds, wait.to_seconds])


def past_by_run(plan: Plan, cycles: Mapping[str, Sequence[float]]) -> dict[int, Past]:
    """Return what the shop's cycles (by procedure) tell of each run of `plan`, where enough do."""
    told = {run: past_of(cycles.get(procedure(plan, run), ())) for run in range(len(plan.runs))}
    return {run: past for run, past in told.items() if past is not None}
