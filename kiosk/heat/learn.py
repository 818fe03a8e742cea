"""What the shop teaches: β, true time over the model's, from taps, touch checks and readings.

There is one β for lifted and one for on the pad: they do not transfer. The distribution of x = ln β
is computed on a grid, exact for any one-dimensional likelihood. Moments are two-sided: the last
ones are kept and weighed together, each right most of the time and now and then altogether wrong (a
contaminated Gaussian: Huber 1964; Tukey 1960), so that an early wrong one is undone by those after
it. "Ready by then" is one-sided: the taps of one shop share their error, so only the lowest of them
counts, and once; alone it moves the middle but not the width, so no range is claimed. An
observation far from what is known teaches nothing until a second one agrees with it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import lru_cache
from math import erfc, exp, fsum, hypot, log, pi, sqrt
from operator import mul

from kiosk.catalog.base import dataclass
from kiosk.heat.curve import FOUND_READY_SPREAD, Curve, Observation, ObservationKind

WRONG_SHARE = 0.05  # of the moments seen are altogether wrong: an assumption
WRONG_SPREAD = 0.8  # of ln, for a wrong one: half to double is usual; an assumption
POINTS = 121
REACH = 5.0  # spreads of the prior to each side
ROOT_2 = sqrt(2)

Moments = tuple[tuple[float, float], ...]
"""Two-sided observations: ln of seen over model, and its spread."""


@lru_cache(maxsize=256)
def posterior(
    mean: float, variance: float, moments: Moments, below: tuple[float, float] | None
) -> tuple[float, float]:
    """Return mean and variance of x, a Gaussian before `moments`; `below` a blurred upper bound.

    The bound is (where, spread): the factor Φ((where - x)/spread).
    """
    if not moments and below is None:
        return mean, variance
    xs, weights = _grid(mean, variance), _weights(mean, variance, moments)
    if below is not None:
        bound, blur = below
        both = zip(xs, weights, strict=True)
        weights = [w * (erfc((x - bound) / blur / ROOT_2) / 2) for x, w in both]
    return _mean_and_variance(xs, weights)


@lru_cache(maxsize=64)
def _grid(mean: float, variance: float) -> list[float]:
    step = 2 * REACH * sqrt(variance) / (POINTS - 1)
    return [mean + (n - (POINTS - 1) / 2) * step for n in range(POINTS)]


@lru_cache(maxsize=64)  # each further moment is one further factor
def _weights(mean: float, variance: float, moments: Moments) -> list[float]:
    """Return the density on the grid, up to a factor."""
    xs = _grid(mean, variance)
    if not moments:
        return [exp(-((x - mean) ** 2) / (2 * variance)) for x in xs]
    *_, (seen, spread) = moments
    before = _weights(mean, variance, moments[:-1])
    return list(map(mul, before, likelihoods([seen - x for x in xs], spread)))


def likelihoods(offs: Iterable[float], spread: float) -> list[float]:
    """Return the likelihood, up to a factor, of moments off by `offs`: heavy tails."""
    right, wrong, far = 1 - WRONG_SHARE, WRONG_SHARE, WRONG_SPREAD
    return [
        right * (exp(-((off / spread) ** 2) / 2) / spread)
        + wrong * (exp(-((off / far) ** 2) / 2) / far)
        for off in offs
    ]


def _mean_and_variance(xs: Sequence[float], weights: Sequence[float]) -> tuple[float, float]:
    total = fsum(weights)
    mean = fsum(map(mul, weights, xs)) / total
    return mean, fsum([w * (x - mean) ** 2 for x, w in zip(xs, weights, strict=True)]) / total


PRIOR_SPREAD_LIFTED = 0.20
PRIOR_SPREAD_PAD = 0.30
MODEL_SPREAD = 0.06  # what stays uncertain from garment to garment
EIGHTY_PERCENT = 1.28
WIDENED = 1.5  # a lifted edge's growth of the variance: an assumption
TOO_LATE = 2.5  # spreads beyond the mean, after which an edge lifts for another reason
FAR = 2.0  # spreads from the mean: one right moment in twenty; it is asked for again
MOST = 2.5  # times the model's: no shop is farther off than this; an assumption
FAR_BOUND = 3.0  # the same for one-sided observations, which are not asked for again
KEPT_MOMENTS = 16  # older ones are folded into the Gaussian


@dataclass(frozen=True, slots=True)
class Beta:
    """ln β as a Gaussian before the last `moments`, and the lowest ln at which a peel was good.

    `two_sided` is how many moments it rests on; if 0, it has no range of its own to claim.
    """

    two_sided_mean: float
    two_sided_weight: float
    ready_by: float | None = None
    moments: Moments = ()
    two_sided: int = 0

    @property
    def _both_sides(self) -> tuple[float, float]:
        return posterior(self.two_sided_mean, 1 / self.two_sided_weight, self.moments, None)

    @property
    def _all(self) -> tuple[float, float]:
        if self.ready_by is None:
            return self._both_sides
        below = (self.ready_by, FOUND_READY_SPREAD)
        return posterior(self.two_sided_mean, 1 / self.two_sided_weight, self.moments, below)

    @property
    def mean(self) -> float:
        """The mean of ln β, all observations counted."""
        return self._all[0]

    @property
    def weight(self) -> float:
        """One over the variance of ln β; "ready by then" alone does not raise it."""
        return 1 / (self._all if self.two_sided else self._both_sides)[1]

    @property
    def at_least(self) -> bool:
        """Whether it was taught from one side only: just its lower end is known."""
        taught = self.ready_by is not None or self.two_sided_mean != 0.0
        return taught and not self.two_sided

    @property
    def span(self) -> tuple[float, float, float]:
        """The lower end of β's 80 % range, β itself, the upper end."""
        mean, away = self.mean, EIGHTY_PERCENT * self.spread
        return exp(mean - away), exp(mean), exp(mean + away)

    @property
    def factor(self) -> float:
        """β itself."""
        return exp(self.mean)

    @property
    def low(self) -> float:
        """The lower end of β's 80 % range."""
        return self.span[0]

    @property
    def high(self) -> float:
        """The upper end of β's 80 % range."""
        return self.span[2]

    @property
    def spread(self) -> float:
        """The spread of ln of one garment's time over the model's."""
        return hypot(self.weight**-0.5, MODEL_SPREAD)


LIFTED = Beta(0.0, PRIOR_SPREAD_LIFTED**-2)
PAD = Beta(0.0, PRIOR_SPREAD_PAD**-2)


def learn_all(prior: Beta, observations: Iterable[Observation]) -> Beta:
    """Return `prior` updated by the observations in order."""
    beta = prior
    for observation in observations:
        beta = learn(beta, observation, prior)
    return beta


def learn(beta: Beta, seen: Observation, prior: Beta, earlier: Observation | None = None) -> Beta:
    """Return `beta` with one more observation; unchanged if that teaches nothing.

    Lifted edges make it little wider than `prior`. `earlier` is the previous observation of the
    same garment: if both are far off and agree, they are believed, as one.
    """
    if not teaches(beta, seen, earlier):
        return beta
    if is_far(beta, seen):
        return _confirm(beta, seen)
    return _UPDATES[seen.kind](beta, seen, prior)


def teaches(beta: Beta, seen: Observation, earlier: Observation | None = None) -> bool:
    """Return whether an observation is near enough, or confirms an earlier one that was not."""
    if not is_far(beta, seen):
        return True
    if seen.kind is not ObservationKind.MOMENT or earlier is None or not is_far(beta, earlier):
        return False
    if abs(seen.log_ratio) > log(MOST):
        return False
    apart = abs(seen.log_ratio - earlier.log_ratio)
    return apart <= FAR * hypot(seen.spread, earlier.spread)


def is_far(beta: Beta, seen: Observation) -> bool:
    """Return whether an observation is too far from what is known to be taken at face value."""
    off = (seen.log_ratio - beta.mean) / hypot(beta.spread, seen.spread)
    if seen.kind is ObservationKind.MOMENT:
        return abs(off) > FAR
    if seen.kind is ObservationKind.READY_BY:
        return off < -FAR_BOUND
    return seen.kind is ObservationKind.NOT_READY and off > FAR_BOUND


def expected(
    beta: Beta, cooling: Curve, opened: float, seconds: float
) -> tuple[float, float] | None:
    """Return the range in °C expected of the bond, `seconds` after opening; None off the curve."""
    low, high = (cooling.at(opened + seconds / share) for share in (beta.low, beta.high))
    return None if low is None or high is None else (min(low, high), max(low, high))


def _moment(beta: Beta, seen: Observation, _prior: Beta) -> Beta:
    if len(beta.moments) >= KEPT_MOMENTS:
        beta = _folded(beta)
    moments = (*beta.moments, (seen.log_ratio, seen.spread))
    return replace(beta, moments=moments, two_sided=beta.two_sided + 1)


def _confirm(beta: Beta, seen: Observation) -> Beta:
    """Two that agree are no slip, but may share an error of hand or thermometer: count one."""
    beta = _folded(beta)
    gained = seen.spread**-2
    weight = beta.two_sided_weight + gained
    mean = (beta.two_sided_mean * beta.two_sided_weight + seen.log_ratio * gained) / weight
    return replace(beta, two_sided_mean=mean, two_sided_weight=weight, two_sided=beta.two_sided + 1)


def _folded(beta: Beta) -> Beta:
    """Return `beta` with its moments folded into the Gaussian at their present weights."""
    mean, variance = beta._both_sides
    return replace(beta, two_sided_mean=mean, two_sided_weight=1 / variance, moments=())


def _ready_by(beta: Beta, seen: Observation, _prior: Beta) -> Beta:
    lowest = seen.log_ratio if beta.ready_by is None else min(beta.ready_by, seen.log_ratio)
    return replace(beta, ready_by=lowest)


def _lifted_edge(beta: Beta, seen: Observation, prior: Beta) -> Beta:
    """Widen, and shift later unless it came too late to be a matter of time."""
    late = seen.log_ratio > beta.mean + TOO_LATE * beta.spread
    beta = _folded(beta)
    present, initial = 1 / beta.two_sided_weight, 1 / prior.two_sided_weight
    variance = max(present, WIDENED * min(present, initial))
    if late:
        return _drop_bound(beta, seen, beta.two_sided_mean, variance)
    return _drop_bound(beta, seen, *_above(beta.two_sided_mean, variance, seen, widen=True))


def _not_ready(beta: Beta, seen: Observation, _prior: Beta) -> Beta:
    """Felt before the peel: ready only later, but the estimate shown was not wrong."""
    beta = _folded(beta)
    return _drop_bound(beta, seen, *_above(beta.two_sided_mean, 1 / beta.two_sided_weight, seen))


def _drop_bound(beta: Beta, seen: Observation, mean: float, variance: float) -> Beta:
    """Drop a bound that the observation contradicts: a good peel at that time was luck."""
    bound = beta.ready_by
    if bound is not None and bound <= seen.log_ratio:
        bound = None
    return replace(beta, two_sided_mean=mean, two_sided_weight=1 / variance, ready_by=bound)


_UPDATES = {
    ObservationKind.MOMENT: _moment,
    ObservationKind.READY_BY: _ready_by,
    ObservationKind.LIFTED_EDGE: _lifted_edge,
    ObservationKind.NOT_READY: _not_ready,
}


def _above(
    mean: float, variance: float, seen: Observation, widen: bool = False
) -> tuple[float, float]:
    """Return mean and variance of a Gaussian once it is known to lie above a blurred bound.

    `widen` keeps the variance as it is. Moment matching of the probit factor Φ((x - bound)/spread):
    Rasmussen and Williams 2006, section 3.9.
    """
    total = sqrt(variance + seen.spread * seen.spread)
    z = (mean - seen.log_ratio) / total
    ratio = _hazard(z)
    shrink = 0.0 if widen else variance * ratio * (z + ratio) / (total * total)
    return mean + variance / total * ratio, variance * (1 - shrink)


def _hazard(z: float) -> float:
    """The normal density over its distribution at z."""
    if z < -30:  # both would underflow
        return -z
    return exp(-z * z / 2) / sqrt(2 * pi) / (erfc(-z / ROOT_2) / 2)
