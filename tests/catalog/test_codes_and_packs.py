"""codes.yaml, packs.yaml and stock.yaml: their content, and every way to get it wrong."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from catalog_folders import RECIPES, faults_with, ids, only, own_catalog, recipes_with

from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.model.rules import Code, CodeRule, SpareRule, Stock
from kiosk.catalog.read import read_catalog

STOCK = """\
drawers:
  - {material: stack-film, colour: black, height: 10 in, layer: 1 of 2, pieces: {0: 12, 7: 0}}
  - {material: stack-film, colour: white, height: 63 mm, pieces: {A: 3, Ñ: 1}}
"""


def with_stock(tmp_path: Path, text: str) -> tuple[Catalog, list[str]]:
    folder = recipes_with(tmp_path, "packs.yaml")
    (folder / "stock.yaml").write_text(text, "utf-8")
    catalog, faults = read_catalog(folder)
    return catalog, ids(faults)


def test_codes_packs_and_stock_are_optional(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, "packs.yaml")
    (folder / "packs.yaml").unlink()
    (folder / "codes.yaml").unlink()
    catalog, faults = read_catalog(folder)
    assert faults == ()
    assert (catalog.codes, catalog.packs.packs, catalog.stock) == ({}, (), None)
    assert len(catalog.recipes) == len(own_catalog().recipes)


def test_every_rule_of_the_shipped_codes_names_its_source() -> None:
    rules = [rule for code in own_catalog().codes.values() for rule in code.rules]
    assert len(rules) == 6
    works = (
        "US school football rules",
        "US college basketball rules",
        "UEFA Equipment Regulations",
    )
    assert all(rule.source.startswith((*works, "from memory: check")) for rule in rules)


def test_every_shipped_source_means_something_outside_this_project() -> None:
    """The word "seen" would not say where to look."""
    catalog = own_catalog()
    sources = [rule.source for code in catalog.codes.values() for rule in code.rules]
    sources += [each.source for rule in catalog.size_rules.values() for each in rule.limits]
    sources += [sport.source for sport in catalog.sports.values()]
    assert len(sources) > 20
    named = ("rules", "Regulations", "common practice, no source", "from memory: check")
    assert all(any(name in source for name in named) for source in sources)
    assert not any("seen" in source for source in sources)


def test_a_shipped_kit_contains_what_its_title_says() -> None:
    catalog, _ = read_catalog(RECIPES)
    kits = [pack for pack in catalog.packs.packs if pack.mix]
    assert kits
    for kit in kits:
        assert str(sum(kit.mix.values())) in kit.title
        assert set(kit.mix) == set("0123456789")


@pytest.mark.parametrize(
    ("year", "place"), [(2019, 0), (2020, 0), (2021, None), (2022, 1), (2030, 1)]
)
def test_a_season_has_at_most_one_rule(year: int, place: int | None) -> None:
    rules = (CodeRule(frozenset("1"), "a", last=2020), CodeRule(frozenset("2"), "b", first=2022))
    found = Code("x", "X", rules).rule(year)
    assert found == (None if place is None else rules[place])


SCHOOL_FOOTBALL = "US school football rules; rule number and edition not noted"


@pytest.mark.parametrize(
    ("old", "new", "found"),
    [
        ("[1-99]", "[9-1]", "football-school.seasons.1.numbers.1: asked.numbers"),
        ("[1-99]", "[01-09]", "football-school.seasons.1.numbers.1: asked.numbers"),
        ("[1-99]", "[seven]", "football-school.seasons.1.numbers.1: asked.numbers"),
        ("[1-99]", "[]", "football-school.seasons.1.numbers: asked.one"),
        (f"source: {SCHOOL_FOOTBALL}\n", "", "football-school.seasons.1.source: key.missing"),
        ("from: 2023-24", "from: 2021-22", "basketball-college.seasons: code.seasons"),
        ("from: 2023-24", "from: 2023-25", "basketball-college.seasons.2.from: asked.season"),
        ("from: 2023-24\n      ", "", "basketball-college.seasons: code.seasons"),
        ("[0, 00]", "[0, OO]", "basketball-school.seasons.1.not_together.2: asked.numbers"),
    ],
)
def test_an_error_in_a_code_is_reported_with_its_key(
    tmp_path: Path, old: str, new: str, found: str
) -> None:
    assert found in ids(faults_with(tmp_path, "codes.yaml", (old, new)))


@pytest.mark.parametrize(
    ("old", "new", "found"),
    [
        ("price: 2.90", "price: 0", "packs.three-of-one.price: asked.price"),
        ("price: 2.90", "price: 2.905", "packs.three-of-one.price: asked.price"),
        ("of_one: 3\n", "of_one: 0\n", "packs.three-of-one.of_one: asked.whole"),
        ("    of_one: 3\n", "", "packs.three-of-one: packs.kind"),
        ("of_one: 3\n", "of_one: 3\n    mix: {7: 1}\n", "packs.three-of-one: packs.kind"),
        ("0123456789", "01233", "packs.three-of-one.characters: letters.twice"),
        ("{0: 3,", "{00: 3,", "packs.kit-of-30.mix.00: letters.one"),
        (
            "material: stack-film",
            "material: stack-flim",
            "packs.three-of-one.material: asked.known",
        ),
        ("share: 6 %", "share: 6", "spares.digits.share: asked.percent"),
        ("share: 6 %", "share: 101 %", "spares.digits.share: asked.percent"),
        ("  digits:", "  digit:", "spares.digit: key.unknown"),
    ],
)
def test_an_error_in_a_pack_is_reported_with_its_key(
    tmp_path: Path, old: str, new: str, found: str
) -> None:
    assert ids(faults_with(tmp_path, "packs.yaml", (old, new))) == [found]


def test_too_many_kits_to_search_are_refused(tmp_path: Path) -> None:
    kits = "".join(f"  kit-{n}: {{mix: {{7: 1}}, price: 1}}\n" for n in range(6))
    fault = only(faults_with(tmp_path, "packs.yaml", ("packs:\n", "packs:\n" + kits)))
    assert fault.problem.id == "catalog.packs.kits"


def test_stock_is_read_drawer_by_drawer(tmp_path: Path) -> None:
    catalog, faults = with_stock(tmp_path, STOCK)
    assert faults == []
    assert catalog.stock is not None
    first, second = catalog.stock
    assert first == Stock("stack-film", "black", first.height, {"0": 12, "7": 0}, 1, 2)
    assert (second.layer, second.layers, second.pieces) == (1, 1, {"A": 3, "Ñ": 1})


@pytest.mark.parametrize(
    ("old", "new", "found"),
    [
        ("1 of 2", "2 of 1", "drawers.1.layer: asked.layer"),
        ("1 of 2", "under", "drawers.1.layer: asked.layer"),
        ("0: 12", "0: -1", "drawers.1.pieces.0: asked.whole"),
        ("0: 12", "10: 12", "drawers.1.pieces.10: letters.one"),
        ("10 in", "10", "drawers.1.height: amount.no_unit"),
    ],
)
def test_a_faulty_drawer_is_reported_and_no_stock_is_counted(
    tmp_path: Path, old: str, new: str, found: str
) -> None:
    catalog, faults = with_stock(tmp_path, STOCK.replace(old, new))
    assert faults == [found]
    assert catalog.stock is None


@pytest.mark.parametrize(("need", "spares"), [(0, 0), (1, 2), (40, 2), (41, 3), (60, 3), (61, 4)])
def test_spares_are_a_share_rounded_up_and_at_least_the_minimum(need: int, spares: int) -> None:
    assert SpareRule(Fraction(5, 100), 2).spares(need) == spares
