"""A solved history as a curve; observations of a cooling garment, as values of ln β."""

from bisect import bisect_right
from collections.abc import Callable
from enum import Enum
from itertools import pairwise
from math import hypot, log

from kiosk.catalog.base import dataclass
from kiosk.heat.solver import Sample, history
from kiosk.heat.stack import HeatStage, HeatStory, Temperatures

Reading = Callable[[Sample], float | None]


def bond(sample: Sample) -> float | None:
    """Return the film side of the bond, °C; None before there is film."""
    return sample.bond


def cloth(sample: Sample) -> float | None:
    """Return the cloth's top face, °C; None without cloth."""
    return sample.cloth


@dataclass(frozen=True, slots=True)
class Curve:
    """Samples in order of time; several of the same time at a change of stage."""

    samples: tuple[Sample, ...]

    def highest(self, reading: Reading) -> float | None:
        """Return the highest temperature in °C, None if there is none."""
        return max((t for t in map(reading, self.samples) if t is not None), default=None)

    def seconds_above(self, reading: Reading, limit: float) -> float:
        """Return the seconds spent above `limit` °C, with straight lines between samples."""
        total = 0.0
        for first, second in pairwise(self.samples):
            a, b = reading(first), reading(second)
            if a is not None and b is not None:
                total += _part_above(a, b, limit) * (second.time - first.time)
        return total

    def falls_to(self, limit: float) -> float | None:
        """Return the time at which the bond first falls to `limit` °C, None if it does not."""
        begin, a = 0.0, self.samples[0].bond
        for time, b, _ in self.samples:
            if b is not None and b <= limit and a is not None and a > limit:
                return begin + (a - limit) / (a - b) * (time - begin)
            begin, a = time, b
        return None

    def rises_to(self, limit: float) -> float | None:
        """Return when the bond first reaches `limit` °C from below, None if it does not."""
        for first, second in pairwise(self.samples):
            a, b = first.bond, second.bond
            if a is not None and b is not None and a < limit <= b:
                return first.time + (limit - a) / (b - a) * (second.time - first.time)
        return None

    def slope(self, time: float) -> float:
        """Return the bond's change in K/s at `time`; 0 outside the curve or without film."""
        samples = self.samples
        index = bisect_right(samples, time, key=lambda s: s.time)
        if not 0 < index < len(samples):
            return 0.0
        first, second = samples[index - 1], samples[index]
        if first.bond is None or second.bond is None:
            return 0.0
        return (second.bond - first.bond) / (second.time - first.time)

    def at(self, time: float) -> float | None:
        """Return the bond's °C at `time`, past an end that of the end; None without film."""
        index = bisect_right(self.samples, time, key=lambda s: s.time)
        if index == 0:
            return self.samples[0].bond
        if index == len(self.samples):
            return self.samples[-1].bond
        first, second = self.samples[index - 1], self.samples[index]
        if first.bond is None or second.bond is None:
            return second.bond
        share = (time - first.time) / (second.time - first.time)
        return first.bond + share * (second.bond - first.bond)


def _part_above(a: float, b: float, limit: float) -> float:
    high, low = max(a, b), min(a, b)
    if low >= limit:
        return 1.0
    return 0.0 if high <= limit else (high - limit) / (high - low)


@dataclass(frozen=True, slots=True)
class SolvedCurves:
    """A whole history by stage, and as one curve; `opened` is when the last closing ended, s.

    `cooling` is the curve from then on; `end` is every layer's cells at the end, °C.
    """

    stages: tuple[tuple[HeatStage, Curve], ...]
    whole: Curve
    opened: float
    cooling: Curve
    end: Temperatures


def solve(story: HeatStory, start: Temperatures | None = None) -> SolvedCurves:
    """Return the story's solved history; `start` as in `history`."""
    found = history(story, start)
    samples = tuple(sample for _, part in found.stages for sample in part)
    begin, opened = 0.0, 0.0
    for stage in story.stages:
        begin += stage.seconds
        opened = begin if stage.pressed else opened
    stages = tuple((stage, Curve(part)) for stage, part in found.stages)
    cooling = Curve(tuple(s for s in samples if s.time >= opened))
    return SolvedCurves(stages, Curve(samples), opened, cooling, found.end)


FOUND_READY_SPREAD = 0.22  # of ln: of a tap when found ready, of a peel's outcome
READING_FLOOR = 0.08
INFRARED_KELVIN = 2.0
INFRARED_SHARE = 0.03
TOUCH_KELVIN = 4.0  # what a hand can tell apart: an assumption


class ObservationKind(Enum):
    """What was observed: the exact moment, ready by then, or not ready then.

    A lifted edge is found after the peel, and also means that the estimate shown was wrong.
    """

    MOMENT = "moment"
    READY_BY = "ready by"
    LIFTED_EDGE = "lifted edge"
    NOT_READY = "not ready"


@dataclass(frozen=True, slots=True)
class Observation:
    """When something was seen, in seconds after opening, and the model's time; spread of ln."""

    kind: ObservationKind
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
    """Return a good peel: ready by then if after the prompt, else the very moment."""
    kind = ObservationKind.READY_BY if prompted else ObservationKind.MOMENT
    return Observation(kind, seen_seconds, model_seconds)


def lifted_edge(seen_seconds: float, model_seconds: float) -> Observation:
    """Return a peel that lifted an edge: not ready then."""
    return Observation(ObservationKind.LIFTED_EDGE, seen_seconds, model_seconds)


def not_ready(seen_seconds: float, model_seconds: float) -> Observation:
    """Return a touch that found the garment still too warm."""
    return Observation(ObservationKind.NOT_READY, seen_seconds, model_seconds)


def touch_check(
    cooling: Curve, opened: float, seen_seconds: float, celsius: float, room: float
) -> Observation | None:
    """Return a touch that felt like `celsius`; None if the model never gets there."""
    return _reading(cooling, opened, seen_seconds, celsius, (TOUCH_KELVIN, 0.0, room))


def infrared(
    cooling: Curve, opened: float, seen_seconds: float, celsius: float, room: float
) -> Observation | None:
    """Return a thermometer's reading after opening; None if the model never gets there."""
    error = (INFRARED_KELVIN, INFRARED_SHARE, room)
    return _reading(cooling, opened, seen_seconds, celsius, error)


def _reading(
    cooling: Curve,
    opened: float,
    seen_seconds: float,
    celsius: float,
    error: tuple[float, float, float],
) -> Observation | None:
    moment = cooling.falls_to(celsius)
    if moment is None or moment <= opened or seen_seconds <= 0:
        return None
    kelvin, share, room = error
    model_seconds = moment - opened
    slope = cooling.slope(moment) * model_seconds  # K per unit of ln t
    if slope >= 0:
        return None
    blurred = hypot(kelvin, share * (celsius - room)) / -slope
    spread = hypot(blurred, READING_FLOOR)
    return Observation(ObservationKind.MOMENT, seen_seconds, model_seconds, spread)
