"""Heat taken, for comparing recipes; a tack under the sheet; the first garment's cold pad.

The temperatures are those of the calculated table in test_heat_table.py: no press was measured. The
activation energy (100, between 80 and 120 kJ/mol) and 5 K at the bond are assumptions.
"""

from __future__ import annotations

import pytest
from usual_garment import reached, usual

from kiosk.catalog.base.quantities import Degrees
from kiosk.heat.curve import Curve, cloth, solve
from kiosk.heat.garment import Act, Setup, idle, story
from kiosk.heat.heat_taken import (
    Arrhenius,
    cold_pad,
    equivalent_between,
    equivalent_seconds,
    heat_taken,
    press_layers,
    tack_under_sheet,
)
from kiosk.heat.solver import Sample, history
from kiosk.words.speak import Words

SETUP = Setup(149.0)
TACK = Act("tack", 2.0, closed=True, films=1, carrier=True, sheet=True)


def test_a_second_ten_kelvin_below_the_reference_counts_about_half() -> None:
    """exp(-100000/8.314·(1/412.15 - 1/422.15)) = 0.5008, by hand."""
    arrhenius = Arrhenius(100_000.0, 149.0)
    assert arrhenius.rate(149.0) == 1
    assert arrhenius.rate(139.0) == pytest.approx(0.5008, rel=2e-3)


def test_ten_seconds_at_the_reference_count_as_ten() -> None:
    level = Curve((Sample(0.0, None, 149.0), Sample(10.0, None, 149.0)))
    assert equivalent_seconds(level, cloth, Arrhenius()) == pytest.approx(10.0)


def test_equivalent_heat_has_a_range_for_energy_and_5_kelvin_either_way() -> None:
    """By hand, 10 s at 139 °C.

    exp(-120000/8.314·(1/407.15 - 1/422.15)) = 0.2838 at the least,
    exp(-80000/8.314·(1/417.15 - 1/422.15)) = 0.7609 at the most.
    """
    level = Curve((Sample(0.0, None, 139.0), Sample(10.0, None, 139.0)))
    found = equivalent_between(level, Arrhenius())
    assert (found.low, found.high) == pytest.approx((2.838, 7.609), rel=2e-3)


def test_each_value_of_a_garment_is_within_its_range() -> None:
    found = heat_taken(solve(story(SETUP, usual())))
    assert found.seconds_between.low < found.seconds_above < found.seconds_between.high
    assert found.equivalent_between.low < found.equivalent_seconds < found.equivalent_between.high


def test_one_long_step_counts_like_many_short_ones() -> None:
    ends = (Sample(0.0, None, 120.0), Sample(10.0, None, 149.0))
    fine = tuple(Sample(n / 10, None, 120 + 2.9 * n / 10) for n in range(101))
    found = [equivalent_seconds(Curve(s), cloth, Arrhenius()) for s in (ends, fine)]
    assert found[0] == pytest.approx(found[1], rel=0.03)


def test_a_hotter_platen_gives_more_heat_by_every_measure() -> None:
    cool, hot = (heat_taken(solve(story(Setup(t), usual()))) for t in (130.0, 160.0))
    assert hot.seconds_above > cool.seconds_above
    assert hot.equivalent_seconds > 3 * cool.equivalent_seconds
    assert hot.highest is not None
    assert hot.highest < 160


def test_a_tack_under_the_sheet_is_cooler_and_needs_two_seconds_more() -> None:
    advice = tack_under_sheet(SETUP, TACK, tack_high_seconds=6.0)
    assert advice is not None
    assert advice.values["bond"] == 104
    assert advice.values["bare"] == 125
    assert advice.values["more"] in (1.5, 2.0)
    sentence = (
        "Estimated: under the cover sheet this tack brings the bond to 94 °C to 114 °C, bare to"
    )
    assert Words().say(advice).startswith(sentence)
    assert (advice.values["more_low"], advice.values["more_high"]) == (1.5, 2.5)


def test_the_advice_never_exceeds_the_tacks_limit() -> None:
    some = tack_under_sheet(SETUP, TACK, tack_high_seconds=3.0)
    none = tack_under_sheet(SETUP, TACK, tack_high_seconds=2.0)
    assert some is not None
    assert none is not None
    assert some.values["more"] == 1.0
    bounded = tack_under_sheet(SETUP, TACK, tack_high_seconds=2.8)
    assert bounded is not None
    assert bounded.values["more"] == bounded.values["more_high"] == 0.5
    assert none.id == "heat.tack.sheet.no_longer"
    assert Words().say(none).endswith("its limit allows no longer tack")


def test_the_advice_uses_the_presss_unit() -> None:
    advice = tack_under_sheet(SETUP, TACK, 6.0, Degrees.F)
    warm = cold_pad(SETUP, usual(), unit=Degrees.F)
    assert advice is not None
    assert warm is not None
    assert "to 200 °F to 236 °F, bare to 239 °F to 275 °F" in Words().say(advice)
    assert "°F cooler (estimated)" in Words().say(warm)
    assert warm.values["low"] != warm.values["high"]


def test_a_bare_tack_needs_no_advice() -> None:
    bare = Act("tack", 2.0, closed=True, films=1, carrier=True)
    assert tack_under_sheet(SETUP, bare, 3.0) is None


def test_the_first_garment_of_the_day_gets_advice_to_warm_the_pad() -> None:
    advice = cold_pad(SETUP, usual())
    assert advice is not None
    assert Words().say(advice).endswith("Close the empty press for 20 to 30 s first")


def test_a_pad_warmed_as_advised_gets_no_more_advice() -> None:
    warm = press_layers(history(story(SETUP, (idle(25.0, closed=True), idle(20.0)))).end)
    assert cold_pad(SETUP, usual(), warm) is None


def test_closing_the_empty_press_helps_the_first_garment() -> None:
    """A first garment's bond is about 4 K cooler than in the middle of a shift; calculated."""
    end = None
    bonds = []
    for _ in range(15):
        solved = solve(story(SETUP, (*usual(cooling=2.0), idle(20.0))), end)
        end = press_layers(solved.end)
        bonds.append(reached(solved, "final") or 0)
    warm = press_layers(history(story(SETUP, (idle(25.0, closed=True),))).end)
    cured = reached(solve(story(SETUP, usual()), warm), "final") or 0
    assert bonds[-1] - bonds[0] == pytest.approx(4, abs=1.5)
    assert cured > bonds[0] + 2


def test_without_a_closing_there_is_no_advice() -> None:
    assert cold_pad(SETUP, (idle(5.0),)) is None
    assert reached(solve(story(SETUP, (idle(5.0),))), "final") is None
