"""A garment's acts as a story, the shop's own properties, and the fabric's cloth."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from usual_garment import usual

from kiosk.catalog.base.quantities import Degrees, Pressure, Seconds, Temperature
from kiosk.catalog.model.sheets import DyeRisk, Fabric
from kiosk.heat.curve import Curve, bond, solve
from kiosk.heat.garment import (
    LIFTING_SECONDS,
    Act,
    GarmentPlace,
    Setup,
    cloth_of,
    cooling_acts,
    story,
)
from kiosk.heat.solver import Sample
from kiosk.heat.stack import PROPERTIES, Air, Carrier, Cloth, Plate


def fabric(risk: DyeRisk) -> Fabric:
    hot = Temperature(Fraction(160), Degrees.C, "160 C")
    time = Seconds(Fraction(60), "60 s")
    return Fabric("knit", "Knit", hot, (), time, Pressure.FIRM, risk, None, time)


def test_the_stack_is_listed_from_the_platen_down() -> None:
    final = Act("final", 15.0, closed=True, films=2, carrier=True, sheet=True)
    stage = story(Setup(149.0), (final,)).stages[0]
    assert stage.stack == (
        "sheet", "carrier2", "film2", "film1", "cloth1", "cloth2", "pad", "lower",
    )  # fmt: skip
    assert stage.top == Plate(149.0, 1500.0)


def test_a_lifted_garment_has_air_on_both_sides() -> None:
    stage = story(
        Setup(149.0, 21.0), (Act("cool", 60.0, films=1, where=GarmentPlace.LIFTED),)
    ).stages[0]
    assert stage.stack == ("film1", "cloth1", "cloth2")
    assert stage.top == stage.bottom == Air(21.0, 2.05, 0.9)


def test_a_bare_final_has_neither_carrier_nor_sheet() -> None:
    acts = usual(films=2, carrier=False, sheet=False)
    stages = {stage.name: stage.stack for stage in story(Setup(149.0), acts).stages}
    assert stages["final"][:2] == ("film2", "film1")
    assert "carrier2" in stages["strip2"]


def test_an_act_of_zero_seconds_is_left_out() -> None:
    assert [act.name for act in usual(pre_press=0.0, where=GarmentPlace.PAD)] == [
        "lay1", "tack1", "cover_on", "final", "cool",
    ]  # fmt: skip


def test_a_garment_cools_on_the_pad_until_it_is_lifted() -> None:
    on_pad, lifted = cooling_acts(1, True, GarmentPlace.LIFTED, 300.0)
    assert (on_pad.seconds, on_pad.where) == (LIFTING_SECONDS, GarmentPlace.PAD)
    assert (lifted.seconds, lifted.where) == (300.0 - LIFTING_SECONDS, GarmentPlace.LIFTED)


@pytest.mark.parametrize(
    "own",
    [
        replace(PROPERTIES, free_hanging=6.0),
        replace(PROPERTIES, film=replace(PROPERTIES.film, kg_per_square_metre=0.02)),
    ],
)
def test_a_shops_own_properties_change_the_result(own: object) -> None:
    usual_shop = solve(story(Setup(149.0), usual())).cooling.falls_to(50.0)
    assert isinstance(own, type(PROPERTIES))
    other = solve(story(Setup(149.0, properties=own), usual())).cooling.falls_to(50.0)
    assert other is not None
    assert usual_shop is not None
    assert other < usual_shop - 3


def test_a_paper_carrier_cools_sooner_than_film() -> None:
    found = [
        solve(story(Setup(149.0, carrier=carrier), usual())).cooling.falls_to(40.0) or 0
        for carrier in (Carrier.PAPER, Carrier.PET)
    ]
    assert found[0] < found[1] - 2


def test_cloth_with_a_dye_risk_is_treated_as_polyester() -> None:
    assert cloth_of(fabric(DyeRisk.HIGH)) is Cloth.LIGHT
    assert cloth_of(fabric(DyeRisk.NONE)) is Cloth.HEAVY


CURVE = Curve(
    (
        Sample(0.0, None, 20.0),
        Sample(1.0, 100.0, 90.0),
        Sample(3.0, 80.0, 80.0),
        Sample(5.0, 40.0, 40.0),
    )
)


@pytest.mark.parametrize(
    ("time", "celsius"), [(-1, None), (0.5, 100.0), (1, 100.0), (2, 90.0), (4, 60.0), (9, 40.0)]
)
def test_a_look_up_interpolates_between_samples(time: float, celsius: float | None) -> None:
    assert CURVE.at(time) == celsius


def test_time_above_a_temperature_counts_parts_of_steps() -> None:
    assert CURVE.seconds_above(bond, 90.0) == pytest.approx(1.0)
    assert CURVE.seconds_above(bond, 60.0) == pytest.approx(3.0)
    assert CURVE.seconds_above(bond, 100.0) == 0


def test_a_curve_falls_to_a_temperature_once_or_never() -> None:
    assert CURVE.falls_to(70.0) == pytest.approx(3.5)
    assert CURVE.falls_to(39.0) is None
    assert CURVE.slope(3.5) == pytest.approx(-20.0)
    assert CURVE.slope(9.0) == 0
