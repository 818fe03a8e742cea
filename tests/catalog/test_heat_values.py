"""A shop's inputs for the heat model, and their faults."""

from __future__ import annotations

from pathlib import Path

import pytest
from catalog_folders import faults_with, only, own_catalog, recipes_with

from kiosk.catalog.base.notes import say
from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.model.house import Carrier, Cloth, FabricHeat, OwnBody, PressHeat, Thresholds
from kiosk.catalog.read import read_catalog

DIGIT = "  total_heat: 47 s\n"  # the first entry's
KNIT = "  heat: {cloth: light}\n"
BENCH = "    closes_in: 1.5 s\n"


def catalog_with(tmp_path: Path, file: str, old: str, new: str) -> Catalog:
    catalog, faults = read_catalog(recipes_with(tmp_path, file, (old, new)))
    assert not faults
    return catalog


def test_missing_values_get_their_defaults() -> None:
    catalog = own_catalog()
    assert catalog.materials["digits"].peel_at == Thresholds()
    assert catalog.materials["digits"].heat is None
    assert catalog.fabrics["warm-cloth"].heat is None
    assert catalog.presses["front-press"].heat == PressHeat()


def test_peel_temperatures_are_read_in_either_unit(tmp_path: Path) -> None:
    keys = "  peel_at: {hot: 203 F, warm: {from: 70 C, to: 45 C}, cold: 35 C}\n"
    catalog = catalog_with(tmp_path, "materials.yaml", DIGIT, DIGIT + keys)
    assert catalog.materials["digits"].peel_at == Thresholds(95.0, 70.0, 55.0, 45.0, 35.0)


def test_a_warm_aim_can_be_set_and_missing_values_keep_their_defaults(tmp_path: Path) -> None:
    keys = "  peel_at: {warm: {from: 70 C, to: 45 C, aim: 46 C}}\n"
    catalog = catalog_with(tmp_path, "materials.yaml", DIGIT, DIGIT + keys)
    assert catalog.materials["digits"].peel_at == Thresholds(90.0, 70.0, 46.0, 45.0, 30.0)


def test_a_films_carrier_thickness_and_weight_are_read(tmp_path: Path) -> None:
    keys = "  heat: {carrier: paper, film: {thickness: 0.2 mm, weight: 240 g/m2}}\n"
    heat = catalog_with(tmp_path, "materials.yaml", DIGIT, DIGIT + keys).materials["digits"].heat
    assert heat is not None
    assert heat.carrier is Carrier.PAPER
    assert heat.film == OwnBody(mm_pressed=0.2, mm_open=0.2, kg_per_square_metre=0.24)


def test_a_cloth_can_be_thinner_pressed_than_open(tmp_path: Path) -> None:
    keys = (
        "  heat: {cloth: heavy, thickness: 0.4 mm, open_thickness: 0.7 mm, capacity: 1300 J/kgK}\n"
    )
    heat = catalog_with(tmp_path, "fabrics.yaml", KNIT, keys).fabrics["plain-cloth"].heat
    own = OwnBody(mm_pressed=0.4, mm_open=0.7, joules_per_kg_kelvin=1300)
    assert heat == FabricHeat(Cloth.HEAVY, own)


def test_a_presss_pad_overhead_and_room_are_read(tmp_path: Path) -> None:
    keys = "    heat: {pad: {thickness: 12 mm}, overhead: 20 %, room: 77 F}\n"
    heat = catalog_with(tmp_path, "shop.yaml", BENCH, BENCH + keys).presses["front-press"].heat
    assert heat == PressHeat(OwnBody(mm_pressed=12, mm_open=12), 0.2, 25.0)


@pytest.mark.parametrize(
    ("keys", "key", "problem", "allowed"),
    [
        ("peel_at: {}", "peel_at", "asked.something", ""),
        ("peel_at: {wram: {from: 65 C, to: 40 C}}", "peel_at.wram", "key.unknown",
         "hot, warm, cold"),
        ("peel_at: {hot: 90 s}", "peel_at.hot", "amount.wrong_unit",
         say("catalog.like.temperature")),
        ("peel_at: {warm: {from: 40 C, to: 65 C}}", "peel_at.warm.to", "order", ""),
        ("peel_at: {warm: {from: 65 C, to: 40 C, aim: 30 C}}", "peel_at.warm.to", "order", ""),
        ("peel_at: {warm: {from: 65 C}}", "peel_at.warm.to", "key.missing",
         say("catalog.like.temperature")),
        ("heat: {carrier: foil}", "heat.carrier", "asked.choice", "pet, paper"),
        ("heat: {film: {}}", "heat.film", "asked.something", ""),
        ("heat: {film: {weight: 240}}", "heat.film.weight", "amount.no_unit",
         say("catalog.like.weight")),
        ("heat: {film: {weight: 240 kg/m2}}", "heat.film.weight", "amount.wrong_unit",
         say("catalog.like.weight")),
        ("heat: {film: {thickness: 0 mm}}", "heat.film.thickness", "amount.range", "0.01–60 mm"),
        ("heat: {film: {open_thickness: 1 mm}}", "heat.film.open_thickness", "key.unknown",
         "thickness, conductivity, weight, capacity"),
    ],
)  # fmt: skip
def test_one_mistake_is_one_fault_with_the_allowed_values(
    tmp_path: Path, keys: str, key: str, problem: str, allowed: str
) -> None:
    fault = only(faults_with(tmp_path, "materials.yaml", (DIGIT, f"{DIGIT}  {keys}\n")))
    assert fault.key == f"digits.{key}"
    assert fault.problem.id == f"catalog.{problem}"
    assert fault.allowed == allowed


@pytest.mark.parametrize(
    ("file", "old", "keys", "key", "problem"),
    [
        ("fabrics.yaml", KNIT, "  heat: {weight: 150 g/m2}\n", "heat.cloth", "key.missing"),
        ("fabrics.yaml", KNIT, "  heat: {cloth: linen}\n", "heat.cloth", "asked.choice"),
        ("shop.yaml", BENCH, f"{BENCH}    heat: {{overhead: 95 %}}\n", "heat.overhead",
         "amount.range"),
        ("shop.yaml", BENCH, f"{BENCH}    heat: {{padd: {{}}}}\n", "heat.padd", "key.unknown"),
    ],
)  # fmt: skip
def test_fabrics_and_presses_are_checked_the_same_way(
    tmp_path: Path, file: str, old: str, keys: str, key: str, problem: str
) -> None:
    fault = only(faults_with(tmp_path, file, (old, keys)))
    assert fault.key.endswith(f".{key}")
    assert fault.problem.id == f"catalog.{problem}"
