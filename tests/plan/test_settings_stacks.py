"""Stacks: layer by layer, each with its tack, then the final with the carriers off."""

from __future__ import annotations

import pytest
from settings_samples import (
    BOTH,
    NUMBER,
    STACK,
    S,
    cap,
    chosen,
    cloth,
    dwell,
    element,
    film,
    final,
    limits,
    press,
    pressed,
    refused,
    tack,
    tacks,
)

from kiosk.catalog.model.house import Policy
from kiosk.catalog.model.sheets import Peel, SheetRule, Surface
from kiosk.plan.model import UsableSpan

UPPER = film("other")
TWO_STACKS = (element("name", "film", "other"), STACK)
ONE = Policy(max_closings=1)


# structure first


@pytest.mark.parametrize(
    ("lower", "upper", "pair"),
    [
        (film(accepts_on_top=False), UPPER, ["number.1.accepts_on_top=no", "number.2.layer=2"]),
        (
            film(surface=Surface.TEXTURED),
            UPPER,
            ["number.1.surface=textured", "number.2.goes_on=fabric, smooth"],
        ),
        (
            film(goes_on=frozenset({"smooth"})),
            UPPER,
            ["number.1.layer=1", "number.1.goes_on=smooth"],
        ),
        (film(tack=None), UPPER, ["number.1.tack=null", "number.2.layer=2"]),
        (film(), film("other", tack=None), ["number.2.tack=null", "number.2.layer=2"]),
        (film(carrier=False), UPPER, ["number.1.carrier=no", "number.2.layer=2"]),
    ],
)
def test_a_broken_stack_rule_names_both_limits(lower, upper, pair) -> None:  # type: ignore[no-untyped-def] # parameters are materials
    found = refused((STACK,), lower, upper)
    assert limits(found) == pair
    assert found.gap == {}


def test_a_broken_stack_rule_is_reported_before_any_temperature() -> None:
    """The windows do not overlap either, but the stack rule is reported."""
    found = refused((STACK,), film(accepts_on_top=False), film("other", (310, 320, 315)))
    assert limits(found) == ["number.1.accepts_on_top=no", "number.2.layer=2"]


def test_a_one_layer_piece_must_go_on_fabric_too() -> None:
    found = refused((NUMBER,), film("other", goes_on=frozenset({"smooth"})))
    assert limits(found) == ["number.1.layer=1", "number.1.goes_on=smooth"]


def test_a_one_layer_piece_needs_no_tack() -> None:
    assert tacks(pressed((NUMBER,), film("other", tack=None))) == []


# the closings


def test_stacks_are_tacked_layer_by_layer_then_pressed_together() -> None:
    assert chosen(pressed(TWO_STACKS, film(), UPPER)) == [
        ("name.1 number.1", 290, 2),
        ("name.2 number.2", 290, 2),
        ("name.1 name.2 number.1 number.2", 290, 10),
    ]


def test_a_taller_stack_is_tacked_alone_at_the_top() -> None:
    three = element("number", "film", "other", "other")
    panel = pressed((element("name", "film", "other"), three), film(), UPPER)
    third = tacks(panel)[2]
    assert third.pieces == ("number.3",)
    assert third.heated == ("name.1", "name.2", "number.1", "number.2", "number.3")
    assert panel.element_heat_seconds == {
        "name.1": 16, "name.2": 14, "number.1": 16, "number.2": 14, "number.3": 12,
    }  # fmt: skip


def test_all_layers_share_one_temperature() -> None:
    panel = pressed((STACK,), film(), film("other", (295, 310, 300)), bench=press("280 F"))
    assert {closing.temperature for closing in panel.closings} == {300}


def test_a_stack_has_nothing_to_peel_in_its_final() -> None:
    panel = pressed((STACK,), film(), UPPER)
    assert [dict(c.peel) for c in panel.closings] == [
        {"number.1": Peel.HOT},
        {"number.2": Peel.HOT},
        {},
    ]


def test_a_one_layer_element_joins_only_the_final_and_is_peeled_after_it() -> None:
    panel = pressed((element("name", "third"), STACK), film(), UPPER, film("third", tack=None))
    assert [closing.heated for closing in tacks(panel)] == [("number.1",), ("number.1", "number.2")]
    assert final(panel).pieces == ("name.1", "number.1", "number.2")
    assert final(panel).peel == {"name.1": Peel.HOT}
    assert panel.element_heat_seconds["name.1"] == final(panel).dwell_seconds


def test_a_tack_has_the_pressure_of_the_final() -> None:
    firmer = film("third", pressure_low=film().pressure_high)
    panel = pressed((element("name", "third"), STACK), film(), UPPER, firmer)
    assert {closing.pressure_low for closing in panel.closings} == {film().pressure_high}


# tacks


def test_a_tacks_dwell_is_the_highest_tack_normal() -> None:
    panel = pressed(TWO_STACKS, film(), UPPER)
    other = (element("name", "other", "other"), STACK)
    longer = pressed(other, film(), film("other", tack=tack(1, 3, 3)))
    assert [c.dwell_seconds for c in tacks(panel)] == [2, 2]
    assert [c.dwell_seconds for c in tacks(longer)] == [3, 3]


def test_a_tacks_dwell_is_limited_to_the_common_tack_window() -> None:
    stacks = (element("name", "other", "other"), element("number", "film", "film"))
    panel = pressed(stacks, film(tack=tack(1, 2, 2)), film("other", tack=tack(2, 4, 4)))
    assert [c.dwell_seconds for c in tacks(panel)] == [2, 2]


def test_tack_windows_that_do_not_overlap_are_a_conflict() -> None:
    stacks = (element("name", "other", "other"), element("number", "film", "film"))
    found = refused(stacks, film(tack=tack(1, 2, 2)), film("other", tack=tack(4, 5, 4)), policy=ONE)
    assert limits(found) == ["name.1.tack.low=4 s", "number.1.tack.high=2 s"]
    assert found.gap == {"dwell_s": 2}


def test_a_tack_obeys_the_cloths_dwell_limit() -> None:
    thin = cloth(dwell_max=(cap("0 F", "320 F", 9),))
    slow = film(tack=tack(8, 12, 12))
    assert tacks(pressed((STACK,), slow, UPPER, on=thin))[0].dwell_seconds == 9


def test_tack_time_counts_toward_the_total_but_not_the_finals_dwell() -> None:
    panel = pressed((STACK,), film(total_heat=S("13 s")), UPPER)
    assert chosen(panel)[-1] == ("number.1 number.2", 290, 9)
    assert panel.element_heat_seconds == {"number.1": 13, "number.2": 11}
    assert panel.fabric_heat_seconds == 18


def test_tacks_get_shorter_if_the_final_has_too_few_seconds() -> None:
    panel = pressed((STACK,), film(total_heat=S("11 s")), UPPER)
    assert chosen(panel) == [
        ("number.1", 290, 2),
        ("number.2", 290, 1),
        ("number.1 number.2", 290, 8),
    ]


def test_carriers_of_a_tack_come_off_at_a_common_peel_or_in_stages() -> None:
    warm = film("other", tack=tack(1, 3, 2, "warm"))
    stacks = (element("name", "other", "other"), STACK)
    staged = pressed(stacks, film(), warm)
    assert tacks(staged)[0].peel == {"name.1": Peel.WARM, "number.1": Peel.HOT}
    assert "staged_peel" in staged.warnings
    found = refused(stacks, film(), warm, policy=Policy(max_closings=1, staged_peel=False))
    assert limits(found) == [
        "name.1.tack.peel=warm",
        "number.1.tack.peel=hot",
        "policy.staged_peel=no",
    ]


# cover sheets


def test_the_final_of_a_stack_follows_the_carrier_off_rules() -> None:
    assert final(pressed((STACK,), film(), UPPER)).cover_sheet is True
    bare = SheetRule.OPTIONAL
    panel = pressed((STACK,), film(sheet_carrier_off=bare), film("other", sheet_carrier_off=bare))
    assert final(panel).cover_sheet is False


def test_a_tack_of_3_s_or_less_needs_no_sheet_on_bare_film() -> None:
    assert [c.cover_sheet for c in tacks(pressed((STACK,), film(), UPPER))] == [False, False]


def test_a_tack_of_3_s_is_still_short() -> None:
    panel = pressed((STACK,), film(), film("other", tack=tack(3, 5, 3)))
    assert [(c.dwell_seconds, c.cover_sheet) for c in tacks(panel)] == [(2, False), (3, False)]


def test_a_longer_tack_needs_the_sheet_that_bare_film_requires() -> None:
    panel = pressed((STACK,), film(), film("other", tack=tack(4, 5, 4)))
    assert [c.cover_sheet for c in tacks(panel)] == [False, True]


def test_a_policy_without_bare_tacks_puts_the_sheet_on() -> None:
    panel = pressed((STACK,), film(), UPPER, policy=Policy(bare_tack=False))
    assert [c.cover_sheet for c in tacks(panel)] == [False, True]


def test_a_tack_is_shortened_to_3_s_if_the_carrier_forbids_the_sheet() -> None:
    upper = film("other", tack=tack(2, 6, 5), sheet_carrier_on=SheetRule.FORBIDDEN)
    assert tacks(pressed((STACK,), film(), upper))[1].dwell_seconds == 3


def test_a_long_tack_needing_a_sheet_its_carrier_forbids_is_a_conflict() -> None:
    upper = film("other", tack=tack(4, 6, 5), sheet_carrier_on=SheetRule.FORBIDDEN)
    assert limits(refused((STACK,), film(), upper)) == [
        "number.2.tack.low=4 s",
        "number.1.cover_sheet.carrier_off=required",
        "number.2.cover_sheet.carrier_on=forbidden",
    ]


def test_a_policy_against_bare_tacks_is_part_of_the_conflict() -> None:
    upper = film("other", sheet_carrier_on=SheetRule.FORBIDDEN)
    assert limits(refused((STACK,), film(), upper, policy=Policy(bare_tack=False))) == [
        "number.1.cover_sheet.carrier_off=required",
        "number.2.cover_sheet.carrier_on=forbidden",
        "policy.bare_tack=no",
    ]


def test_a_face_that_must_not_be_pressed_bare_cannot_be_stacked() -> None:
    pile = film("other", sheet_carrier_off=SheetRule.NO_PRESS)
    assert limits(refused((STACK,), film(), pile)) == ["number.2.cover_sheet.carrier_off=no_press"]


# usable


def test_usable_dwells_exclude_the_time_of_the_tacks() -> None:
    panel = pressed((STACK,), film(total_heat=S("15 s")), UPPER)
    assert panel.usable == (UsableSpan(280, 300, 8, 11),)


def test_adjacent_temperatures_with_equal_dwells_are_one_span() -> None:
    bands = (dwell("280 F", "284 F", 8, 12, 10), dwell("285 F", "289 F", 8, 12, 9),
             dwell("290 F", "300 F", 8, 11, 10))  # fmt: skip
    panel = pressed(BOTH, film(dwell=bands), UPPER)
    assert panel.usable == (UsableSpan(280, 289, 8, 12), UsableSpan(290, 300, 8, 11))


def test_a_short_tack_still_conflicts_if_a_carrier_requires_a_forbidden_sheet() -> None:
    """design.md section 4: required with forbidden is not usable; only bare film is excused."""
    lower = film(sheet_carrier_off=SheetRule.FORBIDDEN)
    upper = film("other", sheet_carrier_on=SheetRule.REQUIRED, sheet_carrier_off=SheetRule.OPTIONAL)
    assert limits(refused((STACK,), lower, upper)) == [
        "number.1.cover_sheet.carrier_off=forbidden",
        "number.2.cover_sheet.carrier_on=required",
    ]
