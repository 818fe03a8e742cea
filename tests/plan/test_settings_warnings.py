"""A plan's warnings, its changes from the sheets' normals, and its usable settings."""

from __future__ import annotations

import pytest
from settings_samples import BOTH, NAME, SAY, S, cloth, degrees, element, film, press, pressed, tack

from kiosk.catalog.model.house import Policy
from kiosk.catalog.model.sheets import DyeRisk, SheetRule
from kiosk.plan.model import PanelSettings, UsableSpan

COOL = ("other", (250, 270, 260))


def changes(panel: PanelSettings) -> list[str]:
    return [SAY.say(message) for message in panel.changed_from_normal]


def test_a_plain_plan_has_no_warnings() -> None:
    assert pressed((NAME,), film()).warnings == ()


@pytest.mark.parametrize(("highest", "narrow"), [(289, True), (290, False)])
def test_a_window_below_twice_the_tolerance_is_narrow(highest: int, narrow: bool) -> None:
    panel = pressed((NAME,), film(window=(280, highest, 285)), bench=press(tolerance="5 F"))
    assert ("narrow_window" in panel.warnings) is narrow


def test_a_narrow_window_is_measured_without_the_margin() -> None:
    panel = pressed((NAME,), film(), on=cloth("292 F"))
    assert degrees(panel) == [(280, 287)]
    assert "narrow_window" not in panel.warnings


def test_two_groups_get_no_warning_of_a_narrow_window() -> None:
    panel = pressed(BOTH, film(window=(290, 292, 291)), film(*COOL))
    assert "narrow_window" not in panel.warnings


def test_a_temperature_change_between_groups_gives_a_warning() -> None:
    assert "temp_change_in_batch" in pressed(BOTH, film(), film(*COOL)).warnings


@pytest.mark.parametrize(("when", "warned"), [("hot", False), ("warm", True), ("cold", True)])
def test_a_warm_or_cold_peel_before_the_next_closing_gives_a_warning(
    when: str, warned: bool
) -> None:
    panel = pressed(BOTH, film(peeled=(when,)), film(*COOL))
    assert ("peel_before_next_closing" in panel.warnings) is warned


def test_the_last_groups_peel_gives_no_warning_of_waiting() -> None:
    panel = pressed(BOTH, film(peeled=("hot",)), film(*COOL, peeled=("cold",)))
    assert "peel_before_next_closing" not in panel.warnings


@pytest.mark.parametrize("risk", list(DyeRisk))
def test_cloth_with_a_dye_risk_gives_a_dye_warning(risk: DyeRisk) -> None:
    panel = pressed((NAME,), film(), on=cloth(dye_risk=risk))
    assert ("dye_caution" in panel.warnings) is (risk is not DyeRisk.NONE)


def test_warnings_are_sorted() -> None:
    panel = pressed(BOTH, film(peeled=("cold",)), film(*COOL), on=cloth(dye_risk=DyeRisk.HIGH))
    assert panel.warnings == ("dye_caution", "peel_before_next_closing", "temp_change_in_batch")


def test_usable_settings_consider_the_first_final_alone() -> None:
    """Later closings take their share of the name's 25 s, but that is ignored here."""
    panel = pressed(BOTH, film(total_heat=S("25 s")), film(*COOL, seconds=(15, 15, 15)))
    assert panel.closings[0].dwell_seconds == 10
    assert panel.usable == (UsableSpan(280, 300, 8, 12),)


def test_usable_settings_have_the_plans_margin() -> None:
    assert degrees(pressed((NAME,), film(), on=cloth("300 F"))) == [(280, 295)]
    assert degrees(pressed((NAME,), film(), on=cloth("283 F"))) == [(280, 283)]


def test_each_piece_not_at_its_normal_is_listed() -> None:
    panel = pressed(BOTH, film(), film("other", (295, 320, 310), seconds=(9, 14, 14)))
    assert changes(panel) == [
        "name.1 temperature 290 F -> 300 F",
        "name.1 dwell 10 s -> 12 s",
        "number.1 temperature 310 F -> 300 F",
        "number.1 dwell 14 s -> 12 s",
    ]


def test_a_tack_not_at_its_normal_is_listed() -> None:
    stacks = (element("name", "other", "other"), element("number", "film", "film"))
    panel = pressed(stacks, film(), film("other", tack=tack(3, 4, 3)))
    assert changes(panel) == ["number.1 tack 2 s -> 3 s", "number.2 tack 2 s -> 3 s"]


def test_changes_are_listed_in_the_presss_scale() -> None:
    """290 °F is 143.3 °C."""
    assert changes(pressed((NAME,), film(), bench=press("145 C"))) == [
        "name.1 temperature 143 C -> 145 C"
    ]


def test_a_panel_can_be_pressed_in_one_group_under_a_policy_of_one() -> None:
    off = SheetRule.OPTIONAL
    panel = pressed(
        BOTH, film(), film("other", sheet_carrier_off=off), policy=Policy(max_closings=1)
    )
    assert [c.group for c in panel.closings] == [0]
