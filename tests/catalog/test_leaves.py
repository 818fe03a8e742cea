"""Single values of a YAML text: found by path, changed without touching anything else."""

from __future__ import annotations

import pytest
from catalog_folders import RECIPES
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.catalog.base.tree import leaves, values_by_path, with_value

TEXTS = {path.name: path.read_bytes().decode("utf-8") for path in sorted(RECIPES.glob("*.yaml"))}
ODD = (
    "# ñ – ä before it\r\n'a b': \"x\"   # why\r\nlist: [one, {deep: 2 s}]\r\n"
    "last: none of this\r\n"
)


@pytest.mark.parametrize("name", TEXTS)
def test_the_fast_reader_finds_the_same_values_as_the_full_one(name: str) -> None:
    text = TEXTS[name]
    assert values_by_path(text) == {path: leaf.value for path, leaf in leaves(text).items()}
    assert values_by_path(text)


@settings(max_examples=60, derandomize=True)
@given(st.data())
def test_changing_one_value_leaves_all_others_unchanged(data: st.DataObject) -> None:
    text = data.draw(st.sampled_from([*TEXTS.values(), ODD]))
    found = leaves(text)
    path = data.draw(st.sampled_from(sorted(found)))
    changed = with_value(text, path, "12 F")
    assert {**values_by_path(text), path: "12 F"} == values_by_path(changed)
    leaf = found[path]
    assert changed.startswith(text[: leaf.start])
    assert changed.endswith(text[leaf.end :])
    assert len(changed) == len(text) - (leaf.end - leaf.start) + 4


def test_a_value_after_a_non_ascii_comment_is_changed_in_the_right_place() -> None:
    assert with_value(ODD, ("list", "2", "deep"), "3 s") == ODD.replace("2 s", "3 s")


@pytest.mark.parametrize("text", ["", "a: [", "a: b: c"])
def test_invalid_yaml_has_no_values(text: str) -> None:
    assert leaves(text) == {}
    assert values_by_path(text) == {}


def test_a_missing_place_raises() -> None:
    with pytest.raises(KeyError):
        with_value("a: 1", ("b",), "2")
