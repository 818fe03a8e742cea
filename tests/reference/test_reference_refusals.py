"""The reference on hand-made cases: why something cannot be pressed, computed on paper."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import pytest
from made_up_sheets import BOTH, NAME, answer, at, band, cloth, film, peel_band, sheet, tack
from reference_points import all_places
from reference_refusal import smallest_conflict, unbroken_by
from reference_rules import World, parts_of
from reference_wording import limits_in_order
from sheets_from_json import element, press

from kiosk.catalog.model.house import Policy
from kiosk.catalog.model.sheets import Fabric, Material

STACK = element("number", "film", "other")
ONE = Policy(max_closings=1)
LATER = peel_band(280, 300, "cold")


def refused(*args: Any, **kwargs: Any) -> tuple[list[str], dict[str, int]]:
    found = answer(*args, **kwargs)
    assert found["status"] == "infeasible"
    return found["conflict"], found["gap"]


def test_windows_that_do_not_overlap_conflict_by_degrees() -> None:
    other = film("other", **at(305, 320, 310, "hot", dwell=(8, 12, 10)))
    assert refused(BOTH, film("film"), other, policy=ONE) == (
        ["name.1.temperature.high=300 F", "number.1.temperature.low=305 F"],
        {"temperature_f": 5},
    )


def test_dwell_windows_that_do_not_overlap_conflict_by_seconds() -> None:
    other = film("other", **at(280, 300, 290, "hot", dwell=(15, 20, 15)))
    assert refused(BOTH, film("film"), other, policy=ONE) == (
        ["name.1.dwell.high=12 s", "number.1.dwell.low=15 s"],
        {"dwell_s": 3},
    )


def test_the_gap_in_seconds_is_the_smallest_one() -> None:
    other = film(
        "other",
        temperature={"low": "280 F", "high": "300 F", "normal": "290 F"},
        dwell=[band(280, 289, 20, 25, 20), band(290, 300, 14, 25, 20)],
    )
    assert refused(BOTH, film("film"), other, policy=ONE) == (
        ["name.1.dwell.high=12 s", "number.1.dwell.low=20 s, 14 s"],
        {"dwell_s": 2},
    )


def test_a_final_longer_than_the_cloths_total_is_a_conflict() -> None:
    assert refused((NAME,), film("film"), on=cloth(total_heat="11 s")) == (
        ["name.1.dwell.low=8 s", "fabric.total_heat=11 s"],
        {"dwell_s": 2},
    )


def test_tacks_and_final_beyond_a_pieces_total_are_a_conflict() -> None:
    assert refused((STACK,), film("film", total_heat="9 s"), film("other")) == (
        [
            "number.1.dwell.low=8 s",
            "number.1.tack.low=1 s",
            "number.2.tack.low=1 s",
            "number.1.total_heat=9 s",
        ],
        {"dwell_s": 1},
    )


def test_a_cloth_that_bears_longer_when_cooler_adds_the_windows_low() -> None:
    """At 275 F the cloth allows 20 s; the film's 15 s at 280 F also apply there."""
    slow = film("film", dwell=[band(280, 300, 15, 20, 15)])
    falling = cloth(
        dwell_max=[
            {"from": "0 F", "to": "275 F", "at_most": "20 s"},
            {"from": "276 F", "to": "320 F", "at_most": "12 s"},
        ]
    )
    assert refused((NAME,), slow, on=falling) == (
        ["name.1.temperature.low=280 F", "name.1.dwell.low=15 s", "fabric.dwell_max=20 s, 12 s"],
        {"dwell_s": 3},
    )


def test_the_cloths_limit_for_one_closing_is_named_before_totals() -> None:
    short = cloth(dwell_max=[{"from": "0 F", "to": "320 F", "at_most": "6 s"}])
    assert refused((NAME,), film("film", total_heat="6 s"), on=short) == (
        ["name.1.dwell.low=8 s", "fabric.dwell_max=6 s"],
        {"dwell_s": 2},
    )


def test_a_temperature_without_a_stated_dwell_does_not_change_the_gap() -> None:
    torn = film("film", dwell=[band(280, 289, 8, 12, 10), band(291, 300, 8, 12, 10)])
    slow = film("other", dwell=[band(280, 300, 15, 20, 15)])
    assert refused(BOTH, torn, slow, policy=ONE) == (
        ["name.1.dwell.high=12 s, 12 s", "number.1.dwell.low=15 s"],
        {"dwell_s": 3},
    )


def test_a_peel_stated_only_where_no_dwell_is_conflicts_with_the_dwell() -> None:
    torn = film("film", dwell=[band(290, 290, 8, 12, 10)], peel=[peel_band(280, 289, "hot")])
    assert refused((NAME,), torn) == (["name.1.dwell.low=8 s", "name.1.peel=hot"], {})


def test_pressures_that_do_not_overlap_conflict_by_steps() -> None:
    firm = film("other", pressure={"low": "firm", "high": "firm"})
    assert refused(BOTH, film("film"), firm, policy=ONE) == (
        ["name.1.pressure.high=medium-firm", "number.1.pressure.low=firm"],
        {"pressure_steps": 1},
    )


def test_a_policy_that_prevents_pressing_is_one_of_the_limits() -> None:
    strict = Policy(max_closings=1, staged_peel=False)
    assert refused(BOTH, film("film"), film("other", peel=[LATER]), policy=strict) == (
        ["name.1.peel=hot, warm", "number.1.peel=cold", "policy.staged_peel=no"],
        {},
    )


def test_a_sheet_required_and_forbidden_is_a_conflict() -> None:
    films = (
        film("film", **sheet("required", "required")),
        film("other", **sheet("forbidden", "optional")),
    )
    assert refused(BOTH, *films, policy=ONE) == (
        ["name.1.cover_sheet.carrier_on=required", "number.1.cover_sheet.carrier_on=forbidden"],
        {},
    )


def test_covering_all_bare_film_conflicts_with_a_carrier_that_forbids_the_sheet() -> None:
    films = film("film"), film("other", **sheet("forbidden", "required"))
    assert refused((STACK,), *films, policy=Policy(bare_tack=False)) == (
        [
            "number.1.cover_sheet.carrier_off=required",
            "number.2.cover_sheet.carrier_on=forbidden",
            "policy.bare_tack=no",
        ],
        {},
    )


def test_a_raised_face_in_a_stack_is_a_conflict_by_itself() -> None:
    assert refused((STACK,), film("film"), film("other", **sheet("optional", "no_press"))) == (
        ["number.2.cover_sheet.carrier_off=no_press"],
        {},
    )


def test_a_conflict_of_one_element_is_named_before_one_of_all() -> None:
    """The name alone needs three limits; the pair of windows would need only two."""
    banded = film("film", dwell=[band(280, 289, 15, 20, 15), band(290, 300, 8, 12, 10)])
    hot = film("other", **at(301, 310, 305, "hot", dwell=(8, 12, 10)))
    limits, gap = refused(
        BOTH,
        banded,
        hot,
        on=cloth(
            dwell_max=[
                {"from": "0 F", "to": "289 F", "at_most": "12 s"},
                {"from": "290 F", "to": "320 F", "at_most": "6 s"},
            ]
        ),
    )
    assert limits == ["name.1.dwell.low=15 s, 8 s", "fabric.dwell_max=12 s, 6 s"]
    assert gap == {"dwell_s": 2}


def test_the_gap_is_measured_from_the_true_limit_without_margin() -> None:
    tight = cloth(temperature_max="279 F")
    assert refused((NAME,), film("film"), on=tight)[1] == {"temperature_f": 1}


def test_a_gap_in_celsius_is_reported_in_fahrenheit() -> None:
    """280 °F is 138 °C on the press; 130 °C is 8 °C less, which is 14.4 °F."""
    limits, gap = refused(
        (NAME,), film("film"), on=cloth(temperature_max="130 C"), bench=press("140 C", "2 C")
    )
    assert limits == ["name.1.temperature.low=280 F", "fabric.temperature_max=130 C"]
    assert gap == {"temperature_f": 14}


def test_tack_windows_that_do_not_overlap_are_a_conflict() -> None:
    films = film("film", tack=tack(4, 5, 4, "hot")), film("other", tack=tack(1, 2, 1, "hot"))
    pair = (element("name", "film", "film"), element("number", "other", "other"))
    assert refused(pair, *films, policy=ONE) == (
        ["name.1.tack.low=4 s", "number.1.tack.high=2 s"],
        {"dwell_s": 2},
    )


@pytest.mark.parametrize(
    ("lower", "upper", "pair"),
    [
        (
            {"accepts_on_top": False, "surface": "textured"},
            {},
            ["number.1.accepts_on_top=no", "number.2.layer=2"],
        ),
        (
            {"surface": "textured"},
            {},
            ["number.1.surface=textured", "number.2.goes_on=fabric, smooth"],
        ),
        ({"goes_on": ["smooth"]}, {}, ["number.1.layer=1", "number.1.goes_on=smooth"]),
        ({"tack": None}, {}, ["number.1.tack=null", "number.2.layer=2"]),
        ({}, {"carrier": False}, ["number.2.carrier=no", "number.2.layer=2"]),
    ],
)
def test_a_broken_stack_rule_is_reported_before_any_temperature(
    lower: dict[str, Any], upper: dict[str, Any], pair: list[str]
) -> None:
    cold = cloth(temperature_max="200 F")
    films = film("film", **lower), film("other", **upper)
    assert refused((STACK,), *films, on=cold) == (pair, {})


def by_plain_enumeration(world: World, parts: tuple[Any, ...]) -> tuple[Any, ...]:
    """Try every subset of all limits by size: the slowest way to the smallest conflict."""
    places, order = all_places(world, parts), limits_in_order(world, parts)
    return next(
        subset
        for size in range(1, len(order) + 1)
        for subset in combinations(order, size)
        if all(unbroken_by(place, frozenset(subset)) is None for place in places)
    )


@pytest.mark.parametrize(
    ("lower", "upper", "on"),
    [
        (film("film", total_heat="9 s"), film("other"), cloth()),
        (film("film"), film("other", **sheet("optional", "no_press")), cloth()),
        (film("film"), film("other", **sheet("forbidden", "required")), cloth()),
        (film("film"), film("other", tack=tack(6, 9, 6, "cold")), cloth(total_heat="19 s")),
        (film("film"), film("other"), cloth(temperature_max="270 F", total_heat="9 s")),
    ],
)
def test_the_smallest_conflict_matches_a_search_of_all_subsets(
    lower: Material, upper: Material, on: Fabric
) -> None:
    world = World(on, press("290 F", "5 F"), Policy(staged_peel=False, bare_tack=False), False)
    parts = parts_of(STACK, {"film": lower, "other": upper}, shared=False)
    expected = by_plain_enumeration(world, parts)
    assert smallest_conflict(world, parts, limits_in_order(world, parts)) == expected
