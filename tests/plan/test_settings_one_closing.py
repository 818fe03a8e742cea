"""One closing: rules 1 to 7 of design.md section 4, a made-up sheet for each."""

from __future__ import annotations

import pytest
from settings_samples import (
    BOTH,
    NAME,
    NUMBER,
    S,
    T,
    cap,
    chosen,
    cloth,
    degrees,
    dwell,
    element,
    film,
    final,
    limits,
    peel,
    press,
    pressed,
    recipe,
    refused,
)

from kiosk.catalog.base.quantities import Pressure
from kiosk.catalog.model.house import Policy
from kiosk.catalog.model.sheets import DyeRisk, Peel, SheetRule
from kiosk.plan.model import UsableSpan
from kiosk.plan.settings import solve

ONE = Policy(max_closings=1)
BOLD = Policy(max_closings=1, guard_fabric=False)


# 1. every active piece's window holds T


def test_only_temperatures_in_every_window_are_usable() -> None:
    assert degrees(pressed(BOTH, film(), film("other", (295, 310, 300)))) == [(295, 300)]


# 2. the fabric limit, with the margin of the tolerance


def test_the_cloths_limit_includes_a_margin_of_the_tolerance() -> None:
    assert degrees(pressed((NAME,), film(), on=cloth("300 F"))) == [(280, 295)]


def test_without_the_margin_the_cloths_limit_applies_to_the_setting_itself() -> None:
    panel = pressed((NAME,), film(), on=cloth("280 F"), policy=BOLD)
    assert degrees(panel) == [(280, 280)]
    assert "no_fabric_margin" not in panel.warnings


def test_with_no_space_for_the_margin_the_plan_warns_and_omits_it() -> None:
    panel = pressed((NAME,), film(), on=cloth("284 F"))
    assert degrees(panel) == [(280, 284)]
    assert "no_fabric_margin" in panel.warnings


# 3. the dye cap


def test_the_dye_cap_includes_a_margin_of_the_tolerance() -> None:
    capped = cloth(dye_cap=T("290 F"), dye_risk=DyeRisk.HIGH)
    assert degrees(pressed((NAME,), film(), on=capped)) == [(280, 285)]


def test_the_dye_cap_does_not_apply_if_every_piece_blocks_dye() -> None:
    capped = cloth(dye_cap=T("290 F"))
    assert degrees(pressed((NAME,), film(blocks_dye=True), on=capped)) == [(280, 300)]


def test_the_dye_cap_applies_if_one_piece_does_not_block_dye() -> None:
    capped = cloth(dye_cap=T("290 F"))
    assert degrees(pressed(BOTH, film(blocks_dye=True), film("other"), on=capped)) == [(280, 285)]


# 4. seconds


def test_a_temperature_without_a_common_dwell_is_not_usable() -> None:
    bands = (dwell("280 F", "284 F", 8, 9, 8), dwell("285 F", "289 F", 12, 14, 12),
             dwell("290 F", "300 F", 8, 9, 8))  # fmt: skip
    panel = pressed(BOTH, film(dwell=bands), film("other", seconds=(8, 10, 8)))
    assert panel.usable == (UsableSpan(280, 284, 8, 9), UsableSpan(290, 300, 8, 9))


def test_the_dwell_is_the_highest_normal() -> None:
    panel = pressed(BOTH, film(seconds=(8, 12, 9)), film("other", seconds=(8, 12, 11)))
    assert final(panel).dwell_seconds == 11


def test_the_highest_normal_is_limited_to_the_common_dwells() -> None:
    panel = pressed(BOTH, film(seconds=(6, 9, 7)), film("other", seconds=(8, 14, 13)))
    assert final(panel).dwell_seconds == 9


def test_a_temperature_that_needs_more_than_the_total_is_not_usable() -> None:
    """Below 290 °F the film needs 15 s, but it takes only 14 s in all."""
    slow = dwell("280 F", "289 F", 15, 20, 15), dwell("290 F", "300 F", 8, 12, 10)
    panel = pressed((NAME,), film(dwell=slow, total_heat=S("14 s")))
    assert degrees(panel) == [(290, 300)]


def test_the_cloths_dwell_limit_is_read_at_the_setting_itself_too() -> None:
    """A cloth may allow less when cooler: 9 s at 290 °F, 12 s at 295 °F."""
    odd = cloth(dwell_max=(cap("0 F", "291 F", 9), cap("292 F", "320 F", 12)))
    assert final(pressed((NAME,), film(), on=odd)).dwell_seconds == 9


def test_the_cloths_dwell_limit_is_read_a_tolerance_hotter_too() -> None:
    falling = cloth(dwell_max=(cap("0 F", "292 F", 20), cap("293 F", "320 F", 9)))
    assert final(pressed((NAME,), film(), on=falling)).dwell_seconds == 9
    assert final(pressed((NAME,), film(), on=falling, policy=BOLD)).dwell_seconds == 10


def test_a_pieces_total_heat_limits_its_dwell() -> None:
    assert final(pressed((NAME,), film(total_heat=film().dwell[0].low))).dwell_seconds == 8


def test_pre_press_counts_against_the_cloth() -> None:
    panel = pressed((NAME,), film(), on=cloth(total=14))
    assert final(panel).dwell_seconds == 9
    assert panel.fabric_heat_seconds == 14


def test_pre_press_does_not_count_against_a_piece() -> None:
    panel = pressed((NAME,), film(total_heat=film().dwell[0].normal))
    assert panel.element_heat_seconds == {"name.1": 10}


# 5. pressure


def test_pressure_runs_from_the_highest_low_to_the_lowest_high() -> None:
    firmer = film("other", pressure_low=Pressure.MEDIUM_FIRM, pressure_high=Pressure.FIRM)
    found = final(pressed(BOTH, film(), firmer))
    assert (found.pressure_low, found.pressure_high) == (Pressure.MEDIUM_FIRM, Pressure.MEDIUM_FIRM)


def test_the_cloth_limits_the_pressure() -> None:
    found = final(pressed((NAME,), film(), on=cloth(pressure_max=Pressure.MEDIUM)))
    assert found.pressure_high is Pressure.MEDIUM
    light = cloth(pressure_max=Pressure.LIGHT_MEDIUM)
    assert limits(refused((NAME,), film(), on=light)) == [
        "name.1.pressure.low=medium",
        "fabric.pressure_max=light-medium",
    ]


# 6. peel


def test_the_earliest_peel_that_all_allow_is_chosen() -> None:
    panel = pressed(BOTH, film(), film("other", peeled=("warm", "cold")))
    assert final(panel).peel == {"name.1": Peel.WARM, "number.1": Peel.WARM}
    assert "staged_peel" not in panel.warnings


def test_the_peel_is_read_at_the_temperature() -> None:
    bands = (peel("280 F", "289 F", "cold"), peel("290 F", "300 F", "warm"))
    assert final(pressed((NAME,), film(peel=bands))).peel == {"name.1": Peel.WARM}
    cooler = pressed((NAME,), film(peel=bands), bench=press("285 F"))
    assert final(cooler).peel == {"name.1": Peel.COLD}


def test_without_a_common_peel_each_carrier_comes_off_at_its_earliest() -> None:
    panel = pressed(BOTH, film(), film("other", peeled=("cold",)))
    assert final(panel).peel == {"name.1": Peel.HOT, "number.1": Peel.COLD}
    assert "staged_peel" in panel.warnings


def test_without_staged_peel_a_common_peel_is_required() -> None:
    policy = Policy(max_closings=1, staged_peel=False)
    found = refused(BOTH, film(), film("other", peeled=("cold",)), policy=policy)
    assert limits(found) == ["name.1.peel=hot, warm", "number.1.peel=cold", "policy.staged_peel=no"]


@pytest.mark.parametrize(("name", "number"), [(True, True), (True, False), (False, True)])
def test_a_shared_carrier_cannot_come_off_in_stages(name: bool, number: bool) -> None:
    sharing = (
        element("name", "film", shared_carrier=name),
        element("number", "other", shared_carrier=number),
    )
    found = refused(sharing, film(), film("other", peeled=("cold",)), policy=ONE)
    assert limits(found) == ["name.1.peel=hot, warm", "number.1.peel=cold"]


def test_a_shared_and_a_separate_carrier_come_off_in_two_stages() -> None:
    sharing = (
        element("name", "film", shared_carrier=True),
        element("number", "other", shared_carrier=True),
        element("badge", "third"),
    )
    later = film("other", peeled=("warm", "cold"))
    panel = pressed(sharing, film(), later, film("third", peeled=("cold",)))
    assert final(panel).peel == {"name.1": Peel.WARM, "number.1": Peel.WARM, "badge.1": Peel.COLD}


def test_a_material_without_a_carrier_has_nothing_to_peel() -> None:
    bare = film("other", carrier=False, peel=(), tack=None)
    assert final(pressed(BOTH, film(), bare)).peel == {"name.1": Peel.HOT}


# 7. cover sheet


@pytest.mark.parametrize(
    ("name", "number", "on"),
    [
        (SheetRule.OPTIONAL, SheetRule.OPTIONAL, False),
        (SheetRule.OPTIONAL, SheetRule.REQUIRED, True),
        (SheetRule.OPTIONAL, SheetRule.FORBIDDEN, False),
    ],
)
def test_the_sheet_is_on_if_any_face_requires_it(
    name: SheetRule, number: SheetRule, on: bool
) -> None:
    pair = film(sheet_carrier_on=name), film("other", sheet_carrier_on=number)
    assert final(pressed(BOTH, *pair)).cover_sheet is on


def test_a_sheet_required_and_forbidden_is_a_conflict() -> None:
    wants = film(sheet_carrier_on=SheetRule.REQUIRED)
    refuses = film("other", sheet_carrier_on=SheetRule.FORBIDDEN)
    assert limits(refused(BOTH, wants, refuses, policy=ONE)) == [
        "name.1.cover_sheet.carrier_on=required",
        "number.1.cover_sheet.carrier_on=forbidden",
    ]


def test_a_material_without_a_carrier_follows_its_carrier_off_rule() -> None:
    bare = film(carrier=False, peel=(), sheet_carrier_on=SheetRule.FORBIDDEN)
    assert final(pressed((NAME,), bare)).cover_sheet is True


# the choice of T


def test_the_presss_setting_is_kept_if_usable() -> None:
    panel = pressed((NAME,), film(), bench=press("283 F"))
    assert (final(panel).temperature, panel.setting_change) == (283, 0)


def test_an_unusable_setting_moves_to_the_nearest_to_the_highest_normal() -> None:
    panel = pressed(BOTH, film(), film("other", (280, 320, 310)), bench=press("250 F"))
    assert (final(panel).temperature, panel.setting_change) == (300, 50)


def test_a_policy_that_does_not_keep_the_setting_uses_the_normal() -> None:
    policy = Policy(keep_setting=False)
    panel = pressed((NAME,), film(), bench=press("283 F"), policy=policy)
    assert final(panel).temperature == 290


def test_a_tie_chooses_the_hotter_setting() -> None:
    torn = (dwell("280 F", "288 F", 8, 12, 10), dwell("289 F", "291 F", 30, 40, 30),
            dwell("292 F", "300 F", 8, 12, 10))  # fmt: skip
    panel = pressed((NAME,), film(dwell=torn), bench=press("250 F"))
    assert degrees(panel) == [(280, 288), (292, 300)]
    assert final(panel).temperature == 292


def test_a_later_panel_starts_at_the_previous_panels_setting() -> None:
    back, front = [NAME], [NUMBER]
    sheets = {"film": film(), "other": film("other", (295, 320, 310))}
    found = solve(recipe(back, front, back), cloth(), press("280 F"), Policy(), sheets)
    assert isinstance(found, tuple)
    assert [chosen(panel)[0][1] for panel in found] == [280, 310, 290]
    assert [panel.setting_change for panel in found] == [0, 30, -20]


def test_a_temperature_without_a_stated_dwell_or_peel_is_not_usable() -> None:
    """Rules 4 and 6 read both at the temperature: it is not usable if either is missing."""
    seconds = (dwell("280 F", "286 F", 8, 12, 10), dwell("292 F", "300 F", 6, 9, 7))
    panel = pressed((NAME,), film(dwell=seconds))
    assert degrees(panel) == [(280, 286), (292, 300)]
    assert final(panel).temperature in {286, 292}  # the film's own 290 F is in the gap
    peeled = (peel("280 F", "283 F", "hot"), peel("297 F", "300 F", "hot"))
    assert degrees(pressed((NAME,), film(peel=peeled))) == [(280, 283), (297, 300)]


def test_a_panel_keeps_its_margin_even_if_another_cannot() -> None:
    """design.md does not define *the whole plan* for several panels: see docs/decisions.md."""
    sheets = {"film": film(), "other": film("other", (297, 305, 300))}
    both = recipe((NAME,), (element("number", "other"),))
    found = solve(both, cloth("300 F"), press(), ONE, sheets, {})
    assert isinstance(found, tuple)
    assert [degrees(panel) for panel in found] == [[(280, 295)], [(297, 300)]]
    assert ["no_fabric_margin" in panel.warnings for panel in found] == [False, True]
