"""Control charts, capability, ratios, learning curves: a few lines each, checked from outside."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import log, log2, sqrt
from statistics import fmean, linear_regression
from typing import Generic, NamedTuple, TypeVar

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


def learned_rate(times: Sequence[float]) -> float:
    """Return the rate that fits times in order, unit model, by least squares of the logarithms.

    Needs at least two, all above 0.
    """
    slope = linear_regression([log(n) for n in range(1, len(times) + 1)], [log(t) for t in times])
    return float(2**slope.slope)


@dataclass(frozen=True, slots=True)
class Elements:
    """What the ratios are made of. Times in seconds; None where it is not known.

    Planned busy time, actual unit busy, production, set-up, processing and order execution
    time; produced, good, scrap, rework, inspected quantity, good parts at first; planned run
    time per unit. The short names are those of an open ontology of the standard; other public
    texts shorten some of them otherwise, so that a person reads them in full only.
    """

    pbt: float | None = None
    aubt: float | None = None
    apt: float | None = None
    asut: float | None = None
    aupt: float | None = None
    aoet: float | None = None
    pq: float | None = None
    gq: float | None = None
    sq: float | None = None
    rq: float | None = None
    ip: float | None = None
    gp: float | None = None
    pru: float | None = None


def _over(part: float | None, whole: float | None) -> float | None:
    return None if part is None or not whole else part / whole


def _times(*factors: float | None) -> float | None:
    product = 1.0
    for factor in factors:
        if factor is None:
            return None
        product *= factor
    return product


RATIOS: Mapping[str, Callable[[Elements], float | None]] = {
    "quality_ratio": lambda e: _over(e.gq, e.pq),
    "first_pass_yield": lambda e: _over(e.gp, e.ip),
    "rework_ratio": lambda e: _over(e.rq, e.pq),
    "scrap_ratio": lambda e: _over(e.sq, e.pq),
    "throughput_rate": lambda e: _over(e.pq, e.aoet),  # a second
    "setup_ratio": lambda e: _over(e.asut, e.aupt),
    "utilization_efficiency": lambda e: _over(e.apt, e.aubt),
    "allocation_efficiency": lambda e: _over(e.aubt, e.pbt),
    "availability": lambda e: _over(e.apt, e.pbt),
    "effectiveness": lambda e: _over(_times(e.pru, e.pq), e.apt),
    "oee": lambda e: _times(
        RATIOS["availability"](e), RATIOS["effectiveness"](e), RATIOS["quality_ratio"](e)
    ),
}
"""By the standard's name; None where an element is not known, or the divisor is nothing."""
