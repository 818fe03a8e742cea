"""Sheets in a different unit from the press's, and limits with fractions: how they are rounded."""

from __future__ import annotations

from dataclasses import replace

import pytest
from settings_samples import (
    NAME,
    S,
    T,
    cap,
    cloth,
    degrees,
    dwell,
    film,
    final,
    peel,
    press,
    pressed,
)

from kiosk.catalog.model.sheets import DwellBand, DwellCap
from kiosk.plan.model import UsableSpan


def test_a_press_in_celsius_is_solved_in_celsius() -> None:
    """280 °F is 137.8 °C, 300 °F is 148.9 °C, 302 °F is 150 °C; a step of 5 °F is 2.8 °C."""
    panel = pressed((NAME,), film(), on=cloth("302 F"), bench=press("150 C"))
    assert degrees(panel) == [(138, 147)]
    assert (final(panel).temperature, panel.setting_change) == (143, -7)


def test_a_gap_between_a_films_bands_from_rounding_is_not_usable() -> None:
    """140 and 141 °C are 284 and 285.8 °F: 285 °F is in neither band."""
    celsius = replace(
        film(),
        temperature=replace(film().temperature, low=T("130 C"), high=T("150 C")),
        dwell=(dwell("130 C", "140 C", 8, 12, 10), dwell("141 C", "150 C", 8, 12, 10)),
        peel=(peel("130 C", "150 C", "hot"),),
    )
    assert degrees(pressed((NAME,), celsius)) == [(266, 284), (286, 302)]


def test_a_degree_in_two_bands_after_rounding_obeys_both() -> None:
    """289 and 290 °F are 142.8 and 143.3 °C: both round to 143 °C."""
    bands = (dwell("280 F", "289 F", 9, 12, 10), dwell("290 F", "300 F", 6, 10, 8))
    panel = pressed((NAME,), film(dwell=bands), bench=press("143 C"))
    assert panel.usable == (
        UsableSpan(138, 142, 9, 12),
        UsableSpan(143, 143, 9, 10),
        UsableSpan(144, 149, 6, 10),
    )
    assert (final(panel).temperature, final(panel).dwell_seconds) == (143, 10)


def test_a_gap_between_a_cloths_bands_from_rounding_takes_the_stricter_one() -> None:
    torn = cloth(dwell_max=(cap("0 C", "140 C", 11), cap("141 C", "160 C", 9)))
    panel = pressed((NAME,), film(), on=torn, bench=press("285 F", "0 F"))
    assert (final(panel).temperature, final(panel).dwell_seconds) == (285, 9)


@pytest.mark.parametrize(
    ("setting", "most", "seconds"),
    [
        ("267 F", (12, 7, 9), 7),
        ("285 F", (12, 7, 9), 7),
        ("267 F", (7, 12, 9), 7),
        ("285 F", (7, 12, 9), 9),
    ],
)
def test_a_gap_from_rounding_looks_only_at_the_two_bands_beside_it(
    setting: str, most: tuple[int, int, int], seconds: int
) -> None:
    """130, 131, 140 and 141 °C are 266, 267.8, 284 and 285.8 °F: 267 and 285 °F are in no band."""
    ends = ("0 C", "130 C"), ("131 C", "140 C"), ("141 C", "160 C")
    caps = tuple(cap(*end, each) for end, each in zip(ends, most, strict=True))
    wide = film(window=(262, 300, 280), seconds=(5, 12, 10))
    panel = pressed((NAME,), wide, on=cloth(dwell_max=caps), bench=press(setting, "0 F"))
    assert (f"{final(panel).temperature} F", final(panel).dwell_seconds) == (setting, seconds)


def test_fractions_of_a_degree_are_rounded_to_the_safe_side() -> None:
    """280.5 to 284.5 °F allow 281 to 284 °F; a cloth's 283.7 °F allow 283 °F."""
    film_ = replace(
        film(),
        temperature=replace(film().temperature, low=T("280.5 F"), high=T("284.5 F")),
        dwell=(dwell("280.5 F", "284.5 F", 8, 12, 10),),
        peel=(peel("280.5 F", "284.5 F", "hot"),),
    )
    assert degrees(pressed((NAME,), film_, bench=press("290 F", "0 F"))) == [(281, 284)]
    mild = pressed((NAME,), film_, on=cloth("283.7 F"), bench=press("290 F", "0 F"))
    assert degrees(mild) == [(281, 283)]


def test_fractions_of_a_second_are_rounded_to_the_safe_side() -> None:
    """Whole seconds, design.md, section 4: 8.5 to 11.5 s allow 9 to 11."""
    band = DwellBand(T("280 F"), T("300 F"), S("8.5 s"), S("11.5 s"), S("10 s"))
    assert pressed((NAME,), film(dwell=(band,))).usable == (UsableSpan(280, 300, 9, 11),)


@pytest.mark.parametrize("key", ["cloth", "total", "film"])
def test_an_upper_limit_with_a_fraction_of_a_second_is_rounded_down(key: str) -> None:
    """9.5 s allow 9; so do 14.5 s of heat minus a pre-press of 5 s."""
    on = {
        "cloth": cloth(dwell_max=(DwellCap(T("0 F"), T("320 F"), S("9.5 s")),)),
        "total": replace(cloth(), total_heat=S("14.5 s")),
    }.get(key, cloth())
    own = replace(film(), total_heat=S("9.5 s")) if key == "film" else film()
    assert pressed((NAME,), own, on=on).usable == (UsableSpan(280, 300, 8, 9),)
