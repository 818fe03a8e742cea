"""What a name must withstand if it lies under the platen again while its number is pressed."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from plan_samples import F as DEGREES
from plan_samples import S, fabric, material
from test_platen_parts import LOW, planned

from kiosk.catalog.base.quantities import Pressure
from kiosk.catalog.model.sheets import DwellBand, Material, SheetRule, TemperatureWindow
from kiosk.plan.model import PanelRefusal, Plan

TOO_MUCH_FOR_THE_CLOTH = {
    "name.1.dwell.low=10 s",
    "number.1.dwell.low=10 s",
    "fabric.total_heat=24 s",
}


def refused(layers: tuple[str, ...] = ("red",), **parts: object) -> PanelRefusal:
    """Return why a youth name cannot lie again under the 12 in platen of its number."""
    answer = planned(roster=LOW, platen="12 in", layers=layers, **parts)
    assert isinstance(answer, PanelRefusal)
    return answer


def conflict_of(refusal: PanelRefusal) -> set[str]:
    return {str(limit) for limit in refusal.conflict}


def cool(bare: SheetRule) -> Material:
    """Return a film that cannot stand the heat of a number of plain film."""
    return replace(
        material("cool", tack=False, bare=bare),
        temperature=TemperatureWindow(DEGREES("250 F"), DEGREES("255 F"), DEGREES("250 F")),
        dwell=(replace(material().dwell[0], start=DEGREES("250 F")),),
        peel=(replace(material().peel[0], start=DEGREES("250 F")),),
    )


def test_a_passenger_that_must_not_be_pressed_again_stops_the_plan() -> None:
    closed: dict[str, Any] = {
        "materials": (material(), material("bare", tack=False, bare=SheetRule.NO_PRESS)),
        "keys": {"name": "bare"},
    }
    assert conflict_of(refused(**closed)) == {"name.1.cover_sheet.carrier_off=no_press"}
    off = planned(layers=("red",), **closed)
    assert isinstance(off, Plan)  # an adult's name, moved off the platen, is no passenger


@pytest.mark.parametrize(
    ("carrier", "key"), [(True, "carrier_on=required"), (False, "carrier_off=required")]
)
def test_a_passenger_that_forbids_a_later_parts_sheet_is_reported_with_its_rule(
    carrier: bool, key: str
) -> None:
    """A later piece requires the sheet by the rule of its own face: carrier on, or bare."""
    bare = material("bare", tack=False, bare=SheetRule.FORBIDDEN)
    sheet = replace(
        material("sheet", tack=False, carrier=carrier), sheet_carrier_on=SheetRule.REQUIRED
    )
    made = refused(materials=(bare, sheet), keys={"name": "bare", "number": "sheet"})
    assert conflict_of(made) == {
        "name.1.cover_sheet.carrier_off=forbidden",
        f"number.1.cover_sheet.{key}",
    }


def test_the_reason_with_the_fewest_limits_is_reported() -> None:
    films = (material(), cool(SheetRule.NO_PRESS))
    made = refused(materials=films, keys={"name": "cool"})
    assert conflict_of(made) == {"name.1.cover_sheet.carrier_off=no_press"}


def test_a_passenger_cooler_than_a_later_part_is_reported_with_the_gap() -> None:
    films = (material(), cool(SheetRule.REQUIRED))
    made = refused(materials=films, keys={"name": "cool"})
    assert conflict_of(made) == {"name.1.temperature.high=255 F", "number.1.temperature.low=260 F"}
    assert made.gap == {"temperature_f": 5.0}


def test_a_passenger_that_bears_one_pressing_is_reported_with_both_dwells() -> None:
    once = replace(material("once", tack=False), total_heat=S("18 s"))
    parts: dict[str, Any] = {"materials": (material(), once), "keys": {"name": "once"}}
    made = refused(**parts)
    limits = {"name.1.dwell.low=10 s", "number.1.dwell.low=10 s", "name.1.total_heat=18 s"}
    assert conflict_of(made) == limits
    assert made.gap == {"dwell_s": 2.0}  # 10 in its own closing, 10 in the number's
    assert isinstance(planned(layers=("red",), **parts), Plan)  # off the platen it is heated once


def test_the_cloths_total_counts_both_parts() -> None:
    made = planned(layers=("red",), fabric=fabric(total="24 s"))
    assert isinstance(made, PanelRefusal)
    assert conflict_of(made) == TOO_MUCH_FOR_THE_CLOTH
    assert made.gap == {"dwell_s": 1.0}  # 5 of pre-press, 10 and 10


def test_a_part_that_blocks_dye_can_exceed_another_parts_dye_cap() -> None:
    """design.md, section 4, rule 3: a closing's own pieces count; the cloth's total is why."""
    hot = TemperatureWindow(DEGREES("280 F"), DEGREES("300 F"), DEGREES("290 F"))
    blocks = replace(material("blocks", tack=False), temperature=hot, blocks_dye=True)
    parts: dict[str, Any] = {"materials": (material(), blocks), "keys": {"name": "blocks"}}
    capped = replace(fabric(), dye_cap=DEGREES("270 F"))
    assert isinstance(
        planned(roster=LOW, platen="12 in", layers=("red",), fabric=capped, **parts), Plan
    )
    made = refused(fabric=replace(capped, total_heat=S("24 s")), **parts)
    assert conflict_of(made) == TOO_MUCH_FOR_THE_CLOTH


def test_a_passenger_that_just_bears_a_later_parts_heat_is_not_blamed() -> None:
    """It withstands 260 °F, and the number needs 260 or more; the cloth's total is the reason."""
    just = TemperatureWindow(DEGREES("255 F"), DEGREES("260 F"), DEGREES("260 F"))
    films = (material(), replace(cool(SheetRule.REQUIRED), temperature=just))
    made = refused(materials=films, keys={"name": "cool"}, fabric=fabric(total="24 s"))
    assert conflict_of(made) == TOO_MUCH_FOR_THE_CLOTH


@pytest.mark.parametrize(("most", "steps"), [(Pressure.LIGHT, 2.0), (Pressure.LIGHT_MEDIUM, 1.0)])
def test_a_passenger_under_too_much_pressure_is_reported_in_steps(
    most: Pressure, steps: float
) -> None:
    """Counted in steps of light, light-medium, medium."""
    soft = replace(material("soft", tack=False), pressure_low=Pressure.LIGHT, pressure_high=most)
    made = refused(materials=(material(tack=False), soft), keys={"name": "soft"})
    assert conflict_of(made) == {
        f"name.1.pressure.high={most.word}",
        "number.1.pressure.low=medium",
    }
    assert made.gap == {"pressure_steps": steps}


def test_a_tack_is_reported_only_if_it_exceeds_the_total() -> None:
    """Fewest limits (design.md, section 4): 10 and 10 s, and one of the six tacks is enough."""
    two, keys = ("black", "white"), {"name": "short"}
    much = replace(material("short"), total_heat=S("20 s"))
    made = refused(two, materials=(material(), much), keys=keys)
    assert [limit.key for limit in made.conflict] == [
        "dwell.low",
        "tack.low",
        "dwell.low",
        "total_heat",
    ]
    assert made.gap == {"dwell_s": 1.0}
    little = replace(much, total_heat=S("19 s"))
    made = refused(two, materials=(material(), little), keys=keys)
    assert [limit.key for limit in made.conflict] == ["dwell.low", "dwell.low", "total_heat"]


def test_only_dwells_at_temperatures_the_passenger_allows_are_reported() -> None:
    """Up to 270 F the number needs 20 s and the cloth allows 18; hotter, it needs only 10."""
    cool = replace(
        material("cool", tack=False),
        temperature=TemperatureWindow(DEGREES("260 F"), DEGREES("265 F"), DEGREES("260 F")),
    )
    slow = DwellBand(DEGREES("260 F"), DEGREES("270 F"), S("20 s"), S("30 s"), S("22 s"))
    quick = DwellBand(DEGREES("271 F"), DEGREES("300 F"), S("10 s"), S("16 s"), S("12 s"))
    banded = replace(material("banded", tack=False), dwell=(slow, quick))
    made = refused(materials=(cool, banded), keys={"name": "cool", "number": "banded"})
    assert {str(limit) for limit in made.conflict} == {
        "name.1.temperature.high=265 F",
        "number.1.dwell.low=20 s, 10 s",
        "fabric.dwell_max=18 s",
    }
    assert made.gap == {"dwell_s": 2.0}
