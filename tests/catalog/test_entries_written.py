"""A new material, fabric or press: kept while unfinished, then written into its file."""

from __future__ import annotations

from pathlib import Path

import pytest
from catalog_folders import recipes_with
from new_sheets import FILM, SAY, clean, filled, written

from kiosk.catalog.base.quantities import Degrees
from kiosk.catalog.base.tree import with_entry, with_value
from kiosk.catalog.entries import add, begin, key_of, save, saved_drafts
from kiosk.catalog.model.source import SourceKind
from kiosk.catalog.read import read_catalog


def test_an_unfinished_entry_is_kept_and_continued(tmp_path: Path) -> None:
    recipes = recipes_with(tmp_path, "shop.yaml")
    draft = begin("material", "Film 7", Degrees.C)
    for path in list(FILM)[:7]:
        draft, _ = draft.with_answer(path, FILM[path])
        save(recipes, draft)
    catalog = clean(recipes)  # a draft is not one of the shop's files
    (found,) = saved_drafts(recipes, catalog)
    assert found == draft
    assert found.question is not None
    assert found.question.path == "dwell.1.low"
    assert found.back().question == draft.back().question
    assert found.progress[0] == 7


def test_a_draft_left_behind_after_its_entry_was_added_is_dropped(tmp_path: Path) -> None:
    recipes = recipes_with(tmp_path, "shop.yaml")
    draft = filled("press", "Dipper", {}, Degrees.F)
    assert add(recipes, draft, SAY) == ()
    save(recipes, draft)  # killed before the draft was deleted
    assert saved_drafts(recipes, clean(recipes)) == ()
    assert list(recipes.glob(".new*")) == []


@pytest.mark.parametrize("content", [b"", b"[]", b'{"kind": "press"}', b"\x00\xff", b'{"kind": 1}'])
def test_a_damaged_draft_is_ignored(content: bytes, tmp_path: Path) -> None:
    recipes = recipes_with(tmp_path, "shop.yaml")
    (recipes / ".new-press-dipper.json").write_bytes(content)
    assert saved_drafts(recipes, clean(recipes)) == ()


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (None, "presses:\n  dipper:\n"),
        ("# nothing yet\n", "# nothing yet\n\npresses:\n  dipper:\n"),
        ("policy: {trial: asked}\n", "policy: {trial: asked}\n\npresses:\n  dipper:\n"),
    ],
)
def test_the_first_press_is_added_to_a_shop_file(
    before: str | None, after: str, tmp_path: Path
) -> None:
    if before is not None:
        (tmp_path / "shop.yaml").write_text(before, "utf-8")
    assert add(tmp_path, filled("press", "Dipper", {}, Degrees.F), SAY) == ()
    assert (tmp_path / "shop.yaml").read_text("utf-8").startswith(after)
    assert read_catalog(tmp_path)[0].presses.keys() == {"dipper"}


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("presses: {a: {}}\n", "entry.no_place"),
        ("presses: [\n", "catalog.yaml.broken"),
        ("presses: \xff", "catalog.file.not_utf8"),
        ("[" * 600 + "]" * 600, "catalog.yaml.deep"),
    ],
)
def test_a_file_that_cannot_take_an_entry_is_unchanged(text: str, why: str, tmp_path: Path) -> None:
    path = tmp_path / "shop.yaml"
    path.write_bytes(text.encode("latin-1"))
    (fault,) = add(tmp_path, filled("press", "Dipper", {}, Degrees.F), SAY)
    assert fault.problem.id == why
    assert path.read_bytes() == text.encode("latin-1")


def test_a_new_entry_accepts_a_trial_source_and_an_edited_value(tmp_path: Path) -> None:
    text = written(tmp_path, "material")
    path = tmp_path / "recipes" / "materials.yaml"
    whole = with_entry(path.read_text("utf-8"), ("film-7",), "source", "shop trial")
    whole = with_value(whole, ("film-7", "total_heat"), "45 s")
    path.write_text(whole, "utf-8")
    film = clean(tmp_path / "recipes").materials["film-7"]
    assert film.source.owner.kind is SourceKind.SHOP_TRIAL
    assert film.total_heat.text == "45 s"
    kept_lines = [line.partition("#")[2] for line in text.splitlines() if "#" in line]
    assert all(f"#{comment}" in whole for comment in kept_lines)


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
@pytest.mark.parametrize("last", ["policy: {trial: asked}", "# the end", ""])
def test_line_ends_and_the_text_below_are_kept(ends: str, last: str, tmp_path: Path) -> None:
    first = filled("press", "Grebe", {}, Degrees.F)
    add(tmp_path, first, SAY)
    path = tmp_path / "shop.yaml"
    before = (path.read_text("utf-8") + last).replace("\n", ends)
    path.write_bytes(before.encode())
    assert add(tmp_path, filled("press", "Dipper", {}, Degrees.F), SAY) == ()
    after = path.read_bytes().decode()
    assert after.replace(ends, "").count("\n") == after.replace(ends, "").count("\r") == 0
    assert after.rstrip().endswith(last)
    assert read_catalog(tmp_path)[0].presses.keys() == {"grebe", "dipper"}


@pytest.mark.parametrize(
    ("name", "key"),
    [("Cut film, matt", "cut-film-matt"), ("  Película Ñ 3 ", "película-ñ-3"), ("../x/..", "x")],
)
def test_a_name_becomes_a_key(name: str, key: str) -> None:
    assert key_of(name) == key


@pytest.mark.parametrize("kind", ["material", "press"])
def test_each_entry_keeps_its_own_comments(kind: str, tmp_path: Path) -> None:
    recipes = recipes_with(tmp_path, "shop.yaml")
    file = recipes / ("materials.yaml" if kind == "material" else "shop.yaml")
    for name in ("Wren", "Plover"):
        answers = FILM if kind == "material" and name == "Wren" else {}
        assert add(recipes, filled(kind, name, answers, Degrees.C), SAY) == ()
        whole = file.read_text("utf-8")
        own = whole[whole.index(f"{name.lower()}:") :].partition("policy:")[0]
        assert own.count("# may be added:") == 1
        assert "wren:" in whole
    first = whole[whole.index("wren:") : whole.index("plover:")]
    assert first.count("# may be added:") == 1
