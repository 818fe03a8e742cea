"""What is known of x = ln β, worked out on a grid: exact for any likelihood of one dimension.

A moment seen is right most of the time, blurred by its spread; now and then it is wrong
altogether, by anything (a contaminated Gaussian: Huber 1964; Tukey 1960). Where later ones speak
against it, an early wrong one loses its weight by itself.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from math import erfc, exp, fsum, sqrt

WRONG_SHARE = 0.05  # of the moments seen are wrong altogether: an assumption
WRONG_SPREAD = 0.8  # of ln, of a wrong one: half to double is usual; an assumption
POINTS = 121
REACH = 5.0  # spreads of the prior to each side

Moments = tuple[tuple[float, float], ...]
"""Two-sided observations: ln of seen over model, and its spread."""


@lru_cache(maxsize=256)
def matched(
    mean: float, variance: float, moments: Moments, below: tuple[float, float] | None
) -> tuple[float, float]:
    """Return mean and variance of x, a Gaussian until `moments`; `below` a blurred upper bound.

    The bound is (where, spread): the factor Φ((where - x)/spread).
    """
    if not moments and below is None:
        return mean, variance
    step = 2 * REACH * sqrt(variance) / (POINTS - 1)
    xs = [mean + (n - (POINTS - 1) / 2) * step for n in range(POINTS)]
    return _first_two(xs, [_density(x, mean, variance, moments, below) for x in xs])


def _density(
    x: float,
    mean: float,
    variance: float,
    moments: Moments,
    below: tuple[float, float] | None,
) -> float:
    found = exp(-((x - mean) ** 2) / (2 * variance))
    for seen, spread in moments:
        found *= likelihood(seen - x, spread)
    if below is not None:
        found *= erfc((x - below[0]) / below[1] / sqrt(2)) / 2
    return found


def likelihood(off: float, spread: float) -> float:
    """Return how likely a moment is that is `off` by so much, up to a factor: heavy tails."""
    right = exp(-((off / spread) ** 2) / 2) / spread
    wrong = exp(-((off / WRONG_SPREAD) ** 2) / 2) / WRONG_SPREAD
    return (1 - WRONG_SHARE) * right + WRONG_SHARE * wrong


def _first_two(xs: Sequence[float], weights: Sequence[float]) -> tuple[float, float]:
    total = fsum(weights)
    mean = _mean(xs, weights, total, lambda x: x)
    return mean, _mean(xs, weights, total, lambda x: (x - mean) ** 2)


def _mean(
    xs: Sequence[float], weights: Sequence[float], total: float, of: Callable[[float], float]
) -> float:
    return fsum(w * of(x) for x, w in zip(xs, weights, strict=True)) / total
