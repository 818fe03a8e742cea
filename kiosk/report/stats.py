"""Control charts, capability, ratios and learning curves, checked against outside sources."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from functools import lru_cache
from itertools import pairwise
from math import atan, cos, exp, log, log2, pi, sin, sqrt
from statistics import NormalDist, fmean, linear_regression, median
from typing import Generic, NamedTuple, TypeVar

from kiosk.report.evidence import FEW, SURE, Interval, Z, at_least, log_factorials

D2 = 1.128
"""Mean range of two values in standard deviations, as the handbook prints it."""


class Limits(NamedTuple):
    """A centre and its control limits, in the unit of the values."""

    lower: float
    centre: float
    upper: float

    @property
    def sigma(self) -> float:
        """One standard deviation, if the limits are 3 away from the centre."""
        return (self.upper - self.centre) / 3

    def times(self, factor: float) -> Limits:
        """Return the limits in another unit, `factor` times as high."""
        return Limits(self.lower * factor, self.centre * factor, self.upper * factor)


def individuals(values: Sequence[float]) -> Limits:
    """Return limits 3 deviations out, from the mean moving range of two or more values."""
    mean_range = fmean(abs(b - a) for a, b in pairwise(values))
    centre, reach = fmean(values), 3 * mean_range / D2
    return Limits(centre - reach, centre, centre + reach)


class Signal(NamedTuple):
    """A rule of RULES that value `nth` (from 0) fulfils, `above` or below the centre."""

    rule: int
    nth: int
    above: bool


Rules = Mapping[int, tuple[int, int, float]]
"""By rule (k, n, d): k of the last n values lie more than d deviations out on one side."""
FAR, FAR_EXACT = 4.2, 3.2
RUN = 11
RULES: Rules = {1: (1, 1, FAR), 4: (RUN, RUN, 0.0)}
"""Stricter than the handbook's four rules, which together give a false signal once in 92 values
of a steady process, and more often if the limits come from the values themselves. These give at
most one in 370, even if hand times are skewed.
"""
SETTLED = 20  # first values, none far outside, before runs count


def signals(distances: Sequence[float], rules: Rules = RULES) -> tuple[Signal, ...]:
    """Return the signals, in order; `distances` are standard deviations from the centre."""
    back = max(window for _, window, _ in rules.values())
    return tuple(
        Signal(rule, index, above)
        for index in range(len(distances))
        for rule in rules
        for above in (True, False)
        if _comes_true(
            rules[rule], distances[max(0, index + 1 - back) : index + 1], 1 if above else -1
        )
    )


def _comes_true(rule: tuple[int, int, float], so_far: Sequence[float], side: int) -> bool:
    """Return whether the last value fulfils a rule; it must itself lie outside."""
    enough, window, far = rule
    last = so_far[-window:]
    outside = [side * value > far for value in last]
    return outside[-1] and sum(outside) >= enough


class Chart(NamedTuple):
    """The limits for each value, and the signals."""

    limits: tuple[Limits, ...]
    signals: tuple[Signal, ...]


def values_chart(values: Sequence[float]) -> Chart:
    """Return the chart of two or more single values around their median."""
    sigma, centre = individuals(values).sigma, median(values)
    limits = Limits(centre - FAR * sigma, centre, centre + FAR * sigma)
    far = [(value - centre) / sigma for value in values] if sigma else []
    return Chart((limits,) * len(values), signals(far, _settled(far, FAR)))


def shares_chart(counts: Sequence[int], sizes: Sequence[int]) -> Chart:
    """Return the chart of each sample's share, by the exact binomial chance of its count."""
    share = sum(counts) / sum(sizes)
    if not 0 < share < 1:
        return Chart((Limits(share, share, share),) * len(counts), ())
    far = [_distance(count, size, share) for count, size in zip(counts, sizes, strict=True)]
    rules = {**_settled(far, FAR_EXACT), 1: (1, 1, FAR_EXACT)}
    return Chart(tuple(_reach(size, share) for size in sizes), signals(far, rules))


def _settled(distances: Sequence[float], far: float) -> Rules:
    """Return the rules to apply: run rules only if the first values are steady."""
    base = distances[:SETTLED]
    settled = len(base) == SETTLED and max(map(abs, base)) <= far
    return RULES if settled else {1: RULES[1]}


@lru_cache(maxsize=1024)
def _distance(count: int, size: int, share: float) -> float:
    """Return the normal deviation of equal rarity: negative if low, positive if high, else 0."""
    above, below = at_least(count, size, share), at_least(size - count, size, 1 - share)
    normal = NormalDist()
    if above < 0.5:
        return -normal.inv_cdf(max(above, SELDOM))
    return normal.inv_cdf(max(below, SELDOM)) if below < 0.5 else 0.0


SELDOM = 1e-15


@lru_cache(maxsize=256)
def _reach(size: int, share: float) -> Limits:
    """Return `share` between the lowest and highest shares of `size` that are not far out."""
    inside = [n for n in range(size + 1) if abs(_distance(n, size, share)) <= FAR_EXACT]
    return Limits(inside[0] / size, share, inside[-1] / size)


def chance_of_slope(values: Sequence[float]) -> tuple[float, float]:
    """Return the least-squares slope per step of three or more values, and its two-sided chance.

    The chance is Student's t, of a slope at least this steep if there is none.
    """
    count, places = len(values), range(len(values))
    slope, start = linear_regression(places, values)
    residual = sum((v - start - slope * n) ** 2 for n, v in zip(places, values, strict=True))
    if not slope:
        return 0.0, 1.0
    error = sqrt(residual / (count - 2) / (count * (count * count - 1) / 12))
    return slope, student(abs(slope) / error, count - 2) if error > SELDOM else 0.0


def student(distance: float, freedom: int) -> float:
    """Return the two-sided chance of a Student's t at least this far from 0, by its closed sum."""
    angle = atan(distance / sqrt(freedom))
    square, odd = cos(angle) ** 2, freedom % 2
    term = sin(angle) * (cos(angle) if odd else 1.0)
    total = 0.0
    for n in range(2 + odd, freedom + 1, 2):
        total += term
        term *= square * (n - 1) / n
    within = (angle + total) * 2 / pi if odd else total
    return max(0.0, 1.0 - within)


def median_interval(values: Sequence[float]) -> Interval | None:
    """Return the SURE interval of the true median, from ranks; None below FEW values."""
    if len(values) < FEW:
        return None
    ranked, out = sorted(values), _ranks_out(len(values))
    return Interval(ranked[out], ranked[-1 - out])


@lru_cache(maxsize=256)
def _ranks_out(count: int) -> int:
    """Return how many values at each end lie outside the interval."""
    out, below, logs = 0, 0.0, log_factorials(count)
    every = logs[count] - count * log(2)
    while out < count // 2:
        below += exp(every - logs[out] - logs[count - out])
        if 2 * below > 1 - SURE:
            break
        out += 1
    return max(0, out - 1)


def capability(lower: float, upper: float, mean: float, deviation: float) -> float:
    """Return Cpk if `deviation` comes from the moving range, Ppk if from all values."""
    return min(upper - mean, mean - lower) / (3 * deviation)


BY_RANGES = 0.62
"""Moving ranges estimate a deviation as well as this share of the values does; from memory."""


def index_interval(index: float, count: int, by_ranges: bool = False) -> Interval:
    """Return the interval of the true Cpk (`by_ranges`) or Ppk. NIST 6.1.6, by Bissell; quoted."""
    freedom = (count - 1) * (BY_RANGES if by_ranges else 1.0)
    reach = Z * sqrt(1 / (9 * count) + index**2 / (2 * freedom))
    return Interval(index - reach, index + reach)


K = TypeVar("K", bound=Hashable)


class ParetoBar(NamedTuple, Generic[K]):
    """One cause: its count, and the cumulative share up to and including it."""

    key: K
    times: int
    covered: float


def pareto(counts: Mapping[K, int]) -> tuple[ParetoBar[K], ...]:
    """Return the bars, most frequent first, ties by name; zero counts are left out."""
    total, so_far, bars = sum(counts.values()), 0, []
    for key, count in sorted(counts.items(), key=lambda item: (-item[1], str(item[0]))):
        if count:
            so_far += count
            bars.append(ParetoBar(key, count, so_far / total))
    return tuple(bars)


def unit_time(first: float, rate: float, unit: int) -> float:
    """Return the time of one unit, counted from 1 (unit model); `rate` is such as 0.85."""
    return first * float(unit ** log2(rate))


def learned_rate(times: Sequence[float]) -> float:
    """Return the learning rate that fits times in order (unit model, least squares of logarithms).

    Needs at least two times, all above 0.
    """
    slope = linear_regression([log(n) for n in range(1, len(times) + 1)], [log(t) for t in times])
    return float(2**slope.slope)


class Elements(NamedTuple):
    """The inputs of the ratios. Times in seconds; None if unknown.

    In order: planned busy time; actual unit busy, production, set-up, processing and order
    execution time; produced, good, scrap, rework and inspected quantity; good parts at first;
    planned run time per unit. The short names are those of an open ontology of the standard;
    other public texts abbreviate some differently, so people are shown the full names only.
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


def _ratio(part: float | None, whole: float | None) -> float | None:
    return None if part is None or not whole else part / whole


def percent(share: float) -> str:
    """Return a share in percent as sentences and tables show it: `92.5`."""
    return f"{100 * share:.1f}"


def _product(*factors: float | None) -> float | None:
    product = 1.0
    for factor in factors:
        if factor is None:
            return None
        product *= factor
    return product


RATIOS: Mapping[str, Callable[[Elements], float | None]] = {
    "quality_ratio": lambda e: _ratio(e.gq, e.pq),
    "first_pass_yield": lambda e: _ratio(e.gp, e.ip),
    "rework_ratio": lambda e: _ratio(e.rq, e.pq),
    "scrap_ratio": lambda e: _ratio(e.sq, e.pq),
    "throughput_rate": lambda e: _ratio(e.pq, e.aoet),  # per second
    "setup_ratio": lambda e: _ratio(e.asut, e.aupt),
    "utilization_efficiency": lambda e: _ratio(e.apt, e.aubt),
    "allocation_efficiency": lambda e: _ratio(e.aubt, e.pbt),
    "availability": lambda e: _ratio(e.apt, e.pbt),
    "effectiveness": lambda e: _ratio(_product(e.pru, e.pq), e.apt),
    "oee": lambda e: _product(
        RATIOS["availability"](e), RATIOS["effectiveness"](e), RATIOS["quality_ratio"](e)
    ),
}
"""Ratios by the standard's name; None if an element is unknown or the divisor is zero."""
