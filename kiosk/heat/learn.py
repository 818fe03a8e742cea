"""What the shop teaches: β, true time over the model's, from taps, touch checks and readings.

ln β is Gaussian, one β for lifted and one for on the pad: they do not transfer. Two-sided
observations update mean and weight. "Ready by then" is one-sided: the taps of one shop share
their error, so only the lowest of them counts, and once; then β cannot follow its own prompts.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import Enum
from math import erfc, exp, hypot, log, pi, sqrt

from kiosk.heat.curve import Curve

PRIOR_SPREAD_LIFTED = 0.20
PRIOR_SPREAD_PAD = 0.30
FOUND_READY_SPREAD = 0.22  # a tap at the moment it was found ready, and a peel's outcome
MODEL_SPREAD = 0.06  # what stays uncertain from garment to garment
EIGHTY_PERCENT = 1.28
READING_FLOOR = 0.08
INFRARED_KELVIN = 2.0
INFRARED_SHARE = 0.03
TOUCH_KELVIN = 4.0  # what a hand tells apart: an assumption
WIDENED = 1.5  # a lifted edge's growth of the variance: an assumption
TOO_LATE = 2.5  # spreads beyond the mean, after which an edge lifts for another cause


class Kind(Enum):
    """What was observed: a moment from both sides, ready by then, or not ready then.

    A lifted edge is found after the peel, and also says that the time told was wrong.
    """

    MOMENT = "moment"
    READY_BY = "ready by"
    LIFTED_EDGE = "lifted edge"
    NOT_READY = "not ready"


@dataclass(frozen=True, slots=True)
class Observation:
    """Seconds after opening when something was seen, and the model's for it; spread of ln."""

    kind: Kind
    seen_seconds: float
    model_seconds: float
    spread: float = FOUND_READY_SPREAD

    def __post_init__(self) -> None:
        if min(self.seen_seconds, self.model_seconds, self.spread) <= 0:
            raise ValueError("an observation's seconds and spread are above zero")

    @property
    def log_ratio(self) -> float:
        """ln of the time seen over the model's."""
        return log(self.seen_seconds / self.model_seconds)


@dataclass(frozen=True, slots=True)
class Beta:
    """ln β as learned from both sides, and the lowest ln at which a peel was good already."""

    two_sided_mean: float
    two_sided_weight: float
    ready_by: float | None = None

    @property
    def _matched(self) -> tuple[float, float]:
        """Mean and variance of ln β, all counted."""
        mean, variance = self.two_sided_mean, 1 / self.two_sided_weight
        if self.ready_by is None:
            return mean, variance
        flipped, variance = _above(-mean, variance, -self.ready_by, FOUND_READY_SPREAD)
        return -flipped, variance

    @property
    def mean(self) -> float:
        """The mean of ln β."""
        return self._matched[0]

    @property
    def weight(self) -> float:
        """One over the variance of ln β."""
        return 1 / self._matched[1]

    @property
    def factor(self) -> float:
        """β itself."""
        return exp(self.mean)

    @property
    def low(self) -> float:
        """The lower end of β's 80 % range."""
        return exp(self.mean - EIGHTY_PERCENT * self.spread)

    @property
    def high(self) -> float:
        """The upper end of β's 80 % range."""
        return exp(self.mean + EIGHTY_PERCENT * self.spread)

    @property
    def spread(self) -> float:
        """The spread of ln of one garment's time over the model's."""
        return hypot(self.weight**-0.5, MODEL_SPREAD)


LIFTED = Beta(0.0, PRIOR_SPREAD_LIFTED**-2)
PAD = Beta(0.0, PRIOR_SPREAD_PAD**-2)


def learned(prior: Beta, observations: Iterable[Observation]) -> Beta:
    """Return what `prior` becomes by the observations, in their order; a reset is the prior."""
    beta = prior
    for observation in observations:
        beta = learn(beta, observation, prior)
    return beta


def learn(beta: Beta, observation: Observation, prior: Beta) -> Beta:
    """Return `beta` with one more observation; lifted edges make it little wider than `prior`."""
    return _UPDATES[observation.kind](beta, observation, prior)


def _moment(beta: Beta, seen: Observation, _prior: Beta) -> Beta:
    gained = seen.spread**-2
    weight = beta.two_sided_weight + gained
    mean = (beta.two_sided_mean * beta.two_sided_weight + seen.log_ratio * gained) / weight
    return replace(beta, two_sided_mean=mean, two_sided_weight=weight)


def _ready_by(beta: Beta, seen: Observation, _prior: Beta) -> Beta:
    lowest = seen.log_ratio if beta.ready_by is None else min(beta.ready_by, seen.log_ratio)
    return replace(beta, ready_by=lowest)


def _lifted_edge(beta: Beta, seen: Observation, prior: Beta) -> Beta:
    """Widen, and shift later unless it came too late to be a matter of time.

    A bound that it contradicts is forgotten: a good peel at that time was luck.
    """
    now, first = 1 / beta.two_sided_weight, 1 / prior.two_sided_weight
    variance = max(now, WIDENED * min(now, first))
    mean = beta.two_sided_mean
    if seen.log_ratio <= beta.mean + TOO_LATE * beta.spread:
        mean, _ = _above(mean, variance, seen.log_ratio, seen.spread)
    bound = beta.ready_by
    if bound is not None and bound <= seen.log_ratio:
        bound = None
    return Beta(mean, 1 / variance, bound)


def _not_ready(beta: Beta, seen: Observation, _prior: Beta) -> Beta:
    """Felt before the peel: ready only later, and nobody was told otherwise."""
    mean, variance = _above(
        beta.two_sided_mean, 1 / beta.two_sided_weight, seen.log_ratio, seen.spread
    )
    bound = beta.ready_by
    if bound is not None and bound <= seen.log_ratio:
        bound = None
    return Beta(mean, 1 / variance, bound)


_UPDATES = {
    Kind.MOMENT: _moment,
    Kind.READY_BY: _ready_by,
    Kind.LIFTED_EDGE: _lifted_edge,
    Kind.NOT_READY: _not_ready,
}


def _above(mean: float, variance: float, bound: float, spread: float) -> tuple[float, float]:
    """Return mean and variance of a Gaussian once it is known to lie above a blurred bound.

    Moment matching of the probit factor Φ((x - bound)/spread): Rasmussen and Williams 2006,
    section 3.9.
    """
    total = sqrt(variance + spread * spread)
    z = (mean - bound) / total
    ratio = _hazard(z)
    shrink = variance * ratio * (z + ratio) / (total * total)
    return mean + variance / total * ratio, variance * (1 - shrink)


def _hazard(z: float) -> float:
    """The normal density over its distribution at z."""
    if z < -30:  # both underflow there
        return -z
    return exp(-z * z / 2) / sqrt(2 * pi) / (erfc(-z / sqrt(2)) / 2)


def found_ready(seen_seconds: float, model_seconds: float) -> Observation:
    """A tap at the very moment it was found ready, unprompted."""
    return Observation(Kind.MOMENT, seen_seconds, model_seconds)


def good_peel(seen_seconds: float, model_seconds: float, prompted: bool) -> Observation:
    """A good peel: after the prompt it was ready by then, before it that was the moment."""
    kind = Kind.READY_BY if prompted else Kind.MOMENT
    return Observation(kind, seen_seconds, model_seconds)


def lifted_edge(seen_seconds: float, model_seconds: float) -> Observation:
    """A peel that lifted an edge: not ready then."""
    return Observation(Kind.LIFTED_EDGE, seen_seconds, model_seconds)


def not_ready(seen_seconds: float, model_seconds: float) -> Observation:
    """A hand that finds it still too warm."""
    return Observation(Kind.NOT_READY, seen_seconds, model_seconds)


def touch_check(
    cooling: Curve, opened: float, seen_seconds: float, celsius: float, room: float
) -> Observation | None:
    """Return a hand's finding that it feels like `celsius`; None where the model never does."""
    return _reading(cooling, opened, seen_seconds, celsius, (TOUCH_KELVIN, 0.0, room))


def infrared(
    cooling: Curve, opened: float, seen_seconds: float, celsius: float, room: float
) -> Observation | None:
    """Return a thermometer's reading after opening; None where the model never gets there."""
    wrong = (INFRARED_KELVIN, INFRARED_SHARE, room)
    return _reading(cooling, opened, seen_seconds, celsius, wrong)


def _reading(
    cooling: Curve,
    opened: float,
    seen_seconds: float,
    celsius: float,
    wrong: tuple[float, float, float],
) -> Observation | None:
    moment = cooling.falls_to(celsius)
    if moment is None or moment <= opened or seen_seconds <= 0:
        return None
    kelvin, share, room = wrong
    model_seconds = moment - opened
    slope = cooling.slope(moment) * model_seconds  # K per unit of ln t
    if slope >= 0:
        return None
    blurred = hypot(kelvin, share * (celsius - room)) / -slope
    spread = hypot(blurred, READING_FLOOR)
    return Observation(Kind.MOMENT, seen_seconds, model_seconds, spread)
