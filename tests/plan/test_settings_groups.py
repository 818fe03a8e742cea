"""Several closings: splits, passengers, preferences, and what gives way first."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from settings_samples import (
    BOTH,
    S,
    T,
    chosen,
    cloth,
    dwell,
    element,
    film,
    finals,
    limits,
    peel,
    press,
    pressed,
    recipe,
    refused,
    tack,
)

from kiosk.catalog.base.quantities import Pressure
from kiosk.catalog.model.house import Policy
from kiosk.catalog.model.sheets import Peel, SheetRule
from kiosk.plan.model import PanelRefusal, PanelSettings, PlatenPart
from kiosk.plan.settings import solve

COOL = ("other", (250, 270, 260))
HOTTER = ("other", (305, 325, 315))
WARM_CLOTH = cloth("340 F")
THREE = Policy(max_closings=3)


# splits


def test_windows_that_do_not_overlap_take_two_closings_hotter_first() -> None:
    assert chosen(pressed(BOTH, film(), film(*COOL))) == [
        ("name.1", 290, 10),
        ("number.1", 260, 10),
    ]


def test_more_closings_than_the_policy_allows_are_not_tried() -> None:
    found = refused(BOTH, film(), film(*COOL), policy=Policy(max_closings=1))
    assert limits(found) == ["name.1.temperature.low=280 F", "number.1.temperature.high=270 F"]


def test_an_element_is_never_split() -> None:
    found = refused((element("number", "film", "other"),), film(), film(*COOL), policy=THREE)
    assert limits(found) == ["number.1.temperature.low=280 F", "number.2.temperature.high=270 F"]


def test_a_stack_is_pressed_whole_in_its_group() -> None:
    panel = pressed((element("name", "film", "film"), BOTH[1]), film(), film(*COOL))
    assert [c.group for c in panel.closings] == [0, 0, 0, 1]
    assert chosen(panel)[-2:] == [("name.1 name.2", 290, 10), ("number.1", 260, 10)]


def test_three_groups_are_tried_if_two_are_not_enough() -> None:
    elements = (*BOTH, element("badge", "third"))
    sheets = film(), film(*COOL), film("third", (230, 245, 240))
    assert chosen(pressed(elements, *sheets, policy=THREE)) == [
        ("name.1", 290, 10),
        ("number.1", 260, 10),
        ("badge.1", 240, 10),
    ]


# passengers


def test_a_passenger_is_not_heated_above_its_high() -> None:
    """Pressed first, the cool film would later lie under 290 F, above its 270 F."""
    elements = (element("number", "other"), element("name", "film"))
    assert chosen(pressed(elements, film(), film(*COOL))) == [
        ("name.1", 290, 10),
        ("number.1", 260, 10),
    ]


def test_a_passengers_low_dwell_and_peel_do_not_matter() -> None:
    slow = film(seconds=(18, 20, 18), peeled=("cold",))
    panel = pressed(BOTH, slow, film(*COOL), policy=Policy(staged_peel=False))
    assert chosen(panel) == [("name.1", 290, 18), ("number.1", 260, 10)]
    assert finals(panel)[1].peel == {"number.1": Peel.HOT}


def test_a_passengers_highest_pressure_counts_and_its_lowest_does_not() -> None:
    firm = film(pressure_low=Pressure.FIRM, pressure_high=Pressure.FIRM)
    light = film(*COOL, pressure_low=Pressure.LIGHT, pressure_high=Pressure.LIGHT)
    panel = pressed(BOTH, firm, light)
    second = finals(panel)[1]
    assert (second.pressure_low, second.pressure_high) == (Pressure.LIGHT, Pressure.LIGHT)
    found = refused(
        BOTH,
        replace(firm, pressure_low=Pressure.LIGHT, pressure_high=Pressure.LIGHT),
        replace(light, pressure_low=Pressure.FIRM, pressure_high=Pressure.FIRM),
    )
    assert found.gap == {"temperature_f": 10}


def test_a_passenger_follows_its_carrier_off_rule() -> None:
    panel = pressed(BOTH, film(), film(*COOL))
    assert [c.cover_sheet for c in panel.closings] == [False, True]


def test_a_face_that_must_not_be_pressed_again_is_pressed_last() -> None:
    pile = film(sheet_carrier_off=SheetRule.NO_PRESS)
    panel = pressed(BOTH, pile, film("other", (305, 325, 315)), on=WARM_CLOTH)
    assert [c.pieces for c in panel.closings] == [("number.1",), ("name.1",)]
    assert refused(BOTH, pile, film(*COOL)).gap == {"temperature_f": 10}


def test_a_short_tack_needs_no_sheet_on_a_bare_passenger() -> None:
    elements = (element("name", "film"), element("number", "other", "other"))
    panel = pressed(elements, film(), film(*COOL))
    assert [c.cover_sheet for c in panel.closings] == [False, False, False, True]
    longer = pressed(elements, film(), film(*COOL, tack=tack(4, 5, 4)))
    assert [c.cover_sheet for c in longer.closings] == [False, True, True, True]


def test_all_later_closings_count_against_a_passengers_total() -> None:
    panel = pressed(BOTH, film(), film(*COOL))
    assert panel.element_heat_seconds == {"name.1": 20, "number.1": 10}
    assert panel.fabric_heat_seconds == 25


def test_the_dye_cap_depends_on_the_active_pieces_only() -> None:
    """The name lets dye through, so it stays below the cap; the number alone may go hotter."""
    capped = cloth("340 F", dye_cap=T("300 F"))
    blocks = film(*HOTTER, blocks_dye=True)
    low_first = film(window=(280, 320, 290))
    panel = pressed(BOTH, low_first, blocks, on=capped, policy=Policy(keep_setting=False))
    assert chosen(panel) == [("number.1", 315, 10), ("name.1", 290, 10)]


# preferences


def test_fewest_groups_is_the_first_preference() -> None:
    panel = pressed(BOTH, film(), film("other", (299, 320, 310)))
    assert [c.group for c in panel.closings] == [0]


def test_the_order_with_the_smallest_rise_is_preferred() -> None:
    """The name withstands the number's heat, so it could go first, with a rise of 40 °F."""
    name = film(window=(250, 320, 260), peeled=("cold",), sheet_carrier_on=SheetRule.REQUIRED)
    number = film("other", (300, 320, 300), sheet_carrier_on=SheetRule.FORBIDDEN)
    panel = pressed(BOTH, name, number, policy=Policy(keep_setting=False))
    assert chosen(panel) == [("number.1", 300, 10), ("name.1", 260, 10)]


def test_the_shortest_wait_decides_between_equal_rises() -> None:
    """Either may go first at 290 F; after the name, the garment would wait until it is cold."""
    off = SheetRule.OPTIONAL
    name = film(peeled=("cold",), sheet_carrier_on=SheetRule.REQUIRED, sheet_carrier_off=off)
    number = film(
        "other", peeled=("warm",), sheet_carrier_on=SheetRule.FORBIDDEN, sheet_carrier_off=off
    )
    panel = pressed(BOTH, name, number)
    assert [c.pieces for c in panel.closings] == [("number.1",), ("name.1",)]


def test_the_recipes_order_decides_last() -> None:
    off = SheetRule.OPTIONAL
    name = film(sheet_carrier_on=SheetRule.REQUIRED, sheet_carrier_off=off)
    number = film("other", sheet_carrier_on=SheetRule.FORBIDDEN, sheet_carrier_off=off)
    assert [c.pieces for c in pressed(BOTH, name, number).closings] == [("name.1",), ("number.1",)]
    backwards = pressed(BOTH[::-1], name, number)
    assert [c.pieces for c in backwards.closings] == [("number.1",), ("name.1",)]


def test_a_later_group_keeps_the_previous_groups_setting() -> None:
    name = film(sheet_carrier_on=SheetRule.REQUIRED, sheet_carrier_off=SheetRule.OPTIONAL)
    number = film("other", (280, 295, 285), sheet_carrier_on=SheetRule.FORBIDDEN)
    panel = pressed(BOTH, name, number, bench=press("250 F"))
    assert chosen(panel) == [("name.1", 290, 10), ("number.1", 290, 10)]
    assert "temp_change_in_batch" not in panel.warnings
    own = pressed(BOTH, name, number, policy=Policy(keep_setting=False))
    assert chosen(own) == [("name.1", 290, 10), ("number.1", 285, 10)]


def test_more_groups_with_the_margin_are_preferred_to_fewer_without() -> None:
    """Without the margin one closing would do: from 297 F up both films peel hot."""
    bands = (peel("285 F", "296 F", "cold"), peel("297 F", "300 F", "hot"))
    name = film(window=(285, 300, 300), peel=bands)
    number = film("other", (270, 300, 280), peeled=("hot",))
    panel = pressed(BOTH, name, number, on=cloth("301 F"), policy=Policy(staged_peel=False))
    assert [c.group for c in panel.closings] == [0, 1]
    assert "no_fabric_margin" not in panel.warnings


# what gives way


def test_an_earlier_dwell_gives_way_to_a_later_closing_with_no_seconds_left() -> None:
    """The name takes 17 s in all; its own 10 s would leave 7 of the 8 that the number needs."""
    name = film(total_heat=S("17 s"))
    assert chosen(pressed(BOTH, name, film(*COOL))) == [("name.1", 290, 9), ("number.1", 260, 8)]


def test_an_earlier_temperature_gives_way_if_a_shorter_dwell_is_not_enough() -> None:
    """At its normal the name needs at least 10 s; from 296 F up it needs 6, which leaves 9."""
    bands = (dwell("280 F", "295 F", 10, 12, 10), dwell("296 F", "300 F", 6, 12, 8))
    name = film(dwell=bands, total_heat=S("17 s"))
    assert chosen(pressed(BOTH, name, film(*COOL))) == [("name.1", 296, 8), ("number.1", 260, 9)]


def test_a_plan_without_any_valid_combination_is_refused() -> None:
    found = refused(BOTH, film(total_heat=S("15 s")), film(*COOL))
    assert limits(found) == ["name.1.temperature.low=280 F", "number.1.temperature.high=270 F"]


def test_the_next_group_waits_for_a_staged_groups_latest_peel() -> None:
    """design.md, section 4: hot and cold in the first group count 2, warm alone counts 1."""
    bare: dict[str, Any] = {"sheet_carrier_off": SheetRule.OPTIONAL}
    sheet = {"sheet_carrier_on": SheetRule.REQUIRED, **bare}
    films = (
        film("film", peeled=("hot",), **sheet),
        film("other", peeled=("cold",), **sheet),
        film("warm", peeled=("warm",), sheet_carrier_on=SheetRule.FORBIDDEN, **bare),
    )
    panel = pressed((*BOTH, element("crest", "warm")), *films)
    assert [pieces for pieces, _, _ in chosen(panel)] == ["crest.1", "name.1 number.1"]


def test_the_limit_on_closings_applies_to_each_part_of_a_panel() -> None:
    """docs/decisions.md: `max_closings` counts for each part; the first part needs three."""
    windows = {"film": (300, 310, 305), "other": (280, 290, 285), "cool": (260, 270, 265)}
    films = {key: film(key, window) for key, window in windows.items()}
    first, then = ("a", "b", "c"), ("d", "e", "f")
    elements = (*(element(e, key) for e, key in zip(first, films, strict=True)),
                *(element(e, "film") for e in then))  # fmt: skip
    parts = {"back": (PlatenPart(1, 2, first, {}), PlatenPart(2, 2, then, {}))}

    def solved(most: int) -> tuple[PanelSettings, ...] | PanelRefusal:
        policy = Policy(max_closings=most)
        return solve(recipe(elements), cloth(total=90), press(), policy, films, parts=parts)

    assert isinstance(solved(2), PanelRefusal)
    three = solved(3)
    assert not isinstance(three, PanelRefusal)
    (panel,) = three
    assert [c.group for c in panel.closings] == [0, 1, 2, 3]
