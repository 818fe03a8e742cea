"""A source written into a file on one line: read back unchanged, the rest of the file untouched."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from kiosk.catalog.base.tree import with_entry
from kiosk.catalog.model.source import Source, SourceKind, Sources, yaml_text

TRIAL = Source(
    SourceKind.SHOP_TRIAL,
    date="2026-05-04",
    initials="MK",
    garments=1,
    looked_at='peel, "edges"',
    at="284 F, 13 s, knit",
)
BLOCK = """# ours
film:   # the first
  title: Film
  peel: [{from: 1 F}]  # hot

  # between
other:
  title: Other
  source: guess  # nobody knows
"""
text = st.text(st.characters(exclude_categories=["C", "Z"]), min_size=1, max_size=9)


def test_a_missing_source_is_added_after_the_last_value_of_its_entry() -> None:
    after = with_entry(BLOCK, ("film",), "source", "guess")
    assert after == BLOCK.replace("# hot\n", "# hot\n  source: guess\n")


def test_an_existing_source_is_replaced_and_comments_stay() -> None:
    after = with_entry(BLOCK, ("other",), "source", yaml_text(Sources(TRIAL)))
    assert after.startswith(BLOCK[: BLOCK.index("source: guess")])
    assert after.endswith("  # nobody knows\n")
    assert yaml.safe_load(after)["other"]["source"]["looked_at"] == 'peel, "edges"'


def test_a_map_in_braces_gets_the_source_inside_them() -> None:
    line = "film: {title: Film, peel: []}  # short\n"
    after = with_entry(line, ("film",), "source", "guess")
    assert after == "film: {title: Film, peel: [], source: guess}  # short\n"


def test_a_multi_line_source_is_replaced_whole() -> None:
    before = "film:\n  source:\n    kind: guess\n    keys:\n      tack: guess\n  title: Film\n"
    after = with_entry(before, ("film",), "source", "guess")
    assert after == "film:\n  source: guess\n  title: Film\n"


def test_a_line_is_added_to_a_file_without_a_final_newline() -> None:
    assert with_entry("film:\n  a: 1", ("film",), "b", "2") == "film:\n  a: 1\n  b: 2"


@pytest.mark.parametrize("path", [("gone",), ("film", "title"), ("film", "peel")])
def test_without_a_map_at_the_path_nothing_is_written(path: tuple[str, ...]) -> None:
    with pytest.raises(KeyError):
        with_entry(BLOCK, path, "source", "guess")


@given(text, text, st.sampled_from(["peel_wait", "tack"]))
def test_a_written_source_is_read_back_unchanged(looked: str, at: str, key: str) -> None:
    """Checked against PyYAML's own reader."""
    source = Source(SourceKind.SHOP_TRIAL, "", "2026-01-02", "IK", 2, looked, at=at)
    line = yaml_text(Sources(source, {key: Source(), "dwell": TRIAL}))
    read = yaml.safe_load(line)
    assert (read["kind"], read["looked_at"], read["at"]) == ("shop trial", looked, at)
    assert read["keys"][key] == "guess"
    assert read["keys"]["dwell"]["initials"] == "MK"


def test_a_source_without_details_is_written_as_one_word() -> None:
    assert yaml_text(Sources()) == "guess"
