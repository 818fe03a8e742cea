"""What a shop sees of a garment that cools: taps, touches and readings, as values of ln β."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from math import hypot, log

from kiosk.heat.curve import Curve

FOUND_READY_SPREAD = 0.22  # a tap at the moment it was found ready, and a peel's outcome
READING_FLOOR = 0.08
INFRARED_KELVIN = 2.0
INFRARED_SHARE = 0.03
TOUCH_KELVIN = 4.0  # what a hand tells apart: an assumption


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
