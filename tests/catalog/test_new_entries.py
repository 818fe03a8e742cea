"""A new material, fabric or press from its sheet: questions, refusals, and the entry made."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from catalog_folders import recipes_with
from new_sheets import FILM, SAID, SAY, clean, filled, written

from kiosk.catalog.base.quantities import Degrees
from kiosk.catalog.entries import add, as_title, begin, is_known
from kiosk.catalog.model.sheets import Peel
from kiosk.catalog.model.source import SourceKind
from kiosk.catalog.sheets.sheet_questions import MOST_BANDS, TABLES, AnswerForm
from kiosk.words import Words


@pytest.mark.parametrize("kind", TABLES)
def test_each_field_with_a_question_is_asked_once_in_the_tables_order(kind: str) -> None:
    draft = filled(kind, *SAID[kind], Degrees.C)
    paths = [question.path for question in draft.entry.questions]
    assert len(set(paths)) == len(paths)
    keys = [f.key for f in TABLES[kind].fields if f.prompt is not None]
    order = list(dict.fromkeys(path.split(".")[0] for path in paths))
    assert order == ["source", *(key for key in keys if key in order)]
    assert {f.key for f in TABLES[kind].fields if f.default is not f.prompt and not f.prompt} <= {
        "source", "colour", "letters", "peel_at", "heat", "upkeep",
    }  # fmt: skip


@pytest.mark.parametrize("scale", Degrees)
@pytest.mark.parametrize("kind", TABLES)
def test_an_entry_without_any_answers_is_all_guesses(
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


def test_a_films_answers_become_its_entry(tmp_path: Path) -> None:
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
    assert (film.tack.low.text, film.tack.high.text) == ("3 s", "3 s")  # the sheet's only number
    assert film.goes_on == {"fabric", "smooth"}
    assert "  surface: smooth  # the sheet does not say\n" in text
    assert "  dwell:  # middle of the sheet's range: normal\n" in text
    assert "  # may be added: colour, letters, peel_at, heat\n" in text
    assert yaml.safe_load(text)["film-7"]["pressure"] == {"low": "medium", "high": "firm"}


def test_only_values_from_the_sheet_have_it_as_their_source(tmp_path: Path) -> None:
    written(tmp_path, "material")
    sources = clean(tmp_path / "recipes").materials["film-7"].source
    sheet = sources.owner
    assert (sheet.kind, sheet.title, sheet.date) == (
        SourceKind.SUPPLIER_SHEET, "Film 7, application", "2026-03-01",
    )  # fmt: skip
    assert set(sources.keys) == {"dwell", "cover_sheet", "surface", "total_heat", "blocks_dye"}
    assert all(each.is_guess for each in sources.keys.values())
    assert sources.of("tack") == sources.of("temperature") == sheet


def test_answers_about_a_fabric_and_a_press_become_their_entries(tmp_path: Path) -> None:
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
    ("source", "sheet", "choice"),
    ("dwell.2.more", "sure", "choice"),
    ("tack", "si", "choice"),
    ("peel.1.allowed", "tepid", "choice"),
    ("cover_sheet.carrier_on", "no_press", "choice"),
    ("tack.normal", "5 min", "wrong_unit"),
    ("source.date", "1 March", "date"),
    ("source.date", "26-03", "date"),
    ("source.date", "2026-13", "date"),
    ("source.date", "2026-02-30", "date"),
    ("title", "A" * 81, "length"),
]


@pytest.mark.parametrize(("path", "answer", "why"), REFUSED)
def test_a_refused_answer_leaves_the_draft_unchanged(path: str, answer: str, why: str) -> None:
    draft = begin("material", "Film 7", Degrees.C)
    while (question := draft.question) is not None and question.path != path:
        draft, _ = draft.with_answer(question.path, FILM.get(question.path))
    same, faults = draft.with_answer(path, answer)
    assert same == draft
    assert faults[0].problem.id.endswith(why), faults
    assert faults[0].key.startswith(path) or faults[0].problem.id == "catalog.order"
    assert Words("es").say(faults[0].problem)


def test_questions_follow_from_earlier_answers() -> None:
    draft = begin("material", "Patch", Degrees.F)
    draft, _ = draft.with_answer("carrier", "no")
    questions = {question.path for question in draft.entry.questions}
    assert not questions & {
        "peel.1.allowed",
        "tack",
        "cover_sheet.carrier_on",
        "peel_wait.warm.from",
    }
    assert draft.entry.keys["peel"] == "[]"
    _, faults = draft.with_answer("dwell.2.from", "301 F")
    assert faults  # the window is only one degree
    for end, degrees in (("low", "300 F"), ("high", "320 F")):
        draft, _ = draft.with_answer(f"temperature.{end}", degrees)
    for nth in range(2, MOST_BANDS + 1):
        draft, faults = draft.with_answer(f"dwell.{nth}.from", f"{310 + nth} F")
        assert faults == ()
    dwell = draft.entry.keys["dwell"]
    assert isinstance(dwell, list)
    assert len(dwell) == MOST_BANDS
    assert [q.form for q in draft.entry.questions if q.path == "goes_on"] == [AnswerForm.SOME]


@pytest.mark.parametrize("day", ["2026", "2026-03", "2026-03-15"])
def test_a_sheets_date_may_lack_its_month_or_day(day: str, tmp_path: Path) -> None:
    recipes = recipes_with(tmp_path, "shop.yaml")
    draft = filled("material", "film-7", {**FILM, "source.date": day}, Degrees.C)
    assert add(recipes, draft, SAY) == ()
    assert clean(recipes).materials["film-7"].source.owner.date == day


def test_a_single_number_becomes_the_normal_value_and_two_offer_their_middle() -> None:
    draft = begin("material", "Film 7", Degrees.C)
    answers = {**FILM, "tack.normal": None, "tack.low": "4 s", "tack.high": "4 s"}
    for path, answer in answers.items():
        draft, faults = draft.with_answer(path, answer)
        assert faults == ()
    questions = {question.path: question for question in draft.entry.questions}
    assert "tack.normal" not in questions
    assert "'normal': '4 s'" in str(draft.entry.keys["tack"])
    assert questions["dwell.1.normal"].middle
    assert not questions["temperature.high"].middle
    one_end, _ = draft.with_answer("tack.low", None)  # the normal time may be below the high one
    assert "tack.normal" in {question.path for question in one_end.entry.questions}
    assert "dwell.1.normal" not in draft.entry.guessed
    assert draft.entry.middles == ("dwell.1.normal",)


def test_a_warm_peels_wait_is_asked_before_the_next_peel_band() -> None:
    draft = begin("material", "Film 7", Degrees.C)
    draft, _ = draft.with_answer("peel.1.allowed", "warm")
    questions = [question.path for question in draft.entry.questions]
    at = questions.index("peel.1.allowed")
    assert questions[at + 1 : at + 3] == ["peel_wait.warm.from", "peel.2.more"]
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
