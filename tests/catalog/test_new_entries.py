"""A new material, fabric or press by its sheet: asked, refused, kept, written."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from catalog_folders import recipes_with

from kiosk.catalog.base.quantities import Degrees
from kiosk.catalog.base.tree import with_entry, with_value
from kiosk.catalog.entries import Draft, add, as_title, begin, is_known, keep, kept, key_of
from kiosk.catalog.model.sheets import Catalog, Peel
from kiosk.catalog.model.source import SourceKind
from kiosk.catalog.read import read_catalog
from kiosk.catalog.sheets.asking import MOST_BANDS, TABLES, Form
from kiosk.words import Words

SAY = Words("en").say
# A sheet that is made up for this test, in the words of the answers; None: it does not say.
FILM: dict[str, str | None] = {
    "source": "supplier sheet",
    "source.title": "Film 7, application",
    "source.date": "2026-03-01",
    "title": "Film 7: matt, no gloss",
    "temperature.low": "150 C",
    "temperature.high": "165 C",
    "temperature.normal": "155 C",
    "dwell.1.low": "12 s",
    "dwell.1.high": "16 s",
    "dwell.2.more": "yes",
    "dwell.2.from": "158 C",
    "dwell.2.low": "9 s",
    "dwell.2.high": "12 s",
    "dwell.2.normal": "10 s",
    "pressure.low": "medium",
    "pressure.high": "firm",
    "carrier": "yes",
    "peel.1.allowed": "hot, warm",
    "peel_wait.warm.from": "8 s",
    "peel_wait.warm.to": "20 s",
    "cover_sheet.carrier_off": "required",
    "tack": "yes",
    "tack.normal": "3 s",
    "tack.peel": "hot",
    "goes_on": "fabric, smooth",
    "accepts_on_top": "yes",
}
SAID: dict[str, tuple[str, dict[str, str | None]]] = {
    "material": ("film-7", FILM),
    "fabric": (
        "Net knit",
        {
            "source": "published",
            "source.work": "A made-up handbook",
            "title": None,
            "temperature_max": "160 C",
            "dwell_max.1.at_most": "20 s",
            "dwell_max.2.more": "yes",
            "dwell_max.2.from": "141 C",
            "dwell_max.2.at_most": "12 s",
            "dye_risk": "none",
            "heat.cloth": "light",
        },
    ),
    "press": (
        "Dipper",
        {"source": "supplier sheet", "platen": "400 mm x 500 mm", "set_temperature": "150 C"},
    ),
}


def filled(kind: str, name: str, said: dict[str, str | None], scale: Degrees) -> Draft:
    """Answer every question, each accepted; what `said` leaves out the sheet does not say."""
    draft = begin(kind, name, scale)
    while (question := draft.question) is not None:
        draft, faults = draft.with_answer(question.path, said.get(question.path))
        assert faults == (), question
    return draft


def clean(recipes: Path) -> Catalog:
    catalog, faults = read_catalog(recipes)
    assert faults == ()
    return catalog


def written(folder: Path, kind: str, scale: Degrees = Degrees.C) -> str:
    """Write a kind's sheet into the trial shop; return what came to its file, and to no other."""
    recipes = recipes_with(folder, "shop.yaml")
    before = {path: path.read_text("utf-8") for path in recipes.iterdir()}
    assert add(recipes, filled(kind, *SAID[kind], scale), SAY) == ()
    (changed,) = [p for p in recipes.iterdir() if p.read_text("utf-8") != before.get(p)]
    after = changed.read_text("utf-8")
    same = (a == b for a, b in zip(before[changed], after, strict=False))
    start = next((at for at, each in enumerate(same) if not each), len(before[changed]))
    rest = before[changed][start:]
    assert after.endswith(rest)
    return after[start : len(after) - len(rest)]


@pytest.mark.parametrize("kind", TABLES)
def test_a_field_of_the_table_that_is_asked_is_asked_once_and_in_its_order(kind: str) -> None:
    draft = filled(kind, *SAID[kind], Degrees.C)
    paths = [question.path for question in draft.entry.questions]
    assert len(set(paths)) == len(paths)
    keys = [f.key for f in TABLES[kind].fields if f.asked is not None]
    asked = list(dict.fromkeys(path.split(".")[0] for path in paths))
    assert asked == ["source", *(key for key in keys if key in asked)]
    assert {f.key for f in TABLES[kind].fields if f.default is not f.asked and not f.asked} <= {
        "source", "colour", "letters", "peel_at", "heat", "upkeep",
    }  # fmt: skip


@pytest.mark.parametrize("scale", Degrees)
@pytest.mark.parametrize("kind", TABLES)
def test_a_sheet_that_says_nothing_makes_an_entry_of_guesses(
    kind: str, scale: Degrees, tmp_path: Path
) -> None:
    recipes = recipes_with(tmp_path, "shop.yaml")
    assert add(recipes, filled(kind, "Old one", {}, scale), SAY) == ()
    catalog = clean(recipes)
    assert is_known(kind, "old-one", catalog)
    (found,) = [
        each.source
        for all_ in (catalog.materials, catalog.fabrics, catalog.presses)
        for key, each in all_.items()
        if key == "old-one"
    ]
    assert found.owner.is_guess
    assert not found.keys


def test_a_film_is_read_as_its_sheet_says_it(tmp_path: Path) -> None:
    text = written(tmp_path, "material")
    film = clean(tmp_path / "recipes").materials["film-7"]
    assert film.title == "Film 7: matt, no gloss"
    assert [(b.start.text, b.end.text, b.low.text, b.normal.text) for b in film.dwell] == [
        ("150 C", "157 C", "12 s", "14 s"),
        ("158 C", "165 C", "9 s", "10 s"),
    ]
    assert film.peel[0].allowed == {Peel.HOT, Peel.WARM}
    assert film.peel_wait[Peel.WARM].end.text == "20 s"
    assert film.tack is not None
    assert (film.tack.low.text, film.tack.high.text) == ("3 s", "3 s")  # its one number
    assert film.goes_on == {"fabric", "smooth"}
    assert "  surface: smooth  # the sheet does not say\n" in text
    assert "  dwell:  # middle of the sheet's range: normal\n" in text
    assert "  # may be added: colour, letters, peel_at, heat\n" in text
    assert yaml.safe_load(text)["film-7"]["pressure"] == {"low": "medium", "high": "firm"}


def test_only_what_the_sheet_said_has_the_sheet_as_its_source(tmp_path: Path) -> None:
    written(tmp_path, "material")
    sources = clean(tmp_path / "recipes").materials["film-7"].source
    sheet = sources.owner
    assert (sheet.kind, sheet.title, sheet.date) == (
        SourceKind.SUPPLIER_SHEET, "Film 7, application", "2026-03-01",
    )  # fmt: skip
    assert set(sources.keys) == {"dwell", "cover_sheet", "surface", "total_heat", "blocks_dye"}
    assert all(each.is_guess for each in sources.keys.values())
    assert sources.of("tack") == sources.of("temperature") == sheet


def test_a_fabric_and_a_press_likewise(tmp_path: Path) -> None:
    written(tmp_path, "fabric")
    text = written(tmp_path, "press")
    assert text.startswith("  dipper:\n    set_temperature: 150 C\n")
    catalog = clean(tmp_path / "recipes")
    knit, press = catalog.fabrics["net-knit"], catalog.presses["dipper"]
    assert [(cap.start.text, cap.end.text) for cap in knit.dwell_max] == [
        ("0 C", "140 C"),
        ("141 C", "160 C"),
    ]
    assert knit.source.owner.work == "A made-up handbook"
    assert knit.dye_cap is None
    assert knit.source.of("heat") == knit.source.owner
    assert knit.source.of("total_heat").is_guess
    assert (press.platen_height.text, press.source.of("platen").is_guess) == ("500 mm", False)
    assert press.source.of("loads").is_guess


REFUSED = [
    ("temperature.low", "300", "no_unit"),
    ("temperature.low", "300 s", "wrong_unit"),
    ("temperature.low", "900 F", "range"),
    ("temperature.low", "302 C", "hotter"),
    ("temperature.high", "165 F", "colder"),
    ("dwell.2.from", "316 C", "hotter"),
    ("temperature.high", "149 C", "order"),
    ("temperature.normal", "170 C", "order"),
    ("dwell.1.low", "0 s", "range"),
    ("dwell.1.low", "9 s, high: 4 s", "wrong_unit"),
    ("dwell.1.low", "} # {[", "no_number"),
    ("dwell.2.from", "150 C", "order"),
    ("pressure.high", "light", "order"),
    ("peel.1.allowed", "tepid", "choice"),
    ("cover_sheet.carrier_on", "no_press", "choice"),
    ("tack.normal", "5 min", "wrong_unit"),
    ("source.date", "1 March", "date"),
    ("source.date", "26-03", "date"),
    ("source.date", "2026-13", "date"),
    ("source.date", "2026-02-30", "date"),
    ("title", "A" * 81, "length"),
]


@pytest.mark.parametrize(("path", "said", "why"), REFUSED)
def test_the_checker_itself_refuses_an_answer_and_the_draft_stays(
    path: str, said: str, why: str
) -> None:
    draft = begin("material", "Film 7", Degrees.C)
    while (question := draft.question) is not None and question.path != path:
        draft, _ = draft.with_answer(question.path, FILM.get(question.path))
    same, faults = draft.with_answer(path, said)
    assert same == draft
    assert faults[0].problem.id.endswith(why), faults
    assert faults[0].key.startswith(path) or faults[0].problem.id == "catalog.order"
    assert Words("es").say(faults[0].problem)


def test_what_is_asked_follows_from_what_was_said() -> None:
    draft = begin("material", "Patch", Degrees.F)
    draft, _ = draft.with_answer("carrier", "no")
    asked = {question.path for question in draft.entry.questions}
    assert not asked & {"peel.1.allowed", "tack", "cover_sheet.carrier_on", "peel_wait.warm.from"}
    assert draft.entry.keys["peel"] == "[]"
    _, faults = draft.with_answer("dwell.2.from", "301 F")
    assert faults  # the window has one degree
    for end, degrees in (("low", "300 F"), ("high", "320 F")):
        draft, _ = draft.with_answer(f"temperature.{end}", degrees)
    for nth in range(2, MOST_BANDS + 1):
        draft, faults = draft.with_answer(f"dwell.{nth}.from", f"{310 + nth} F")
        assert faults == ()
    dwell = draft.entry.keys["dwell"]
    assert isinstance(dwell, list)
    assert len(dwell) == MOST_BANDS
    assert [q.form for q in draft.entry.questions if q.path == "goes_on"] == [Form.SOME]


@pytest.mark.parametrize("day", ["2026", "2026-03", "2026-03-15"])
def test_a_sheet_without_a_day_gives_what_date_it_has(day: str, tmp_path: Path) -> None:
    recipes = recipes_with(tmp_path, "shop.yaml")
    draft = filled("material", "film-7", {**FILM, "source.date": day}, Degrees.C)
    assert add(recipes, draft, SAY) == ()
    assert clean(recipes).materials["film-7"].source.owner.date == day


def test_one_number_is_the_usual_one_and_no_question_and_two_have_a_middle() -> None:
    draft = begin("material", "Film 7", Degrees.C)
    said_of = {**FILM, "tack.normal": None, "tack.low": "4 s", "tack.high": "4 s"}
    for path, said in said_of.items():
        draft, faults = draft.with_answer(path, said)
        assert faults == ()
    asked = {question.path: question for question in draft.entry.questions}
    assert "tack.normal" not in asked
    assert "'normal': '4 s'" in str(draft.entry.keys["tack"])
    assert asked["dwell.1.normal"].middle
    assert not asked["temperature.high"].middle
    one_end, _ = draft.with_answer("tack.low", None)  # the usual one may be less than its end
    assert "tack.normal" in {question.path for question in one_end.entry.questions}
    assert "dwell.1.normal" not in draft.entry.guessed
    assert draft.entry.middles == ("dwell.1.normal",)


def test_the_wait_of_a_warm_peel_comes_before_another_peel_and_no_is_no_guess() -> None:
    draft = begin("material", "Film 7", Degrees.C)
    draft, _ = draft.with_answer("peel.1.allowed", "warm")
    asked = [question.path for question in draft.entry.questions]
    at = asked.index("peel.1.allowed")
    assert asked[at + 1 : at + 3] == ["peel_wait.warm.from", "peel.2.more"]
    draft, _ = draft.with_answer("peel.2.more", "no")
    assert "peel.2.from" not in {question.path for question in draft.entry.questions}
    assert not [path for path in draft.entry.guessed if path.endswith("more")]


@pytest.mark.parametrize(
    ("typed", "title"),
    [
        ("SKERRY FILM 14-B", "Skerry film 14-B"),
        (" FILM  7", "Film 7"),
        ("14-B SHEET", "14-B sheet"),
    ],
)
def test_a_title_typed_in_capitals_keeps_its_number(typed: str, title: str) -> None:
    assert as_title(typed) == title


def test_a_half_done_entry_is_kept_and_gone_on_with(tmp_path: Path) -> None:
    recipes = recipes_with(tmp_path, "shop.yaml")
    draft = begin("material", "Film 7", Degrees.C)
    for path in list(FILM)[:7]:
        draft, _ = draft.with_answer(path, FILM[path])
        keep(recipes, draft)
    catalog = clean(recipes)  # what is half done is no file of the shop's
    (found,) = kept(recipes, catalog)
    assert found == draft
    assert found.question is not None
    assert found.question.path == "dwell.1.low"
    assert found.back().question == draft.back().question
    assert found.answered[0] == 7


def test_a_stop_between_the_file_and_the_draft_asks_nothing_twice(tmp_path: Path) -> None:
    recipes = recipes_with(tmp_path, "shop.yaml")
    draft = filled("press", "Dipper", {}, Degrees.F)
    assert add(recipes, draft, SAY) == ()
    keep(recipes, draft)  # killed before the draft was put away
    assert kept(recipes, clean(recipes)) == ()
    assert list(recipes.glob(".new*")) == []


@pytest.mark.parametrize("held", [b"", b"[]", b'{"kind": "press"}', b"\x00\xff", b'{"kind": 1}'])
def test_a_damaged_draft_is_none(held: bytes, tmp_path: Path) -> None:
    recipes = recipes_with(tmp_path, "shop.yaml")
    (recipes / ".new-press-dipper.json").write_bytes(held)
    assert kept(recipes, clean(recipes)) == ()


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (None, "presses:\n  dipper:\n"),
        ("# nothing yet\n", "# nothing yet\n\npresses:\n  dipper:\n"),
        ("policy: {trial: asked}\n", "policy: {trial: asked}\n\npresses:\n  dipper:\n"),
    ],
)
def test_a_shop_without_a_press_gets_its_first(
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
    ],
)
def test_a_file_that_takes_no_entry_stays_as_it_is(text: str, why: str, tmp_path: Path) -> None:
    path = tmp_path / "shop.yaml"
    path.write_bytes(text.encode("latin-1"))
    (fault,) = add(tmp_path, filled("press", "Dipper", {}, Degrees.F), SAY)
    assert fault.problem.id == why
    assert path.read_bytes() == text.encode("latin-1")


def test_what_a_trial_finds_and_what_an_editor_changes_goes_into_a_new_entry(
    tmp_path: Path,
) -> None:
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
def test_line_ends_and_what_stands_below_stay(ends: str, last: str, tmp_path: Path) -> None:
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
