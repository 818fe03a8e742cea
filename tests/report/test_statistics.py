"""The report's statistics against numbers from outside the project.

NIST is the NIST/SEMATECH e-Handbook of Statistical Methods, as others quote it.
"""

from __future__ import annotations

from itertools import pairwise
from statistics import NormalDist, fmean

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.report.stats import (
    RATIOS,
    Elements,
    Limits,
    Signal,
    capability,
    individuals,
    learned_rate,
    pareto,
    shares_chart,
    signals,
    unit_time,
    values_chart,
)

FLOW = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]  # NIST 6.3.2.2


def beyond(values: list[float], limits: Limits) -> list[int]:
    """Return the samples outside the limits, counted from 1 as the handbook does."""
    return [n for n, v in enumerate(values, 1) if not limits.lower <= v <= limits.upper]


def test_the_individuals_chart_matches_the_handbook() -> None:  # NIST 6.3.2.2
    found = individuals(FLOW)
    assert fmean(abs(b - a) for a, b in pairwise(FLOW)) == pytest.approx(1.8778, abs=5e-5)
    assert found.centre == pytest.approx(50.81, abs=5e-7)
    assert found.upper == pytest.approx(55.8041, abs=5e-5)
    assert found.lower == pytest.approx(45.8159, abs=5e-5)
    assert beyond(FLOW, found) == []


def test_the_shares_chart_matches_the_handbooks_mean_and_farthest_sample() -> None:  # NIST 6.3.3.2
    """The chart as drawn is wider than the handbook's: it shows one of its two signals."""
    counts = [12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22,
              8, 10, 5, 13, 11, 20, 18, 24, 15, 9, 12, 7, 13, 9, 6]  # fmt: skip
    found = shares_chart(counts, [50] * 30)
    assert found.limits[0].centre == pytest.approx(0.231333, abs=5e-7)
    assert found.limits[0].lower < 4 / 50 < 0.410239 < found.limits[0].upper
    assert {sign.nth + 1 for sign in found.signals} == {23}


def test_the_chart_of_single_values_has_wider_limits_than_the_handbook() -> None:
    found, wide = individuals(FLOW), values_chart(FLOW).limits[0]
    assert wide.upper - wide.centre == pytest.approx(wide.centre - wide.lower)
    assert wide.upper - wide.lower > found.upper - found.lower  # NIST 6.3.2.2: 55.8041, 45.8159
    assert wide.centre == pytest.approx(51.25)  # the median: 5 of the 10 values on either side


def test_the_capability_matches_the_handbook() -> None:  # NIST 6.1.6
    assert capability(8, 20, 16, 2) == pytest.approx(0.6667, abs=5e-5)


# NIST 6.3.2: rule: how many of the last n lie beyond this many standard deviations.
WESTERN_ELECTRIC = {1: (1, 1, 3.0), 2: (2, 3, 2.0), 3: (4, 5, 1.0), 4: (8, 8, 0.0)}


@pytest.mark.parametrize(
    ("distances", "expected"),
    [
        ([3.1], Signal(1, 0, True)),
        ([-2.1, 0.0, -2.1], Signal(2, 2, False)),
        ([1.1, 1.1, 0.5, 1.1, 1.1], Signal(3, 4, True)),
        ([-0.1] * 8, Signal(4, 7, False)),
    ],
)
def test_each_western_electric_rule_gives_its_signal(  # NIST 6.3.2
    distances: list[float], expected: Signal
) -> None:
    assert signals(distances, WESTERN_ELECTRIC) == (expected,)


@pytest.mark.parametrize(
    "quiet",
    [
        [3.0, 0, -3.0],
        [2.1, 0, 0, 2.1],
        [2.1, 0, -2.1],
        [1.1, 1.1, 0, 0, 1.1, 1.1],
        [0.1] * 7,
        [0, 2.1],
    ],
)
def test_almost_breaking_a_rule_is_no_signal(quiet: list[float]) -> None:
    assert signals(quiet, WESTERN_ELECTRIC) == ()


def test_rule_1_alone_signals_once_in_370_values_of_a_steady_process() -> None:
    # run length in control 370.4, computed: one over the normal's share beyond 3
    assert 1 / (2 * (1 - NormalDist().cdf(3))) == pytest.approx(370.4, abs=0.05)
    inside = [NormalDist().inv_cdf(p / 1000) for p in range(2, 999)]
    assert not [s for s in signals(inside, WESTERN_ELECTRIC) if s.rule == 1]


# Made-up oracle of checks.md, formulas of ISO 22400-2 as an open ontology of it quotes them.
SHIFT = Elements(pbt=480 * 60, aubt=420 * 60, apt=360 * 60, asut=25 * 60, aupt=385 * 60,
                 aoet=450 * 60, pq=200, gq=186, sq=6, rq=8, ip=200, gp=184, pru=90)  # fmt: skip


@pytest.mark.parametrize(
    ("ratio", "value"),
    [
        ("availability", 0.75),
        ("effectiveness", 0.833333),
        ("quality_ratio", 0.93),
        ("first_pass_yield", 0.92),
        ("rework_ratio", 0.04),
        ("scrap_ratio", 0.03),
        ("allocation_efficiency", 0.875),
        ("utilization_efficiency", 0.857143),
        ("setup_ratio", 0.064935),
        ("oee", 0.58125),
    ],
)
def test_the_ratios_match_iso_22400_2(ratio: str, value: float) -> None:
    assert RATIOS[ratio](SHIFT) == pytest.approx(value, abs=5e-7)


def test_the_throughput_rate_matches_iso_22400_2() -> None:
    rate = RATIOS["throughput_rate"](SHIFT)
    assert rate is not None
    assert rate * 3600 == pytest.approx(26.667, abs=5e-4)


@given(*[st.floats(1, 1e5)] * 4, *[st.integers(1, 1000)] * 2)
def test_the_identities_of_iso_22400_2_hold(
    pbt: float, aubt: float, apt: float, pru: float, pq: int, gq: int
) -> None:
    shift = Elements(pbt=pbt, aubt=aubt, apt=apt, pru=pru, pq=pq, gq=gq)
    value = {name: ratio(shift) for name, ratio in RATIOS.items()}
    assert value["oee"] == pytest.approx(pru * gq / pbt)
    assert (value["allocation_efficiency"] or 0) * (
        value["utilization_efficiency"] or 0
    ) == pytest.approx(value["availability"])


@pytest.mark.parametrize("ratio", ["availability", "allocation_efficiency", "oee"])
def test_without_the_planned_busy_time_there_are_no_such_ratios(ratio: str) -> None:
    assert RATIOS[ratio](Elements(aubt=420, apt=360, pq=200, gq=186, pru=1.5)) is None


def test_with_nothing_made_there_is_no_quality_ratio() -> None:
    assert RATIOS["quality_ratio"](Elements(gq=0, pq=0)) is None


def test_the_unit_model_matches_the_published_learning_curve() -> (
    None
):  # R package learningCurve 1.1.2
    assert unit_time(100, 0.85, 125) == pytest.approx(32.23647, abs=5e-6)
    assert [unit_time(100, 0.8, n) for n in (2, 4, 8)] == pytest.approx([80, 64, 51.2])


def test_the_learning_rate_is_recovered_from_times_that_follow_it() -> None:
    assert learned_rate([unit_time(90, 0.83, n) for n in range(1, 40)]) == pytest.approx(0.83)
    assert learned_rate([30.0] * 12) == pytest.approx(1.0)


def test_the_most_frequent_is_first_and_the_last_covers_everything() -> None:
    bars = pareto({"b": 2, "a": 2, "none": 0, "most": 4})
    assert [(bar.key, bar.times, bar.covered) for bar in bars] == [
        ("most", 4, 0.5),
        ("a", 2, 0.75),
        ("b", 2, 1.0),
    ]
