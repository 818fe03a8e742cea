"""A solved history as a curve: maxima, time above a temperature, the moment it falls to one."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from kiosk.heat.solver import Sample, history
from kiosk.heat.stack import Stage, Story, Temperatures

Reading = Callable[[Sample], float | None]


def bond(sample: Sample) -> float | None:
    """The film's side of the bond, °C; None before film is there."""
    return sample.bond


def cloth(sample: Sample) -> float | None:
    """The cloth's top face, °C; None where there is no cloth."""
    return sample.cloth


@dataclass(frozen=True, slots=True)
class Curve:
    """Samples in order of time; several of one moment where a stage changes."""

    samples: tuple[Sample, ...]

    def highest(self, reading: Reading) -> float | None:
        """The highest temperature in °C, None where there is none."""
        return max((t for t in map(reading, self.samples) if t is not None), default=None)

    def seconds_above(self, reading: Reading, limit: float) -> float:
        """Seconds spent above `limit` °C, the samples joined by straight lines."""
        total = 0.0
        for first, second in pairwise(self.samples):
            a, b = reading(first), reading(second)
            if a is not None and b is not None:
                total += _part_above(a, b, limit) * (second.time - first.time)
        return total

    def falls_to(self, limit: float) -> float | None:
        """The time at which the bond first falls to `limit` °C, None if it does not."""
        for first, second in pairwise(self.samples):
            a, b = first.bond, second.bond
            if a is not None and b is not None and a > limit >= b:
                return first.time + (a - limit) / (a - b) * (second.time - first.time)
        return None

    def rises_to(self, limit: float) -> float | None:
        """The time at which the bond first reaches `limit` °C from below, None if it does not."""
        for first, second in pairwise(self.samples):
            a, b = first.bond, second.bond
            if a is not None and b is not None and a < limit <= b:
                return first.time + (limit - a) / (b - a) * (second.time - first.time)
        return None

    def slope(self, time: float) -> float:
        """The bond's change in K/s at `time`; 0 beyond the curve and where there is no film."""
        samples = self.samples
        index = bisect_right(samples, time, key=lambda s: s.time)
        if not 0 < index < len(samples):
            return 0.0
        first, second = samples[index - 1], samples[index]
        if first.bond is None or second.bond is None:
            return 0.0
        return (second.bond - first.bond) / (second.time - first.time)

    def at(self, time: float) -> float | None:
        """The bond's temperature in °C at `time`; the ends hold beyond the curve."""
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
class Solved:
    """A whole history by stage, and as one curve; `opened` is when the last closing ended, s.

    `cooling` is the curve from then on; `end` is every layer's cells as the history ends, °C.
    """

    stages: tuple[tuple[Stage, Curve], ...]
    whole: Curve
    opened: float
    cooling: Curve
    end: Temperatures


def solve(story: Story, start: Temperatures | None = None) -> Solved:
    """Return the story's solved history; `start` as in `history`."""
    found = history(story, start)
    samples = tuple(sample for _, part in found.stages for sample in part)
    begin, opened = 0.0, 0.0
    for stage in story.stages:
        begin += stage.seconds
        opened = begin if stage.pressed else opened
    stages = tuple((stage, Curve(part)) for stage, part in found.stages)
    cooling = Curve(tuple(s for s in samples if s.time >= opened))
    return Solved(stages, Curve(samples), opened, cooling, found.end)
