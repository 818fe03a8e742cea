"""Capability, the vital few, learning curves: a few lines each, checked from outside."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from math import log, log2
from statistics import linear_regression
from typing import Generic, NamedTuple, TypeVar


class Capability(NamedTuple):
    """`cp` if it were in the middle, `cpk` as it is."""

    cp: float
    cpk: float


def capability(lower: float, upper: float, mean: float, deviation: float) -> Capability:
    """Return Cp and Cpk; all in one unit, `deviation` above 0."""
    return Capability(
        (upper - lower) / (6 * deviation),
        min(upper - mean, mean - lower) / (3 * deviation),
    )


K = TypeVar("K", bound=Hashable)


class Bar(NamedTuple, Generic[K]):
    """One cause: how often, and the share of all that it covers with those before it."""

    key: K
    times: int
    covered: float


def pareto(counts: Mapping[K, int]) -> tuple[Bar[K], ...]:
    """Return the bars, most frequent first, equal ones by their words; none of zero."""
    total, so_far, bars = sum(counts.values()), 0, []
    for key, count in sorted(counts.items(), key=lambda item: (-item[1], str(item[0]))):
        if count:
            so_far += count
            bars.append(Bar(key, count, so_far / total))
    return tuple(bars)


def unit_time(first: float, rate: float, unit: int) -> float:
    """Return the time of one unit, counted from 1 (unit model); `rate` as 0.85."""
    return first * float(unit ** log2(rate))


def total_time(first: float, rate: float, units: int) -> float:
    """Return the time of units 1 to `units` together (unit model)."""
    return sum(unit_time(first, rate, unit) for unit in range(1, units + 1))


def average_unit_time(first: float, rate: float, unit: int) -> float:
    """Return the time of one unit where the average so far follows the curve."""
    slope = log2(rate)
    return first * float(unit ** (slope + 1) - (unit - 1) ** (slope + 1))


def learned_rate(times: Sequence[float]) -> float:
    """Return the rate that fits times in order, unit model, by least squares of the logarithms.

    Needs at least two, all above 0.
    """
    slope = linear_regression([log(n) for n in range(1, len(times) + 1)], [log(t) for t in times])
    return float(2**slope.slope)
