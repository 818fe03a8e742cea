"""The reference on hand-made cases: one closing. Expected values computed on paper."""

from __future__ import annotations

from typing import Any

import pytest
from made_up_sheets import (
    BOTH,
    NAME,
    answer,
    at,
    band,
    cloth,
    film,
    peel_band,
    pressed,
    sheet,
    window,
)
from sheets_from_json import element, press

from kiosk.catalog.model.house import Policy


def final(panel: dict[str, Any]) -> dict[str, Any]:
    return dict(panel["closings"][-1])


def test_the_presss_setting_is_kept_if_usable() -> None:
    panel = pressed((NAME,), film("film"), bench=press("283 F", "5 F"))
    assert (final(panel)["temperature"], panel["setting_change"]) == (283, 0)


def test_a_shop_that_does_not_keep_the_setting_uses_the_normal() -> None:
    panel = pressed(
        (NAME,), film("film"), bench=press("283 F", "5 F"), policy=Policy(keep_setting=False)
    )
    assert (final(panel)["temperature"], panel["setting_change"]) == (290, 7)


def test_a_tie_around_the_normal_chooses_the_hotter_setting() -> None:
    dwell = [band(280, 289, 8, 12, 10), band(291, 300, 8, 12, 10)]
    panel = pressed((NAME,), film("film", dwell=dwell))
    assert final(panel)["temperature"] == 291


def test_the_margin_keeps_the_tolerance_below_the_cloths_limit() -> None:
    panel = pressed((NAME,), film("film"), on=cloth(temperature_max="294 F"))
    assert final(panel)["temperature"] == 289
    assert panel["warnings"] == []
    assert panel["usable"][-1]["temperature"] == [280, 289]


def test_with_no_space_for_the_margin_the_plan_warns_and_omits_it() -> None:
    panel = pressed((NAME,), film("film"), on=cloth(temperature_max="284 F"))
    assert final(panel)["temperature"] == 284
    assert panel["warnings"] == ["narrow_window", "no_fabric_margin"]


def test_a_shop_without_the_margin_gets_no_warning_about_it() -> None:
    panel = pressed(
        (NAME,), film("film"), on=cloth(temperature_max="291 F"), policy=Policy(guard_fabric=False)
    )
    assert final(panel)["temperature"] == 290
    assert panel["warnings"] == []


def test_a_dye_cap_counts_unless_all_pieces_block_dye() -> None:
    capped = cloth(dye_cap="287 F", dye_risk="high")
    assert final(pressed((NAME,), film("film"), on=capped))["temperature"] == 282
    blocking = pressed((NAME,), film("film", blocks_dye=True), on=capped)
    assert final(blocking)["temperature"] == 290
    assert blocking["warnings"] == ["dye_caution"]


def test_the_dye_cap_applies_if_one_piece_lets_dye_through() -> None:
    films = film("film", blocks_dye=True), film("other")
    panel = pressed(BOTH, *films, on=cloth(dye_cap="287 F"))
    assert final(panel)["temperature"] == 282


def test_the_dwell_is_the_highest_normal_within_the_common_dwells() -> None:
    shorter = film("other", **at(280, 300, 290, "hot", dwell=(6, 9, 7)))
    assert final(pressed(BOTH, film("film"), shorter))["dwell_s"] == 9
    longer = film("other", **at(280, 300, 290, "hot", dwell=(11, 15, 11)))
    assert final(pressed(BOTH, film("film"), longer))["dwell_s"] == 11


def test_the_cloths_dwell_limit_is_read_a_tolerance_hotter_too() -> None:
    falling = cloth(
        dwell_max=[
            {"from": "0 F", "to": "292 F", "at_most": "20 s"},
            {"from": "293 F", "to": "320 F", "at_most": "9 s"},
        ]
    )
    assert final(pressed((NAME,), film("film"), on=falling))["dwell_s"] == 9
    bold = pressed((NAME,), film("film"), on=falling, policy=Policy(guard_fabric=False))
    assert final(bold)["dwell_s"] == 10


def test_a_gap_from_rounding_is_not_usable_for_a_film() -> None:
    """130-140 °C and 141-150 °C are 266-284 °F and 286-302 °F: 285 °F is in neither."""
    celsius = film(
        "film",
        temperature={"low": "130 C", "high": "150 C", "normal": "140 C"},
        dwell=[
            {"from": "130 C", "to": "140 C", "low": "8 s", "high": "12 s", "normal": "10 s"},
            {"from": "141 C", "to": "150 C", "low": "8 s", "high": "12 s", "normal": "10 s"},
        ],
        peel=[{"from": "130 C", "to": "150 C", "allowed": ["hot"]}],
    )
    panel = pressed((NAME,), celsius, bench=press("285 F", "0 F"))
    assert panel["usable"] == [
        {"temperature": [266, 284], "dwell_s": [8, 12]},
        {"temperature": [286, 302], "dwell_s": [8, 12]},
    ]
    assert final(panel)["temperature"] == 284


def test_a_gap_from_rounding_is_closed_for_a_cloth() -> None:
    torn = cloth(
        dwell_max=[
            {"from": "0 C", "to": "140 C", "at_most": "11 s"},
            {"from": "141 C", "to": "160 C", "at_most": "9 s"},
        ]
    )
    panel = pressed((NAME,), film("film"), on=torn, bench=press("285 F", "0 F"))
    assert (final(panel)["temperature"], final(panel)["dwell_s"]) == (285, 9)


def test_a_degree_in_two_bands_after_rounding_obeys_both() -> None:
    """289 °F and 290 °F are 142.8 and 143.3 °C: both round to 143."""
    banded = film("film", dwell=[band(280, 289, 8, 10, 8), band(290, 300, 9, 12, 9)])
    falling = cloth(
        dwell_max=[
            {"from": "0 F", "to": "289 F", "at_most": "20 s"},
            {"from": "290 F", "to": "320 F", "at_most": "9 s"},
        ]
    )
    bold = Policy(guard_fabric=False)
    panel = pressed((NAME,), banded, bench=press("143 C", "0 C"))
    assert panel["usable"] == [
        {"temperature": [138, 142], "dwell_s": [8, 10]},
        {"temperature": [143, 143], "dwell_s": [9, 10]},
        {"temperature": [144, 149], "dwell_s": [9, 12]},
    ]
    capped = pressed((NAME,), film("film"), on=falling, bench=press("143 C", "0 C"), policy=bold)
    assert final(capped)["dwell_s"] == 9


def test_a_press_in_celsius_is_solved_in_celsius() -> None:
    """280 °F is 137.8 °C, 300 °F is 148.9 °C, 302 °F is 150 °C; a step of 5 °F is 2.8 °C."""
    panel = pressed(
        (NAME,), film("film"), on=cloth(temperature_max="302 F"), bench=press("150 C", "5 F")
    )
    assert panel["usable"] == [{"temperature": [138, 147], "dwell_s": [8, 12]}]
    assert (final(panel)["temperature"], panel["setting_change"]) == (143, -7)


def test_pressure_runs_from_the_highest_low_to_the_lowest_high() -> None:
    firmer = film("other", pressure={"low": "medium-firm", "high": "firm"})
    assert final(pressed(BOTH, film("film"), firmer))["pressure"] == ["medium-firm", "medium-firm"]


def test_the_earliest_peel_that_all_allow_is_chosen() -> None:
    later = film("other", peel=[peel_band(280, 300, "warm", "cold")])
    assert final(pressed(BOTH, film("film"), later))["peel"] == {
        "name.1": "warm",
        "number.1": "warm",
    }


def test_separate_carriers_come_off_in_stages() -> None:
    cold = film("other", peel=[peel_band(280, 300, "cold")])
    panel = pressed(BOTH, film("film"), cold)
    assert final(panel)["peel"] == {"name.1": "hot", "number.1": "cold"}
    assert panel["warnings"] == ["staged_peel"]


def test_elements_on_one_carrier_are_not_peeled_in_stages() -> None:
    cold = film("other", peel=[peel_band(280, 300, "cold")])
    shared = (
        element("name", "film", shared_carrier=True),
        element("number", "other", shared_carrier=True),
    )
    found = answer(shared, film("film"), cold, policy=Policy(max_closings=1))
    assert found["conflict"] == ["name.1.peel=hot, warm", "number.1.peel=cold"]
    assert found["gap"] == {}


def test_one_element_marked_as_sharing_shares_its_carrier_with_the_rest() -> None:
    cold = film("other", peel=[peel_band(280, 300, "cold")])
    shared = (element("name", "film", shared_carrier=True), element("number", "other"))
    found = answer(shared, film("film"), cold, policy=Policy(max_closings=1))
    assert found["conflict"] == ["name.1.peel=hot, warm", "number.1.peel=cold"]


def test_without_staged_peel_a_temperature_with_a_common_peel_is_chosen() -> None:
    changing = film("other", peel=[peel_band(280, 292, "cold"), peel_band(293, 300, "hot")])
    panel = pressed(BOTH, film("film"), changing, policy=Policy(staged_peel=False))
    assert final(panel)["temperature"] == 293


def test_the_sheet_is_on_if_any_face_requires_it() -> None:
    required = film("other", **sheet("required", "required"))
    assert final(pressed((NAME,), film("film")))["cover_sheet"] is False
    assert final(pressed(BOTH, film("film"), required))["cover_sheet"] is True


def test_a_piece_without_a_carrier_has_no_peel_and_follows_the_bare_rule() -> None:
    letter = film("film", carrier=False, peel=[], tack=None, **sheet("forbidden", "required"))
    panel = pressed((NAME,), letter)
    assert final(panel)["peel"] == {}
    assert final(panel)["cover_sheet"] is True


@pytest.mark.parametrize(
    ("high", "warned"), [(299, False), (298, False), (290, False), (289, True)]
)
def test_a_window_below_twice_the_tolerance_is_narrow(high: int, warned: bool) -> None:
    slim = film("film", temperature=window(280, high, 285))
    assert ("narrow_window" in pressed((NAME,), slim)["warnings"]) is warned


def test_a_low_total_leaves_fewer_seconds_for_the_final() -> None:
    panel = pressed((NAME,), film("film"), on=cloth(total_heat="14 s"))
    assert final(panel)["dwell_s"] == 9
    assert (panel["fabric_heat_s"], panel["element_heat_s"]) == (14, {"name.1": 9})
