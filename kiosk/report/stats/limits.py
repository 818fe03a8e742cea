"""Limits of control charts, and the rules that a signal breaks (NIST/SEMATECH e-Handbook 6.3)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import sqrt
from statistics import fmean

D2 = 1.128
"""Mean range of two values in standard deviations, as the handbook prints it."""


@dataclass(frozen=True, slots=True)
class Limits:
    """Centre and control limits, 3 standard deviations away. Unit: that of the values."""

    lower: float
    centre: float
    upper: float

    @property
    def sigma(self) -> float:
        """One standard deviation, as the chart has it."""
        return (self.upper - self.centre) / 3

    def times(self, factor: float) -> Limits:
        """Return the same in another unit."""
        return Limits(self.lower * factor, self.centre * factor, self.upper * factor)

    def outside(self, value: float) -> bool:
        """Whether a value is beyond a limit; one that equals it is not."""
        return value > self.upper or value < self.lower


def individuals(values: Sequence[float]) -> Limits:
    """Return the limits of single values by their mean moving range. Needs at least two."""
    moving = fmean(abs(b - a) for a, b in pairwise(values))
    centre, reach = fmean(values), 3 * moving / D2
    return Limits(centre - reach, centre, centre + reach)


def proportions(counts: Sequence[int], sizes: Sequence[int]) -> tuple[Limits, ...]:
    """Return the limits of each sample's share (p-chart); samples may differ in size."""
    share = sum(counts) / sum(sizes)
    reaches = [3 * sqrt(share * (1 - share) / size) for size in sizes]
    return tuple(Limits(max(0.0, share - r), share, share + r) for r in reaches)


def defects(counts: Sequence[int]) -> Limits:
    """Return the limits of counts of defects in samples of one size (c-chart)."""
    centre = fmean(counts)
    reach = 3 * sqrt(centre)
    return Limits(max(0.0, centre - reach), centre, centre + reach)


@dataclass(frozen=True, slots=True)
class Signal:
    """Rule 1 to 4 has come true with value `at`, counted from 0; `above` the centre or below."""

    rule: int
    at: int
    above: bool


# Rule: how many of the last so many values lie more than so many standard deviations out.
RULES = {1: (1, 1, 3.0), 2: (2, 3, 2.0), 3: (4, 5, 1.0), 4: (8, 8, 0.0)}


def signals(distances: Sequence[float]) -> tuple[Signal, ...]:
    """Return all signals of values given as standard deviations from the centre, in order."""
    return tuple(
        Signal(rule, at, above)
        for at in range(len(distances))
        for rule in RULES
        for above in (True, False)
        if _comes_true(rule, distances[max(0, at - 7) : at + 1], 1 if above else -1)
    )


def _comes_true(rule: int, so_far: Sequence[float], side: int) -> bool:
    """The last value itself must lie out there: a signal is told once, where it arises."""
    enough, of, far = RULES[rule]
    last = so_far[-of:]
    out = [side * value > far for value in last]
    return out[-1] and sum(out) >= enough
