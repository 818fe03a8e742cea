"""A cooling garment's curve as kept in the record: few points, joined by straight lines."""

from collections.abc import Iterator
from math import inf

from kiosk.heat.curve import Curve
from kiosk.heat.solver import Sample
from kiosk.run.state import Estimate, Points

NEAR_SHARE = 0.004  # greatest error of the lines, as a share of the bond above its coldest
LEAST_KELVIN = 0.02


def curve_of(points: Points) -> Curve:
    """Return kept points as a curve, for looking up readings."""
    return Curve(tuple(Sample(time, celsius, None) for time, celsius in points))


def moved(old: Estimate, seconds: float) -> Iterator[tuple[float, float]]:
    """Yield the points of a garment on the pad until `seconds`, then cooling as a lifted one."""
    at = curve_of(old.pad_curve).at(seconds) or old.pad_curve[-1][1]
    yield from (point for point in old.pad_curve if point[0] < seconds)
    yield seconds, at
    colder = [point for point in old.lifted_curve if point[1] < at]
    start = curve_of(old.lifted_curve).falls_to(at) or 0.0
    yield from ((seconds + time - start, t) for time, t in colder if time > start)


def thinned(samples: tuple[Sample, ...]) -> Iterator[tuple[float, float]]:
    """Yield seconds and °C of the few samples whose straight lines pass near all the others.

    Times rise; a moment between two of them is found to about half a percent or half a second.
    """
    points = [(sample.time, sample.bond) for sample in samples if sample.bond is not None]
    start, coldest = points[0], points[-1][1]
    before = start
    yield _rounded(start)
    low, high = -inf, inf  # slopes of a line from the start that passes near all points since
    for time, celsius in points[1:]:
        if time <= before[0]:
            continue
        slope = (celsius - start[1]) / (time - start[0])
        if not low <= slope <= high:
            yield _rounded(before)
            start, low, high = before, -inf, inf
            slope = (celsius - start[1]) / (time - start[0])
        near = (LEAST_KELVIN + NEAR_SHARE * abs(celsius - coldest)) / (time - start[0])
        low, high = max(low, slope - near), min(high, slope + near)
        before = time, celsius
    yield _rounded(before)


def _rounded(point: tuple[float, float]) -> tuple[float, float]:
    return round(point[0], 2), round(point[1], 2)
