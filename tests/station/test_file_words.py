"""The shop's files in everyday words: no page shows a key of a file."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from kiosk.catalog.base import Fault, leaves, say
from kiosk.station.desk.shift.file_words import (
    TITLED,
    fault_line,
    file_name,
    first_values,
    key_name,
)
from kiosk.words import Words, value_in_words
from kiosk.words.places import KEYS

ROOT = Path(__file__).parents[2]
FOLDERS = (ROOT / "recipes", ROOT / "tests" / "catalog" / "trial-shop")
LANGUAGES = [Words("en"), Words("es")]
FOREIGN = {"yes", "no", "null", "required", "optional", "itself", "by hand", "firm", "warm"}
"""Words in the files that Spanish translates (except `no`)."""


def files() -> list[Path]:
    return [path for folder in FOLDERS for path in sorted(folder.glob("*.yaml"))]


@pytest.mark.parametrize("words", LANGUAGES, ids=lambda each: each.language)
@pytest.mark.parametrize("path", files(), ids=lambda path: f"{path.parent.name}-{path.name}")
def test_every_key_of_a_file_is_shown_in_words(path: Path, words: Words) -> None:
    held = leaves(path.read_text("utf-8"))
    assert held
    for place in held:
        for depth in range(1, len(place) + 1):
            shown = key_name(words, path.name, place[:depth], held)
            assert "_" not in shown, place
            assert shown
    if words.language == "es":
        said = {value_in_words(words, place, leaf.value) for place, leaf in held.items()}
        assert not said & (FOREIGN - {"no"})


@pytest.mark.parametrize("words", LANGUAGES, ids=lambda each: each.language)
def test_every_file_of_a_shop_has_a_title(words: Words) -> None:
    titles = [file_name(words, name, "") for name in TITLED]
    assert len(set(titles)) == len(TITLED)
    assert not {name.removesuffix(".yaml") for name in TITLED} & set(titles)
    assert file_name(words, "cool-pair.yaml", "Cool name and number") == "Cool name and number"
    assert file_name(words, "cool-pair.yaml", "") == "cool pair"


def read_keys() -> set[str]:
    """Return every key that a reader of files asks for: the first argument of each `Field`."""
    calls = (
        node
        for path in (ROOT / "kiosk" / "catalog").rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Field"
    )
    first = (call.args[0] for call in calls if call.args)
    return {str(word.value) for word in first if isinstance(word, ast.Constant)}


@pytest.mark.parametrize("words", LANGUAGES, ids=lambda each: each.language)
def test_every_key_a_file_may_use_has_a_word(words: Words) -> None:
    """Also keys that no shipped file has: a job's own, a shared carrier."""
    keys = read_keys()
    assert len(keys) > 100
    bare = {key for key in keys if not any(words.knows(f"{of}.{key}") for of in KEYS)}
    assert not bare


@pytest.mark.parametrize("words", LANGUAGES, ids=lambda each: each.language)
def test_a_fault_names_its_keys_in_words(words: Words) -> None:
    order = say("catalog.order", first="at_most", second="pre_press")
    fault = Fault("recipes/fabrics.yaml", 3, "knit.dwell_max.1.at_most", order)
    assert "_" not in fault_line(words, fault, {})


def test_a_name_chosen_by_the_shop_is_never_taken_for_a_key() -> None:
    """A press may be called film, a material letters: words that are keys elsewhere."""
    words = LANGUAGES[1]
    shop = leaves("presses: {film: {tolerance: 5 F}, pad: {tolerance: 5 F}}")
    assert key_name(words, "shop.yaml", ("presses", "film"), shop) == "film"
    assert key_name(words, "shop.yaml", ("presses", "film", "tolerance"), shop) == "tolerancia"
    named = leaves("letters: {title: Letters in one piece, source: {title: Sheet 7}}\nname: {a: 1}")
    assert key_name(words, "materials.yaml", ("letters",), named) == "Letters in one piece"
    assert key_name(words, "materials.yaml", ("letters", "source"), named) == "fuente"
    assert key_name(words, "materials.yaml", ("name",), named) == "name"


def test_a_value_is_worded_for_its_key() -> None:
    words = LANGUAGES[0]
    for place, value, said in (
        ("policy.verify.demand", "required", "required"),
        ("film.cover_sheet.carrier_off", "required", "with cover sheet"),
        ("film.pressure.low", "medium", "medium"),
        ("film.temperature.low", "270 F", "270 F"),
        ("knit.dye_risk", "high", "readily"),
        ("policy.scrap_limit", "null", "none"),
        ("press.loads", "collar toward operator", "collar toward you"),
        ("sizes.1.border", "left out", "the top layer alone"),
    ):
        assert value_in_words(words, tuple(place.split(".")), value) == said


def test_a_list_item_is_named_by_its_first_values() -> None:
    held = leaves("dwell: [{from: 270 F, to: 290 F, low: 12 s, high: 14 s}]\ntack: null")
    assert first_values(LANGUAGES[0], ("dwell", "1"), held) == "270 F, 290 F, 12 s"
    assert first_values(LANGUAGES[0], ("tack",), held) == ""
