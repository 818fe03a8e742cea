"""Nobody is named by chance, and planted slips are found: many seeds, checked with scipy."""

from __future__ import annotations

from itertools import pairwise
from math import isnan
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from made_up_shifts import JOBS, PEOPLE, STATIONS, Planted, Shift, check, named, period

from kiosk.report.answers.checks import drifts
from kiosk.report.answers.helping import help_needs, people
from kiosk.report.answers.pace import moves
from kiosk.report.answers.tack import tack
from kiosk.report.evidence import (
    Comparison,
    Share,
    Strength,
    agree,
    at_least,
    longer_than_others,
    more_than_others,
    stand_out,
    strengths,
    wilson,
)
from kiosk.report.period import Period
from kiosk.report.report import ReportRequest, build
from kiosk.report.stats import (
    chance_of_slope,
    index_interval,
    individuals,
    median_interval,
    shares_chart,
    student,
    values_chart,
)
from kiosk.words import Words

NULL_SEEDS = [f"null shift {n}" for n in range(30)]
MORE_SEEDS = [f"null shift {n}" for n in range(30, 120)]
PLANTED_SEEDS = [f"planted {n}" for n in range(100)]


def outside() -> Any:
    """Return scipy's statistics, imported late: each worker would spend most of a second on it."""
    from scipy import stats

    return stats


def names(seed: str) -> list[str]:
    return [name for each in named(period(seed)).values() for name in each]


def test_thirty_shifts_of_equal_people_name_at_most_one() -> None:
    found = {seed: told for seed in NULL_SEEDS if (told := names(seed))}
    assert sum(map(len, found.values())) <= 1, found


def test_ninety_more_shifts_of_equal_people_name_at_most_three() -> None:
    """These seeds were not used to choose the rule."""
    found = {seed: told for seed in MORE_SEEDS if (told := names(seed))}
    assert sum(map(len, found.values())) <= 3, found


def test_a_person_with_25_slips_in_100_is_found_among_others_with_5() -> None:
    """At 50 occasions each: 25 or 26 garments at either of two presses."""
    planted = Planted(slips={("QV", "reading"): 0.25}, each=100)
    found = 0
    for seed in PLANTED_SEEDS:
        one = Shift(Random(seed), "north", planted).made()
        told = {(each.operator, each.topic) for each in help_needs(Period((one,)))}
        found += ("QV", "reading") in told
    assert found >= 70


def test_scipys_exact_test_names_the_same_person() -> None:
    rng, both = Random("25 against 5 at 50"), 0
    for _ in PLANTED_SEEDS:
        slips = [sum(rng.random() < p for _ in range(50)) for p in (0.25, 0.05, 0.05)]
        groups = {who: {"": Share(n, 50)} for who, n in zip(PEOPLE, slips, strict=True)}
        table = [[slips[0], 50 - slips[0]], [sum(slips[1:]), 100 - sum(slips[1:])]]
        exact = outside().fisher_exact(table, alternative="greater").pvalue
        told = PEOPLE[0] in {each.key for each in stand_out(groups, questions=1)}
        assert told == (exact * 3 <= 0.05 and slips[0] >= 3)
        both += told
    assert both >= 70


def test_a_press_drifting_one_degree_per_check_is_reported_by_the_sixth() -> None:
    found = 0
    for seed in PLANTED_SEEDS:
        rng = Random(seed)
        checks = [check(rng, float(n)) for n in range(6)]
        found += any(drifts(checks[:n]) for n in (5, 6))
    assert found >= 90


def test_a_drift_after_a_steady_time_is_reported_by_its_sixth_check() -> None:
    found = 0
    for seed in PLANTED_SEEDS:
        rng = Random(seed)
        checks = [check(rng, float(max(0, n - 19))) for n in range(26)]
        found += any(drifts(checks[: 20 + n]) for n in range(1, 7))
    assert found >= 90


def test_a_steady_press_seems_to_drift_at_most_once_in_370_checks() -> None:
    rng, told, of = Random("steady press"), 0, 0
    for _ in range(250):
        checks = [check(rng, 0.0) for _ in range(30)]
        told += sum(drifts(checks[:n]) for n in range(5, 31))
        of += 26
    assert told / of <= 1 / 370


def test_a_drift_that_was_corrected_is_no_longer_reported() -> None:
    rng = Random("adjusted")
    offsets = [*(float(n) for n in range(7)), *[0.0] * 4]
    checks = [check(rng, offset) for offset in offsets]
    assert drifts(checks[:7])
    assert not any(drifts(checks[:n]) for n in (8, 9, 10, 11))


def test_one_person_at_75_s_among_two_at_6_s_is_the_only_one_named() -> None:
    found = moves(period("slow one", Planted(hands={"MK": 75.0})))
    told = [(key.station, key.operator) for key, pace in found.items()
            if pace.strength is not Strength.TOO_LITTLE]  # fmt: skip
    assert sorted(set(told)) == [(station, "MK") for station in STATIONS]


def test_a_tack_4_s_too_long_is_reported_both_measured_and_declared() -> None:
    topic = tack(period("long tack", Planted(tack=4.0)))
    said = [Words("en").say(line) for line in topic.answer]
    assert [line[:4] for line in said] == ["Yes:", "Yes:"]
    assert "north, measured" in said[0]
    assert "south, declared" in said[1]


def test_a_material_that_fails_is_named() -> None:
    found = named(period("bad pile", Planted(failing={"pile": 0.3}, each=120)))
    assert set(found["materials"]) == {"pile"}


def test_a_bad_press_is_not_blamed_on_the_person_most_often_there() -> None:
    """All people slip more at south; QV is only there more often."""
    groups = {
        ("QV", "reading"): {"south": Share(20, 80), "north": Share(1, 20)},
        ("ZD", "reading"): {"south": Share(5, 20), "north": Share(4, 80)},
    }
    assert stand_out(groups) == ()


rates = st.tuples(st.integers(0, 60), st.integers(1, 60)).map(lambda p: Share(min(p), max(p)))


@given(rates)
def test_the_interval_of_a_share_agrees_with_scipy(share: Share) -> None:
    known = outside().binomtest(*share).proportion_ci(method="wilson")
    assert tuple(wilson(*share)) == pytest.approx((known.low, known.high), abs=1e-12)


@given(rates, rates)
def test_the_chance_of_more_than_others_agrees_with_scipy(own: Share, others: Share) -> None:
    every, slips = own.whole + others.whole, own.part + others.part
    known = outside().hypergeom.sf(own.part - 1, every, slips, own.whole)
    assert more_than_others([(own, others)]) == pytest.approx(known, rel=1e-8, abs=1e-14)


@given(rates, rates, rates, rates)
@settings(max_examples=30)
def test_the_chance_over_two_strata_agrees_with_scipys_sum(
    a: Share, b: Share, c: Share, d: Share
) -> None:
    one = outside().hypergeom(a.whole + b.whole, a.part + b.part, a.whole)
    two = outside().hypergeom(c.whole + d.whole, c.part + d.part, c.whole)
    seen = a.part + c.part
    known = sum(one.pmf(n) * two.sf(seen - n - 1) for n in range(a.whole + 1))
    found = more_than_others([(a, b), (c, d)])
    assert found == pytest.approx(known, rel=1e-7, abs=1e-13)


@given(rates, st.floats(0.01, 0.99))
def test_the_chance_of_at_least_that_many_agrees_with_scipy(share: Share, chance: float) -> None:
    known = outside().binom.sf(share.part - 1, share.whole, chance)
    assert at_least(*share, chance) == pytest.approx(known, rel=1e-8, abs=1e-14)


seconds = st.lists(st.integers(1, 40).map(float), min_size=1, max_size=30)


@given(seconds, seconds)
def test_the_chance_of_longer_times_agrees_with_scipy(a: list[float], b: list[float]) -> None:
    if len({*a, *b}) < 2:
        assert longer_than_others(a, b) == 1.0
        return
    known = outside().mannwhitneyu(a, b, alternative="greater", method="asymptotic")
    assert longer_than_others(a, b) == pytest.approx(min(1.0, known.pvalue), abs=1e-12)


@given(st.lists(st.floats(0, 100), min_size=6, max_size=80))
def test_the_interval_of_a_median_agrees_with_scipy(values: list[float]) -> None:
    known = outside().quantile_test(values, q=0, p=0.5).confidence_interval(0.95)
    found = median_interval(values)
    assert found is not None
    assert tuple(found) == (known.low, known.high)


@given(st.lists(st.floats(0, 100), min_size=1, max_size=5))
def test_too_few_values_have_no_interval_for_the_median_as_in_scipy(values: list[float]) -> None:
    """Lowest and highest of five contain it 15 times of 16, below 95 of 100; of one, never."""
    known = outside().quantile_test(values, q=0, p=0.5).confidence_interval(0.95)
    assert isnan(known.low) or isnan(known.high)
    assert median_interval(values) is None


@given(st.floats(0.01, 30), st.integers(1, 30))  # closer to 0 scipy itself is off by 1e-12
def test_students_t_agrees_with_scipy(distance: float, freedom: int) -> None:
    known = 2 * outside().t.sf(distance, freedom)
    assert student(distance, freedom) == pytest.approx(known, abs=1e-12)


def test_the_chance_of_a_slope_agrees_with_scipy() -> None:
    values = [0.2, 0.9, 1.4, 3.1, 3.0, 4.6]
    known = outside().linregress(range(6), values)
    assert chance_of_slope(values) == pytest.approx((known.slope, known.pvalue))


def test_a_question_that_could_name_nobody_does_not_count() -> None:
    """Tarone 1990: two of ten comparisons could reach .05 / 2; from memory."""
    asked = [Comparison(0.02, 0.001), Comparison(1.0, 0.001), *[Comparison(1.0, 0.6)] * 8]
    assert strengths(asked)[0] is Strength.WATCH
    assert strengths([Comparison(0.02, 0.001)] * 10)[0] is Strength.TOO_LITTLE


@pytest.mark.parametrize("part", [2, 3, 5, 6, 8])
def test_a_person_who_works_alone_is_compared_with_a_usual_share(part: int) -> None:
    """By scipy's binomial; fewer than three slips name nobody, whatever the total."""
    chance = outside().binom.sf(part - 1, 40, 0.05)
    found = stand_out({"AB": {"": Share(part, 40)}}, alone=0.05, questions=1)
    expected = (
        [] if part < 3 or chance > 0.05 else [Strength.CLEAR if chance <= 0.01 else Strength.WATCH]
    )
    assert [each.strength for each in found] == expected
    assert stand_out({"AB": {"": Share(part, 40)}}, questions=1) == ()  # with no share at all


def test_stations_with_different_shares_are_not_pooled() -> None:
    assert agree({"north": Share(5, 100), "south": Share(6, 100)})
    assert not agree({"north": Share(5, 100), "south": Share(25, 100)})
    assert not agree({"north": Share(0, 100), "south": Share(20, 100), "east": Share(22, 100)})


def false_signals(kind: str, length: int, charts: int) -> float:
    """Return the signals per value on charts of a steady process."""
    rng, told = Random(f"steady {kind} {length}"), 0
    for _ in range(charts):
        if kind == "shares":
            found = shares_chart([sum(rng.random() < 0.05 for _ in range(20))
                                  for _ in range(length)], [20] * length)  # fmt: skip
        elif kind == "normal":
            found = values_chart([rng.gauss(0, 1) for _ in range(length)])
        else:  # hand times are skewed to the long side
            found = values_chart([rng.gammavariate(4, 1) for _ in range(length)])
        told += len({sign.nth for sign in found.signals})
    return told / (length * charts)


@pytest.mark.parametrize("kind", ["normal", "leaning", "shares"])
@pytest.mark.parametrize("length", [10, 40, 100])
def test_the_charts_give_at_most_one_false_signal_in_370_values(kind: str, length: int) -> None:
    assert false_signals(kind, length, 12_000 // length) <= 1 / 370


def test_a_shift_of_three_deviations_is_reported_on_a_settled_base() -> None:
    rng, told = Random("moved"), 0
    for _ in range(20):
        values = [rng.gauss(0, 1) for _ in range(30)] + [rng.gauss(3, 1) for _ in range(30)]
        told += any(sign.rule == 4 and sign.above for sign in values_chart(values).signals)
    assert told >= 15


def test_a_run_is_not_a_signal_before_the_base_is_settled() -> None:
    run = [1.1, 1.2, 1.3] * 4
    assert values_chart([0.0, 1.0] * 2 + [1.1, 0.2] * 2 + run[:11]).signals == ()
    steady, restless = [0.0, 1.0, 0.2, 0.5, 0.9] * 4, [0.0, 1.0, 0.2, 0.5, 9.0] + [0.0, 0.9] * 8
    assert {sign.rule for sign in values_chart(steady + run).signals} == {4}
    assert {sign.rule for sign in values_chart(restless + run).signals} == {1}


@pytest.mark.parametrize("by_ranges", [True, False])
def test_the_interval_of_an_index_contains_the_true_one_95_percent_of_the_time(
    by_ranges: bool,
) -> None:
    """Limits 4 deviations off on one side: the true index is 4/3. 40 values, 500 times."""
    rng, held = Random(f"index {by_ranges}"), 0
    for _ in range(500):
        values = [rng.gauss(0, 1) for _ in range(40)]
        mean = sum(values) / 40
        deviation = (
            sum(abs(b - a) for a, b in pairwise(values)) / 39 / 1.128
            if by_ranges
            else (sum((v - mean) ** 2 for v in values) / 39) ** 0.5
        )
        assert not by_ranges or individuals(values).sigma == pytest.approx(deviation)
        low, high = index_interval((4 - mean) / (3 * deviation), 40, by_ranges)
        held += low <= 4 / 3 <= high
    assert 0.92 <= held / 500 <= 0.98


def test_the_made_up_shift_has_the_jobs_of_its_plans() -> None:
    assert set(period("any").job_starts()) == set(JOBS)


def test_times_per_person_are_in_alphabetical_order_by_person_and_station() -> None:
    about = period("people", Planted(hands={"MK": 75.0}))
    rows = people(about).section.table.rows
    assert [(row[0], row[1]) for row in rows] == sorted(
        (who, station) for who in PEOPLE for station in STATIONS
    )
    assert {row[0] for row in rows if float(str(row[5])) > 20} == {"MK"}
    shown = {t.section.id for t in build(ReportRequest(about, about, Period()), "", "").topics}
    asked = build(ReportRequest(about, about, Period(), people=True), "", "")
    assert "people" not in shown
    assert asked.topics[-1].section.id == "people"
