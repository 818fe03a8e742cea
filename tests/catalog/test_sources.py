"""Sources of numbers in files: plain words, details, other sources by key."""

from __future__ import annotations

from pathlib import Path

import pytest
from catalog_folders import faults_with, ids, recipes_with

from kiosk.catalog.model.source import (
    ALL_GUESSED,
    GUESS,
    Source,
    SourceKind,
    Sources,
    source_in_words,
)
from kiosk.catalog.read import read_catalog
from kiosk.words.speak import Words

KNIT = ("  title: Plain cloth\n", "  title: Plain cloth\n  source: ")
SHEET = "{kind: supplier sheet, title: Film sheet 4, date: 2026-03-01, keys: {dwell_max: guess}}"


def knit_with(tmp_path: Path, source: str) -> Sources:
    """Return the sources of the knit with `source` written under it."""
    old, new = KNIT
    catalog, faults = read_catalog(
        recipes_with(tmp_path, "fabrics.yaml", (old, f"{new}{source}\n"))
    )
    assert not faults
    return catalog.fabrics["plain-cloth"].source


@pytest.mark.parametrize("kind", list(SourceKind))
def test_a_single_word_is_the_source_of_every_value(kind: SourceKind, tmp_path: Path) -> None:
    assert knit_with(tmp_path, kind.value) == Sources(Source(kind))


def test_an_entry_without_a_source_is_a_guess(tmp_path: Path) -> None:
    catalog, _ = read_catalog(recipes_with(tmp_path, "fabrics.yaml"))
    assert catalog.fabrics["plain-cloth"].source == ALL_GUESSED
    assert catalog.presses["front-press"].source == ALL_GUESSED
    assert ALL_GUESSED.of("temperature_max") == GUESS


def test_a_sheet_has_title_and_date_and_a_key_can_have_its_own_source(tmp_path: Path) -> None:
    found = knit_with(tmp_path, SHEET)
    sheet = Source(SourceKind.SUPPLIER_SHEET, title="Film sheet 4", date="2026-03-01")
    assert (found.of("temperature_max"), found.of("dwell_max")) == (sheet, GUESS)
    assert found.of("dwell_max").is_guess


def test_a_trial_keeps_everything_that_was_checked(tmp_path: Path) -> None:
    found = knit_with(
        tmp_path,
        "{kind: shop trial, date: 2026-04-02, initials: MV, garments: 3,"
        " looked_at: edges and shine, wash: five at 40 C, stretch: no cracks}",
    )
    assert found == Sources(
        Source(
            SourceKind.SHOP_TRIAL,
            date="2026-04-02",
            initials="MV",
            garments=3,
            looked_at="edges and shine",
            wash="five at 40 C",
            stretch="no cracks",
        )
    )
    assert not any(each.is_guess for each in (found.owner, *found.keys.values()))


def test_a_source_may_be_written_over_several_lines(tmp_path: Path) -> None:
    found = knit_with(
        tmp_path,
        "\n    kind: published\n    work: Handbook of knits\n    edition: 2nd\n"
        "    keys:\n      dye_cap: {kind: shop trial, date: 2026-04-02}",
    )
    assert found.owner == Source(SourceKind.PUBLISHED, work="Handbook of knits", edition="2nd")
    assert found.of("dye_cap") == Source(SourceKind.SHOP_TRIAL, date="2026-04-02")


def test_a_press_has_sources_too(tmp_path: Path) -> None:
    trial = "{kind: guess, keys: {tolerance: {kind: shop trial, date: 2026-04-02}}}"
    change = ("    tolerance: 4 F\n", f"    tolerance: 4 F\n    source: {trial}\n")
    catalog, faults = read_catalog(recipes_with(tmp_path, "shop.yaml", change))
    assert not faults
    bench = catalog.presses["front-press"].source
    assert bench.of("tolerance").kind is SourceKind.SHOP_TRIAL
    assert bench.of("platen").is_guess


@pytest.mark.parametrize(
    ("source", "fault"),
    [
        ("gues", "source: asked.choice"),
        ("{kind: sheet}", "source.kind: asked.choice"),
        ("{title: Film sheet 4}", "source.kind: key.missing"),
        ("{kind: supplier sheet, tilte: Film sheet 4}", "source.tilte: key.unknown"),
        ("{kind: guess, title: Film sheet 4}", "source.title: key.unknown"),
        ("{kind: supplier sheet, date: 2026-02-30}", "source.date: asked.date"),
        ("{kind: shop trial, date: last week}", "source.date: asked.date"),
        ("{kind: shop trial, garments: 0}", "source.garments: asked.whole"),
        ("{kind: guess, keys: {dwel_max: guess}}", "source.keys.dwel_max: key.unknown"),
        ("{kind: guess, keys: {dye_cap: {kind: gues}}}", "source.keys.dye_cap.kind: asked.choice"),
        ("{kind: guess, keys: [dwell_max]}", "source.keys: asked.map"),
        ("[guess]", "source: asked.map"),
    ],
)  # fmt: skip
def test_a_mistake_in_a_source_is_reported_at_its_key(
    source: str, fault: str, tmp_path: Path
) -> None:
    old, new = KNIT
    found = faults_with(tmp_path, "fabrics.yaml", (old, f"{new}{source}\n"))
    assert f"plain-cloth.{fault}" in ids(found)


def test_an_unknown_key_is_reported_with_the_nearest(tmp_path: Path) -> None:
    old, new = KNIT
    source = "{kind: guess, keys: {dwel_max: guess}}"
    (fault,) = faults_with(tmp_path, "fabrics.yaml", (old, f"{new}{source}\n"))
    assert fault.nearest == "dwell_max"


@pytest.mark.parametrize("language", ["en", "es"])
def test_only_a_suppliers_sheet_is_called_a_sheet(language: str) -> None:
    word = {"en": "sheet", "es": "ficha"}[language]
    detailed = {"title": "T", "date": "2026-03-01", "initials": "MV", "work": "W", "edition": "2"}
    for kind in SourceKind:
        for source in (Source(kind), Source(kind, **detailed)):  # type: ignore[arg-type]
            text = Words(language).say(source_in_words(source))
            assert (word in text) == (kind is SourceKind.SUPPLIER_SHEET), text


@pytest.mark.parametrize(
    ("source", "text"),
    [
        (GUESS, "guess"),
        (
            Source(SourceKind.SUPPLIER_SHEET, title="Film sheet 4", date="2026-03-01"),
            "supplier's sheet “Film sheet 4” of 2026-03-01",
        ),
        (
            Source(SourceKind.SHOP_TRIAL, date="2026-04-02", initials="MV", garments=3),
            "shop trial of 2026-04-02 by MV",
        ),
        (Source(SourceKind.PUBLISHED, work="Knits", edition="2nd"), "published in “Knits”, 2nd"),
    ],
)
def test_a_source_is_shown_with_its_main_details(source: Source, text: str) -> None:
    assert Words().say(source_in_words(source)) == text
