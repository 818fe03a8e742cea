"""How long hands take: the one table for the schedule, for where a peel waits, and for simulation.

Seconds of a practised and of a slow operator. No published times of this work are known to us:
each value is common practice, no source. A shop's own cycles replace them as soon as it has some
(`plan/past.py`).
"""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.plan.model import HOT_PHASES, Phase, Step


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
LEAST_PER_STEP = {Phase.LOAD: 2.0, Phase.COVER: 0.5}
LEAST_PER_PIECE = {Phase.LAY: 2.0, Phase.LAY_TOP: 2.0, Phase.REMOVE_CARRIER: 0.5}
OPENING = Span(1, 3)  # from the end of a closing until the hands are back; no source
RACKING = Span(3, 8)  # off the platen and flat onto the rack; common practice, no source
READING = Span(2, 5)  # a size, a number or a display, read and entered; common practice, no source
READ_BACK = Span(0, READING.high)  # asked of no garment (one size), or of each
SETTLING = Span(180, 600)  # a press reaches another temperature and is read; no source


def hands(step: Step) -> Span:
    """Return the seconds of work of a step that hands do; nothing for a hot one."""
    if step.phase in HOT_PHASES:
        return NOTHING
    return PER_STEP.get(step.phase, NOTHING) + PER_PIECE.get(step.phase, NOTHING).times(
        len(step.pieces)
    )


def least_seconds(step: Step) -> float:
    """Return the seconds below which nobody can have done a step; 0 where that is not judged.

    Peels are not: a hot one is over in a moment, and looking takes what it takes.
    """
    each = LEAST_PER_PIECE.get(step.phase, 0.0)
    return LEAST_PER_STEP.get(step.phase, 0.0) + each * len(step.pieces)


def pressed(step: Step, closes_in_seconds: float) -> Span:
    """Return the seconds that a hot step takes, counting in and opening included."""
    if step.phase not in HOT_PHASES:
        return NOTHING
    closed = closes_in_seconds + (step.seconds or 0)
    return Span(closed, closed) + OPENING


def work(step: Step, closes_in_seconds: float) -> Span:
    """Return the seconds of a step, hands or press."""
    return hands(step) + pressed(step, closes_in_seconds)
