"""fabrics.yaml and shop.yaml: how they are read, and their faults."""

from __future__ import annotations

from pathlib import Path

import pytest
from catalog_folders import faults_with, ids, only, own_catalog, recipes_with

from kiosk.catalog.base.quantities import Degrees, TemperatureStep
from kiosk.catalog.model.house import Policy, StationSettings
from kiosk.catalog.read import read_catalog

FABRICS, SHOP = "fabrics.yaml", "shop.yaml"
KNIT = "dwell_max: [{from: 0 F, to: 323 F, at_most: 21 s}]"


def test_a_fabric_is_read_as_written() -> None:
    cloth = own_catalog().fabrics["thin-cloth"]
    assert [(c.start.text, c.end.text, c.at_most.whole) for c in cloth.dwell_max] == [
        ("0 F", "266 F", 19),
        ("267 F", "284 F", 10),
    ]
    assert cloth.dye_cap is not None
    assert cloth.dye_cap.text == "273 F"
    assert own_catalog().fabrics["warm-cloth"].dye_cap is None


@pytest.mark.parametrize(
    ("old", "new", "key", "problem"),
    [
        ("temperature_max: 323 F", "temperature_max: 323", "temperature_max", "amount.no_unit"),
        ("temperature_max: 323 F", "temperature_max: 323 C", "temperature_max", "amount.hotter"),
        ("temperature_max: 323 F", "temperature_max: 330 F", "dwell_max", "bands.hole"),
        (KNIT, KNIT.replace("0 F", "1 F", 1), "dwell_max", "bands.hole"),
        (KNIT, KNIT.replace("21 s", "21"), "dwell_max.1.at_most", "amount.no_unit"),
        (KNIT, "dwell_max: []", "dwell_max", "asked.one"),
        (KNIT, "dwell_max: 20 s", "dwell_max", "asked.list"),
        (KNIT, "dwell_max: [{from: 0 F, to: 200 F, at_most: 20 s}, {from: 201 F, to: 250 F, "
         "at_most: 20 s}, {from: 252 F, to: 323 F, at_most: 20 s}]", "dwell_max.3", "bands.hole"),
        (KNIT, "dwell_max: [{from: 0 F, to: 200 F, at_most: 20 s}, {from: 200 F, to: 323 F, "
         "at_most: 10 s}]", "dwell_max.2.from", "bands.overlap"),
        ("pressure_max: firm", "pressure_max: firmly", "pressure_max", "asked.choice"),
        ("dye_risk: none", "dye_risk: low", "dye_risk", "asked.choice"),
        ("dye_cap: null", "dye_cap: none", "dye_cap", "amount.no_number"),
        ("  pre_press: 4 s\n", "", "pre_press", "key.missing"),
    ],
)  # fmt: skip
def test_one_mistake_in_a_fabric_is_one_fault(
    tmp_path: Path, old: str, new: str, key: str, problem: str
) -> None:
    fault = only(faults_with(tmp_path, FABRICS, (old, new)))
    assert (fault.key, fault.problem.id) == (f"plain-cloth.{key}", f"catalog.{problem}")


def test_an_unreadable_band_does_not_hide_the_other_faults(tmp_path: Path) -> None:
    faults = faults_with(
        tmp_path,
        FABRICS,
        ("to: 266 F, at_most: 19 s", "to: 266 F, at_most: 19 F"),
        ("{from: 267 F, to: 284 F", "{from: 270 F, to: 284 F"),
    )
    assert ids(faults) == [
        "thin-cloth.dwell_max.1.at_most: amount.wrong_unit",
        "thin-cloth.dwell_max.2: bands.hole",
    ]


def test_zero_keeps_the_unit_it_is_written_in() -> None:
    assert own_catalog().fabrics["metric-cloth"].dwell_max[0].start.text == "0 C"


def test_each_press_is_read_in_its_own_unit() -> None:
    presses = own_catalog().presses
    assert (presses["front-press"].unit, presses["back-press"].unit) == (Degrees.F, Degrees.C)
    assert presses["front-press"].opens_itself
    assert not presses["back-press"].opens_itself
    assert isinstance(presses["back-press"].tolerance, TemperatureStep)
    assert float(presses["back-press"].platen_width.inches) == pytest.approx(420 / 25.4)


def test_policy_station_and_closing_time_are_optional(tmp_path: Path) -> None:
    text = (recipes_with(tmp_path, SHOP) / SHOP).read_text("utf-8")
    policy, station = (next(x for x in text.splitlines() if x.startswith(k)) for k in ("pol", "st"))
    folder = recipes_with(tmp_path, SHOP, (policy, ""), (station, ""), ("    closes_in: 3 s\n", ""))
    catalog, faults = read_catalog(folder)
    assert not faults
    assert catalog.policy == Policy(True, True, 2, True, False, True)
    assert catalog.station == StationSettings(10.1, "en", Degrees.F, False, False)
    assert catalog.presses["back-press"].closes_in.whole == 1


def test_policy_and_station_are_read(tmp_path: Path) -> None:
    folder = recipes_with(
        tmp_path,
        SHOP,
        ("keep_setting: yes", "keep_setting: no"),
        ("max_closings: 2", "max_closings: 3"),
        ("screen: 10.1 in, language: en, temperature: F, length: in, voice: no",
         "screen: 177.8 mm, language: es, temperature: C, length: mm, voice: true"),
    )  # fmt: skip
    catalog, faults = read_catalog(folder)
    assert not faults
    assert catalog.policy == Policy(keep_setting=False, max_closings=3)
    assert catalog.station == StationSettings(7.0, "es", Degrees.C, True, True)


@pytest.mark.parametrize(
    ("old", "new", "key", "problem"),
    [
        ("set_temperature: 296 F", "set_temperature: 296", "presses.front-press.set_temperature",
         "amount.no_unit"),
        ("set_temperature: 296 F", "set_temperature: 296 C",
         "presses.front-press.set_temperature", "amount.hotter"),
        ("set_temperature: 296 F", "set_temperature: 146 F",
         "presses.front-press.set_temperature", "amount.colder"),
        ("tolerance: 4 F", "tolerance: 5 s", "presses.front-press.tolerance", "amount.wrong_unit"),
        ("opens: itself", "opens: automatically", "presses.front-press.opens", "asked.choice"),
        ("loads: collar toward operator", "loads: sideways", "presses.front-press.loads",
         "asked.choice"),
        ("platen: 18 in x 22 in", "platen: 18 in", "presses.front-press.platen",
         "amount.no_rectangle"),
        ("    opens: itself\n", "", "presses.front-press.opens", "key.missing"),
        ("max_closings: 2", "max_closings: 0", "policy.max_closings", "asked.whole"),
        ("max_closings: 2", "max_closings: two", "policy.max_closings", "asked.whole"),
        ("max_closings: 2", "max_closings: 99999999999999999999", "policy.max_closings",
         "asked.whole"),
        ("staged_peel: yes", "staged_peal: yes", "policy.staged_peal", "key.unknown"),
        ("voice: no", "voice: quiet", "station.voice", "asked.flag"),
        ("language: en", "language: no", "station.language", "asked.choice"),
        ("temperature: F,", "temperature: K,", "station.temperature", "asked.choice"),
        ("screen: 10.1 in", "screen: 101 mm", "station.screen", "amount.range"),
        ("presses:\n", "machines: {}\npresses:\n", "machines", "key.unknown"),
    ],
)  # fmt: skip
def test_one_mistake_in_the_shop_file_is_one_fault(
    tmp_path: Path, old: str, new: str, key: str, problem: str
) -> None:
    fault = only(faults_with(tmp_path, SHOP, (old, new)))
    assert (fault.key, fault.problem.id) == (key, f"catalog.{problem}")


def test_a_faulty_press_does_not_affect_the_others(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, SHOP, ("opens: by hand", "opens: by foot"))
    assert set(read_catalog(folder)[0].presses) == {"front-press"}
