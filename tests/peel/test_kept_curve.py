"""A kept curve compared with Newton's law of cooling, T = room + rise·exp(-t/τ) (textbooks)."""

from math import exp, log

import pytest
from hypothesis import given
from hypothesis import strategies as some

from kiosk.heat.solver import Sample
from kiosk.peel.kept_curve import curve_of, thinned

ROOM, RISE = 23.0, 110.0


def cooling(tau: float, seconds: float = 600.0, many: int = 400) -> tuple[Sample, ...]:
    """Return samples that get farther apart with time, like the solver's steps."""
    times = [seconds * (n / many) ** 2 for n in range(many + 1)]
    return tuple(Sample(t, ROOM + RISE * exp(-t / tau), None) for t in times)


@pytest.mark.parametrize("tau", [20.0, 60.0, 150.0])
@pytest.mark.parametrize("celsius", [120.0, 93.0, 60.0, 40.0, 33.0])
def test_a_moment_on_the_kept_curve_is_accurate_to_1_percent_or_half_a_second(
    tau: float, celsius: float
) -> None:
    found = curve_of(tuple(thinned(cooling(tau)))).falls_to(celsius)
    assert found == pytest.approx(tau * log(RISE / (celsius - ROOM)), rel=0.01, abs=0.6)


@pytest.mark.parametrize("tau", [20.0, 60.0, 150.0])
def test_a_few_dozen_of_hundreds_of_points_are_kept_with_both_ends(tau: float) -> None:
    solved = cooling(tau)
    kept = tuple(thinned(solved))
    assert len(kept) < 40
    assert kept[0] == (0.0, ROOM + RISE)
    assert kept[-1] == pytest.approx((600.0, solved[-1].bond), abs=0.01)


steps = some.tuples(some.floats(0.05, 30), some.floats(-0.2, 1)).map(lambda s: (s[0], s[1] * s[0]))


@given(some.lists(steps, min_size=1, max_size=60))
def test_the_kept_curve_passes_near_every_solved_point(falls: list[tuple[float, float]]) -> None:
    time, celsius, solved = 0.0, 300.0, [Sample(0.0, 300.0, None)]
    for seconds, fall in falls:
        time, celsius = time + seconds, celsius - fall
        solved.append(Sample(time, celsius, None))
    curve, end = curve_of(tuple(thinned(tuple(solved)))), celsius
    for sample in solved:
        assert sample.bond is not None
        near = 0.02 + 0.004 * abs(sample.bond - end) + 0.02  # plus the effect of rounding
        assert curve.at(sample.time) == pytest.approx(sample.bond, abs=near)


def test_a_moment_solved_twice_is_kept_once() -> None:
    solved = (Sample(0.0, 100.0, None), Sample(2.0, 80.0, None), Sample(2.0, 80.0, None))
    assert tuple(thinned(solved)) == ((0.0, 100.0), (2.0, 80.0))
