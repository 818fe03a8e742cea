"""Learning curves: each doubling of the number made takes the rate's share of the time before."""

from __future__ import annotations

from collections.abc import Sequence
from math import log, log2
from statistics import linear_regression


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
