"""Faults in materials.yaml, each with its place and what is allowed there."""

from __future__ import annotations

from pathlib import Path

import pytest
from catalog_folders import TRIAL, faults_with, ids, only, own_catalog, recipes_with

from kiosk.catalog.model.sheets import Peel, SheetRule
from kiosk.catalog.model.source import ALL_GUESSED
from kiosk.catalog.read import read_catalog
from kiosk.catalog.sheets import holes
from kiosk.words import Words

FILE = "materials.yaml"
FIRST_DIGIT = "title: Digits in one piece"


def test_a_sheet_is_read_as_written() -> None:
    film = own_catalog().materials["stack-film"]
    assert film.temperature.low.text == "263 F"
    assert [(b.start.text, b.end.text, b.low.text) for b in film.dwell] == [
        ("263 F", "281 F", "14 s"),
        ("282 F", "309 F", "8 s"),
    ]
    assert film.peel[0].allowed == {Peel.HOT, Peel.WARM}
    assert film.tack is not None
    assert film.tack.peel == {Peel.HOT}
    assert film.sheet_carrier_off is SheetRule.REQUIRED
    assert film.goes_on == {"fabric", "smooth"}
    assert film.peel_wait[Peel.WARM].end.whole == 22


def test_optional_keys_have_defaults(tmp_path: Path) -> None:
    folder = recipes_with(
        tmp_path,
        FILE,
        (f"  {FIRST_DIGIT}\n", ""),
        ("  peel_wait: {warm: {from: 11 s, to: 27 s}, cold: {from: 70 s, to: 840 s}}\n", ""),
        ("  source: shop trial\n", ""),
    )
    catalog, faults = read_catalog(folder)
    assert not faults
    digit = catalog.materials["digits"]
    assert (digit.title, digit.source, digit.colour) == ("digits", ALL_GUESSED, None)
    assert digit.peel_wait == {}


@pytest.mark.parametrize(
    ("old", "new", "key", "problem"),
    [
        ("low: 277 F", "low: 277 s", "temperature.low", "amount.wrong_unit"),
        ("low: 277 F", "low: 277", "temperature.low", "amount.no_unit"),
        ("low: 277 F", "low: 277 C", "temperature.low", "amount.hotter"),
        ("low: 277 F", "low: 137 F", "temperature.low", "amount.colder"),
        ("{from: 277 F, to: 302 F, low", "{from: 277 C, to: 302 F, low", "dwell.1.from",
         "amount.hotter"),
        ("low: 277 F", "low: [277 F]", "temperature.low", "asked.value"),
        ("low: 277 F", "low: ~", "temperature.low", "asked.something"),
        ("normal: 277 F", "normal: 276 F", "temperature.low", "order"),
        ("normal: 277 F", "normal: 140 C, normal: 140 C", "temperature.normal", "key.doubled"),
        ("high: 302 F, normal", "hihg: 302 F, normal", "temperature.hihg", "key.unknown"),
        ("low: 16 s", "low: 21 s", "dwell.1.low", "order"),
        ("low: 16 s", "low: 0 s", "dwell.1.low", "amount.range"),
        ("to: 302 F, low", "to: 272 F, low", "dwell.1.from", "order"),
        ("to: 302 F, low", "to: 301 F, low", "dwell", "bands.hole"),
        ("from: 277 F, to: 302 F", "from: 278 F, to: 302 F", "dwell", "bands.hole"),
        ("to: 291 F", "to: 292 F", "peel.2.from", "bands.overlap"),
        ("allowed: [cold]", "allowed: [cool]", "peel.1.allowed.1", "asked.choice"),
        ("allowed: [cold]", "allowed: cold", "peel.1.allowed", "asked.list"),
        ("allowed: [cold]", "allowed: []", "peel.1.allowed", "asked.one"),
        ("high: firm", "high: light", "pressure.low", "order"),
        ("low: medium", "low: hard", "pressure.low", "asked.choice"),
        ("carrier_on: optional", "carrier_on: no_press", "cover_sheet.carrier_on", "asked.choice"),
        ("carrier: yes", "carrier: 'yes'", "carrier", "asked.flag"),
        ("carrier: yes", "carrier: 1", "carrier", "asked.flag"),
        ("tack: null", "tack: none", "tack", "asked.map"),
        ("tack: null", "tack: {low: 1 s, high: 3 s, normal: 2 s}", "tack.peel", "key.missing"),
        ("goes_on: [fabric]", "goes_on: [cloth]", "goes_on.1", "asked.choice"),
        ("total_heat: 47 s", "total_heat: 47 F", "total_heat", "amount.wrong_unit"),
        ("  blocks_dye: no\n", "", "blocks_dye", "key.missing"),
        ("warm: {from: 11 s, to: 27 s}", "wram: {from: 11 s, to: 27 s}", "peel_wait.wram",
         "key.unknown"),
        ("from: 11 s, to: 27 s", "from: 30 s, to: 27 s", "peel_wait.warm.from", "order"),
        ("{warm: {from: 11 s, to: 27 s}, cold: {from: 70 s, to: 840 s}}", "{}", "peel_wait",
         "asked.something"),
        ("source: shop trial", "source: rumour", "source", "asked.choice"),
        (FIRST_DIGIT, "title: yes", "title", "asked.quotes"),
        (FIRST_DIGIT, 'title: "ho\\ame"', "title", "word.characters"),
        (FIRST_DIGIT, f"title: {'x' * 200}", "title", "word.length"),
        (FIRST_DIGIT, "? [a, b]\n  : c", "", "key.no_word"),
    ],
)  # fmt: skip
def test_one_mistake_is_one_fault_with_its_key(
    tmp_path: Path, old: str, new: str, key: str, problem: str
) -> None:
    fault = only(faults_with(tmp_path, FILE, (old, new)))
    assert fault.key == f"digits.{key}".rstrip(".")
    assert fault.problem.id == f"catalog.{problem}"
    assert fault.file.endswith("materials.yaml")
    assert not fault.question


def test_a_fault_names_the_line_of_the_mistake(tmp_path: Path) -> None:
    fault = only(faults_with(tmp_path, FILE, ("low: 277 F", "low: 277 s")))
    lines = (tmp_path / "recipes" / FILE).read_text("utf-8").splitlines()
    assert "277 s" in lines[fault.line - 1]
    assert fault.found == "277 s"


def test_an_unknown_key_is_reported_with_the_nearest(tmp_path: Path) -> None:
    fault = only(faults_with(tmp_path, FILE, ("blocks_dye: no", "block_dye: no")))
    assert fault.nearest == "blocks_dye"
    assert "blocks_dye" in str(fault.allowed)


def test_all_faults_are_reported_at_once(tmp_path: Path) -> None:
    faults = faults_with(
        tmp_path,
        FILE,
        ("low: 277 F", "low: 277 s"),
        ("carrier: yes", "carrier: maybe"),
        ("to: 291 F", "to: 292 F"),
        ("high: firm", "high: frim"),
        ("title: Letters in one piece", "titel: Letters"),
    )
    assert ids(faults) == [
        "digits.temperature.low: amount.wrong_unit",
        "digits.pressure.high: asked.choice",
        "digits.peel.2.from: bands.overlap",
        "digits.carrier: asked.flag",
        "letters.titel: key.unknown",
    ]


@pytest.mark.parametrize(
    ("old", "new", "reported"),
    [
        ("to: 281 F", "to: 272 F", "stack-film.dwell: 273 F to 281 F is left out"),
        ("to: 291 F", "to: 284 F", "digits.peel: 285 F to 291 F is left out"),
    ],
    ids=["dwell", "peel"],
)
def test_gaps_in_a_sheets_window_are_reported_but_allowed(
    tmp_path: Path, old: str, new: str, reported: str
) -> None:
    """Only a fabric's bands must have no holes (design.md, section 4, rule 4)."""
    catalog, faults = read_catalog(recipes_with(tmp_path, FILE, (old, new)))
    assert faults == ()
    (line,) = holes(catalog.materials.values())
    assert Words().say(line).startswith(reported)


def test_a_sheet_without_gaps_reports_none() -> None:
    assert not list(holes(read_catalog(TRIAL)[0].materials.values()))


def test_a_faulty_sheet_does_not_affect_its_recipes(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, FILE, ("low: 277 F", "low: 277 s"))
    catalog, faults = read_catalog(folder)
    assert "digits" not in catalog.materials
    assert "one-piece" in catalog.recipes
    assert len(faults) == 1


def test_bands_a_whole_degree_apart_leave_no_gap(tmp_path: Path) -> None:
    celsius = (
        ("{from: 121 C, to: 131 C, low: 14 s", "{from: 121 C, to: 130.6 C, low: 14 s"),
        ("{from: 132 C, to: 143 C, low: 11 s", "{from: 131.5 C, to: 143 C, low: 11 s"),
    )
    assert not faults_with(tmp_path, FILE, *celsius)  # 131 and 132


def test_bands_and_window_may_use_different_units(tmp_path: Path) -> None:
    """136 °C to 150 °C: the whole degrees nearest to 277 °F and 302 °F."""
    assert not faults_with(
        tmp_path, FILE, ("{from: 277 F, to: 302 F, low", "{from: 136 C, to: 150 C, low")
    )


@pytest.mark.parametrize(
    ("old", "new", "key", "problem"),
    [
        ("tack: null\n  surface: textured", "tack: {low: 1 s, high: 3 s, normal: 2 s, peel: [hot]}"
         "\n  surface: textured", "tack", "material.bare_tack"),
        ("carrier_on: required, carrier_off: required", "carrier_on: required, carrier_off: "
         "no_press", "cover_sheet", "material.bare_no_press"),
        ("peel: []\n  cover_sheet: {carrier_on: required, carrier_off: required}\n  carrier: no",
         "peel: []\n  cover_sheet: {carrier_on: required, carrier_off: required}\n  carrier: yes",
         "peel", "material.no_peel"),
    ],
)  # fmt: skip
def test_a_material_without_a_carrier_is_checked_by_its_own_rules(
    tmp_path: Path, old: str, new: str, key: str, problem: str
) -> None:
    fault = only(faults_with(tmp_path, FILE, (old, new)))
    assert (fault.key, fault.problem.id) == (f"patch.{key}", f"catalog.{problem}")
