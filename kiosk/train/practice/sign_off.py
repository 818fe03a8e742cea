"""Whether a trainee has shown what the shop asks for, and how their times came down."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import takewhile
from math import exp, log
from statistics import fmean

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import SignOffRule
from kiosk.report.stats import learned_rate, unit_time
from kiosk.train.practice.levels import Practised, Trainee

FEWEST_FOR_A_CURVE = 3


@dataclass(frozen=True, slots=True)
class Criterion:
    """One thing that is asked for: how much of it there is."""

    name: str
    has: int
    needs: int

    @property
    def met(self) -> bool:
        """Whether there is enough of it."""
        return self.has >= self.needs

    @property
    def line(self) -> Message:
        """It as a line of a page."""
        word = "met" if self.met else "open"
        return say(f"practice.criterion.{self.name}_{word}", has=self.has, needs=self.needs)


def criteria(trainee: Trainee, family: str, rule: SignOffRule) -> tuple[Criterion, ...]:
    """Return what the shop asks for in a family, with what the trainee has shown."""
    made = trainee.of_family(family)
    in_a_row = sum(1 for _ in takewhile(_alone, reversed(made)))
    return (
        Criterion("garments", in_a_row, rule.clean_garments),
        Criterion("slips", trainee.caught.get(family, 0), rule.slips_caught),
        Criterion("quiz", sum(trainee.quiz), rule.quiz_right),
    )


def is_ready(trainee: Trainee, family: str, rule: SignOffRule) -> bool:
    """Return whether a trainee may ask to be signed off for a family."""
    return all(each.met for each in criteria(trainee, family, rule))


def curve(trainee: Trainee, family: str) -> Message:
    """Return how the hands' seconds came down, by the unit model; or that it is too soon to say."""
    times = [each.seconds for each in trainee.of_family(family) if each.seconds > 0]
    if len(times) < FEWEST_FOR_A_CURVE:
        return say("practice.curve.few", count=len(times), needs=FEWEST_FOR_A_CURVE)
    values = {"first": round(times[0]), "last": round(times[-1]), "count": len(times)}
    rate = learned_rate(times)
    if rate >= 1:
        return say("practice.curve.flat", **values)
    ahead = {"next": 2 * len(times), "then": round(times[-1] * rate)}
    return say("practice.curve.rate", rate=round(rate * 100), **ahead, **values)


@dataclass(frozen=True, slots=True)
class Timed:
    """One garment in order: its hands' seconds, and what the fitted curve has there."""

    nth: int
    seconds: float
    on_curve: float | None


def timed(trainee: Trainee, family: str) -> tuple[Timed, ...]:
    """Return the garments of a family in order with the unit model fitted to them."""
    times = [each.seconds for each in trainee.of_family(family) if each.seconds > 0]
    if len(times) < FEWEST_FOR_A_CURVE:
        return tuple(Timed(n, seconds, None) for n, seconds in enumerate(times, 1))
    rate = learned_rate(times)
    # The fit goes through the means of both logarithms: that gives its first unit.
    unscaled = [unit_time(1.0, rate, n) for n in range(1, len(times) + 1)]
    first = exp(fmean(log(t / u) for t, u in zip(times, unscaled, strict=True)))
    return tuple(
        Timed(n, seconds, first * share)
        for n, (seconds, share) in enumerate(zip(times, unscaled, strict=True), 1)
    )


def _alone(each: Practised) -> bool:
    return each.own and each.clean
