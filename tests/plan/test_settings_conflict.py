"""Why nothing can be pressed: the smallest set of true limits, and how far apart they are."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from settings_samples import (
    BOTH,
    NAME,
    S,
    T,
    cap,
    cloth,
    dwell,
    element,
    film,
    limits,
    peel,
    press,
    recipe,
    refused,
    tack,
)

from kiosk.catalog.base.quantities import Pressure
from kiosk.catalog.model.house import Policy
from kiosk.catalog.model.sheets import SheetRule
from kiosk.plan.model import PanelRefusal
from kiosk.plan.settings import solve

ONE = Policy(max_closings=1)
COOL = ("other", (250, 270, 260))


def test_an_element_that_fails_alone_is_the_reason_with_any_number_of_closings() -> None:
    found = refused(BOTH, film("film", (330, 340, 335)), film(*COOL), policy=Policy(max_closings=3))
    assert limits(found) == ["name.1.temperature.low=330 F", "fabric.temperature_max=320 F"]
    assert found.gap == {"temperature_f": 10}


def test_all_elements_in_one_closing_are_the_reason_if_each_could_be_pressed_alone() -> None:
    found = refused(BOTH, film(), film(*COOL), policy=ONE)
    assert limits(found) == ["name.1.temperature.low=280 F", "number.1.temperature.high=270 F"]
    assert found.gap == {"temperature_f": 10}


def test_of_two_elements_that_fail_alone_the_simpler_reason_is_given() -> None:
    """The name breaks two limits by its seconds, the number one: the rule of its own bare face."""
    slow = film(seconds=(30, 40, 30))
    pile = film("other", sheet_carrier_off=SheetRule.NO_PRESS, carrier=False, peel=())
    assert limits(refused(BOTH, slow, pile)) == ["number.1.cover_sheet.carrier_off=no_press"]


def test_the_true_limit_is_named_and_not_the_one_with_margin() -> None:
    """With the margin the cloth ends at 275 F, but its own limit of 280 F is named."""
    found = refused((NAME,), film("film", (300, 310, 305)), on=cloth("280 F"))
    assert limits(found) == ["name.1.temperature.low=300 F", "fabric.temperature_max=280 F"]
    assert found.gap == {"temperature_f": 20}


def test_a_dye_cap_is_named_as_a_dye_cap() -> None:
    found = refused((NAME,), film(), on=cloth(dye_cap=T("270 F")))
    assert limits(found) == ["name.1.temperature.low=280 F", "fabric.dye_cap=270 F"]


def test_a_dye_cap_applies_unless_all_pieces_block_dye() -> None:
    """design.md, section 4, rule 3; alone each could be pressed, the number at 270 °F at most."""
    capped = cloth(dye_cap=T("270 F"))
    blocks = film("film", (290, 300, 295), blocks_dye=True)
    found = refused(BOTH, blocks, film("other", (240, 300, 290)), on=capped, policy=ONE)
    assert limits(found) == ["name.1.temperature.low=290 F", "fabric.dye_cap=270 F"]
    light = replace(capped, pressure_max=Pressure.LIGHT)
    assert limits(refused((NAME,), blocks, on=light)) == SOFT_CLOTH


SOFT_CLOTH = ["name.1.pressure.low=medium", "fabric.pressure_max=light"]


@pytest.mark.parametrize("meets", [{"highest": "280 F"}, {"dye_cap": T("280 F")}])
def test_a_cloth_limit_that_just_allows_the_film_is_not_named(meets: dict[str, Any]) -> None:
    """A film from 280 °F up: at 280 everything agrees except the pressure."""
    soft = cloth(**meets, pressure_max=Pressure.LIGHT)
    assert limits(refused((NAME,), film(), on=soft)) == SOFT_CLOTH


def test_films_whose_windows_just_touch_are_not_named() -> None:
    """One from 280 °F up, one up to 280: there they agree except for the pressure."""
    soft = film("other", (260, 280, 270), pressure_low=Pressure.LIGHT, pressure_high=Pressure.LIGHT)
    found = refused(BOTH, film(), soft, policy=ONE)
    assert limits(found) == ["name.1.pressure.low=medium", "number.1.pressure.high=light"]


def test_heat_before_a_layer_is_laid_counts_for_the_cloth_only() -> None:
    """5 s of pre-press, three tacks of 1 and 8 s are one too many; the top takes only 1 and 8."""
    top = film("top", total_heat=S("9 s"))
    layers = (element("name", "film", "other", "top"),)
    found = refused(layers, film(), film("other"), top, on=cloth(total=15))
    assert limits(found) == [
        "name.1.dwell.low=8 s",
        *(f"name.{layer}.tack.low=1 s" for layer in (1, 2, 3)),
        "fabric.total_heat=15 s",
    ]


def test_a_tack_of_exactly_three_seconds_needs_no_sheet_on_bare_film() -> None:
    """design.md, section 4: so forbidding the sheet is no reason; the cloth's total is."""
    above = film("other", sheet_carrier_on=SheetRule.FORBIDDEN, tack=tack(3, 5, 4))
    layers = (element("name", "film", "other"),)
    found = refused(layers, film(), above, on=cloth(total=16))
    assert "fabric.total_heat=16 s" in limits(found)
    assert not any("cover_sheet" in limit for limit in limits(found))


def test_outside_its_window_a_pieces_dwell_is_read_at_the_nearest_temperature() -> None:
    """Only the seconds conflict: no temperature, inside the window or not, brings them closer."""
    found = refused(BOTH, film(), film("other", (290, 310, 300), seconds=(15, 18, 15)), policy=ONE)
    assert limits(found) == ["name.1.dwell.high=12 s", "number.1.dwell.low=15 s"]
    assert found.gap == {"dwell_s": 3}


def test_a_sheets_seconds_are_one_limit_over_all_its_bands() -> None:
    bands = (dwell("280 F", "289 F", 15, 18, 15), dwell("290 F", "300 F", 14, 18, 15))
    found = refused((NAME,), film(dwell=bands), on=cloth(at_most=9))
    assert limits(found) == ["name.1.dwell.low=15 s, 14 s", "fabric.dwell_max=9 s"]
    assert found.gap == {"dwell_s": 5}


def test_the_cloths_dwell_limits_are_one_limit_over_all_its_bands() -> None:
    falling = cloth(dwell_max=(cap("0 F", "289 F", 20), cap("290 F", "320 F", 9)))
    found = refused((NAME,), film("film", (295, 310, 300), (14, 18, 15)), on=falling)
    assert limits(found) == [
        "name.1.temperature.low=295 F",
        "name.1.dwell.low=14 s",
        "fabric.dwell_max=20 s, 9 s",
    ]
    assert found.gap == {"dwell_s": 5}


def test_a_sheets_allowed_peels_are_one_limit_over_all_its_bands() -> None:
    bands = (peel("280 F", "289 F", "warm", "cold"), peel("290 F", "300 F", "cold"))
    policy = Policy(max_closings=1, staged_peel=False)
    found = refused(BOTH, film(peel=bands), film("other", peeled=("hot",)), policy=policy)
    assert limits(found) == [
        "name.1.peel=warm, cold, cold",
        "number.1.peel=hot",
        "policy.staged_peel=no",
    ]
    assert found.gap == {}


def test_a_pressure_conflict_is_measured_in_steps() -> None:
    light = film("other", pressure_low=Pressure.LIGHT, pressure_high=Pressure.LIGHT)
    found = refused(BOTH, film(), light, policy=ONE)
    assert limits(found) == ["name.1.pressure.low=medium", "number.1.pressure.high=light"]
    assert found.gap == {"pressure_steps": 2}


def test_a_stacks_conflict_names_every_closing_that_adds_to_the_total() -> None:
    stack = (element("number", "film", "other"),)
    found = refused(stack, film(total_heat=S("9 s")), film("other"))
    assert limits(found) == [
        "number.1.dwell.low=8 s",
        "number.1.tack.low=1 s",
        "number.2.tack.low=1 s",
        "number.1.total_heat=9 s",
    ]
    assert found.gap == {"dwell_s": 1}


def test_the_cloths_total_includes_the_pre_press() -> None:
    found = refused((NAME,), film(), on=cloth(total=12))
    assert limits(found) == ["name.1.dwell.low=8 s", "fabric.total_heat=12 s"]
    assert found.gap == {"dwell_s": 1}


def test_of_equally_small_conflicts_the_first_rules_is_named() -> None:
    """Temperature, seconds and pressure each have a pair; temperature is rule 1."""
    other = film(
        *COOL, seconds=(15, 18, 15), pressure_low=Pressure.FIRM, pressure_high=Pressure.FIRM
    )
    found = refused(BOTH, film(), other, policy=ONE)
    assert limits(found) == ["name.1.temperature.low=280 F", "number.1.temperature.high=270 F"]


def test_of_equal_conflicts_the_first_in_the_recipe_is_named() -> None:
    three = (*BOTH, element("badge", "third"))
    found = refused(three, film(), film(*COOL), film("third", (250, 270, 260)), policy=ONE)
    assert limits(found) == ["name.1.temperature.low=280 F", "number.1.temperature.high=270 F"]


def test_limits_in_the_other_scale_are_named_as_written_with_the_gap_in_fahrenheit() -> None:
    """280 and 270 °F are 138 and 132 °C; 6 °C are 10.8 °F."""
    found = refused(BOTH, film(), film(*COOL), policy=ONE, bench=press("150 C"))
    assert limits(found) == ["name.1.temperature.low=280 F", "number.1.temperature.high=270 F"]
    assert found.gap == {"temperature_f": 11}


def test_the_first_failing_panel_is_refused() -> None:
    sheets = {"film": film(), "other": film("other", (330, 340, 335))}
    found = solve(recipe(BOTH[:1], BOTH[1:], BOTH[:1]), cloth(), press(), Policy(), sheets)
    assert isinstance(found, PanelRefusal)
    assert found.panel == "front"
    assert limits(found) == ["number.1.temperature.low=330 F", "fabric.temperature_max=320 F"]
