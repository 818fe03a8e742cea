"""The heat summary and advice for a pass; neither ever changes a dwell.

Temperatures and seconds are from the calculated table in tests/heat/test_heat_table.py.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from plan_samples import closing, element, fabric, material, plan_of, settings, tack

from kiosk.catalog.base.quantities import Degrees
from kiosk.catalog.model.house import Cloth, FabricHeat
from kiosk.catalog.model.recipes import Panel
from kiosk.catalog.model.sheets import Peel, SheetRule, Surface
from kiosk.plan.heat.summary import HeatSummary, heat_summary, sentences
from kiosk.plan.model import Pass, Phase
from kiosk.words import Words

C, F = Degrees.C, Degrees.F
LIGHT = replace(fabric(), heat=FabricHeat(Cloth.LIGHT))


def stack(sheet: bool = False, temperature: int = 300) -> Pass:
    """Return the pass of a tacked number of two layers; 300 F is the 149 C of the table."""
    back = Panel("back", (element("number", "black", "white"),))
    closings = (
        tack("number.1", sheet=sheet),
        tack("number.2", heated=("number.1", "number.2"), sheet=sheet),
        closing("number.1", "number.2", sheet=True),
    )
    hot = (replace(each, temperature=temperature) for each in closings)
    return plan_of(settings(*hot), panels=(back,), fabric=LIGHT).passes[0]


def single(temperature: int) -> Pass:
    back = Panel("back", (element("number", "red"),))
    final = closing("number.1", temperature=temperature, sheet=True, peel={"number.1": Peel.COLD})
    return plan_of(settings(final), panels=(back,), fabric=LIGHT).passes[0]


def summary_of(each: Pass) -> HeatSummary:
    summary = heat_summary(each, C)
    assert summary is not None
    return summary


def test_the_cloth_is_hot_for_as_long_as_the_shops_table_says() -> None:
    """Calculated: 25 s with a platen of 149 °C.

    The table's garment has an extra tack of 2 s, on a colder pad.
    """
    assert summary_of(single(300)).heat.seconds_above == pytest.approx(25.0, abs=3.0)


def test_a_hotter_recipe_takes_more_equivalent_heat() -> None:
    equivalent = [
        summary_of(single(degrees)).heat.equivalent_seconds for degrees in (266, 300, 320)
    ]
    assert equivalent == sorted(equivalent)
    assert equivalent[2] > 2 * equivalent[0]


def test_a_bare_tack_after_a_pre_press_brings_the_bond_to_130() -> None:
    """Calculated table: 130 °C after a pre-press, from room temperature; here the pad is warm."""
    (found,) = summary_of(stack()).tacks
    assert (found.seconds, found.sheet) == (2, False)
    assert found.bond == pytest.approx(130.0, abs=3.0)


def test_a_longer_tack_is_advised_under_the_sheet_within_its_limit() -> None:
    each = stack(sheet=True)
    (longer,) = [m for m in summary_of(each).advice if m.id == "heat.tack.sheet"]
    step = next(s for s in each.steps if s.phase is Phase.TACK)
    assert step.seconds == 2
    assert step.most_seconds is not None
    assert 0 < float(str(longer.values["more"])) <= step.most_seconds - step.seconds


def test_a_bare_tack_gets_no_advice() -> None:
    assert not [m for m in summary_of(stack()).advice if m.id.startswith("heat.tack")]


def test_a_short_final_gets_advice_about_the_first_garments_cold_pad() -> None:
    each = single(300)
    short = tuple(
        replace(s, seconds=5.0) if s.phase == Phase.FINAL.value else s for s in heat_states(each)
    )
    assert each.heat is not None
    brief = replace(each, heat=replace(each.heat, states=short))
    assert [m.id for m in summary_of(brief).advice] == ["heat.pad.first"]


def heat_states(each: Pass) -> tuple:  # type: ignore[type-arg] # of HeatState
    assert each.heat is not None
    return each.heat.states


def test_the_summary_uses_the_presss_unit_and_says_estimated() -> None:
    words = Words("en")
    lines = [words.say(m) for m in sentences(summary_of(stack(sheet=True)), F)]
    assert "above 248 °F" in lines[0]
    assert "300 °F" in lines[0]
    assert all("estimated" in line.lower() for line in lines[:2])


def test_without_a_model_there_is_no_summary() -> None:
    pile = replace(material(), surface=Surface.PILE, sheet_carrier_off=SheetRule.NO_PRESS)
    back = Panel("back", (element("number", "red"),))
    final = closing("number.1", peel={"number.1": Peel.COLD})
    each = plan_of(settings(final), panels=(back,), materials=(pile,)).passes[0]
    assert heat_summary(each, C) is None
    assert each.heat_left
