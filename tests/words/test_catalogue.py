"""Every sentence is in both languages with the same values, and gettext reads the same."""

from __future__ import annotations

import gettext
import importlib.util
import re
from io import BytesIO
from pathlib import Path
from types import ModuleType

import pytest
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po

from kiosk.words import Words
from kiosk.words.speak import LOCALES, catalogue, read

ENGLISH = catalogue("en")
MOST_WORDS, MOST_LABEL = 5, 46  # words of a move; letters of a bar, two more than in English
# The same in both languages: units, signs, shared words.
SHARED = re.compile(
    r"[^A-Za-z]*((s|in|mm|min|PIN|Supervisor|panel|material|Material|final|no|English|Español|[CF])[^A-Za-z]*)*"
)


def make() -> ModuleType:
    """Return the tool that keeps the catalogue in order."""
    spec = importlib.util.spec_from_file_location("make_locale", LOCALES / "make.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def as_babel(language: str) -> Catalog:
    with (LOCALES / f"{language}.po").open("rb") as file:
        return read_po(file, abort_invalid=True)


def english(id_: str) -> tuple[str, ...]:
    return ENGLISH.forms[id_]


def fields(sentence: str) -> set[str]:
    return set(re.findall(r"{(\w*)[^}]*}", sentence))


def spanish_forms() -> dict[str, tuple[str, ...]]:
    return dict(catalogue("es").forms)


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_catalogues_match_the_tools_output(language: str) -> None:
    """No sentence is missing, left over, out of date or out of order (if so: run the tool)."""
    tool = make()
    fresh = tool.fresh(language, tool.known("en"))
    assert [each.id for each in tool.missing(fresh)] == []
    assert tool.as_text(language, fresh) == (LOCALES / f"{language}.po").read_text("utf-8")


def test_a_new_sentence_is_listed_as_missing_and_a_changed_one_as_fuzzy() -> None:
    tool = make()
    english = tool.known("en")
    english["work.hold"].string = "hold on"
    english.add("aaa.new", "something new")
    missing = {each.id: each for each in tool.missing(tool.fresh("es", english))}
    assert missing.keys() == {"aaa.new", "work.hold"}
    assert missing["work.hold"].fuzzy
    assert missing["work.hold"].string
    assert missing["work.hold"].auto_comments == ["hold on"]
    assert not missing["aaa.new"].fuzzy


def test_every_sentence_has_the_same_fields_in_both_languages() -> None:
    spanish = spanish_forms()
    assert spanish.keys() == ENGLISH.forms.keys()
    assert catalogue("es").counted == ENGLISH.counted
    for id_, sentences in ENGLISH.forms.items():
        least = set.intersection(*map(fields, sentences))
        most = set.union(*map(fields, sentences))
        assert len(spanish[id_]) == len(sentences), id_
        for form in spanish[id_]:
            assert least <= fields(form) <= most, id_


@pytest.mark.parametrize("language", ["en", "es"])
def test_gettext_reads_the_same_sentences(language: str) -> None:
    compiled = BytesIO()
    write_mo(compiled, as_babel(language))
    compiled.seek(0)
    theirs, ours = gettext.GNUTranslations(compiled), catalogue(language)
    assert len(ours.forms) > 1000
    for id_ in ours.forms:
        if by := ours.counted.get(id_):
            for count in (0, 1, 2, 5, 21, 100):
                assert ours.form(id_, count) == theirs.ngettext(id_, by, count), id_
        else:
            assert ours.form(id_, None) == theirs.gettext(id_), id_


def test_a_sentence_wrapped_over_several_lines_is_read_whole() -> None:
    """GNU gettext's manual, "The Format of PO Files": a string may continue on further lines."""
    text = 'msgid "a"\nmsgstr ""\n"one, "\n"two \\"three\\""\n\nmsgid "b"\nmsgstr "four"\n'
    assert read(text).forms == {"a": ('one, two "three"',), "b": ("four",)}


def test_no_spanish_sentence_is_left_in_english() -> None:
    same = [
        id_
        for id_, forms in spanish_forms().items()
        if forms == english(id_) and not SHARED.fullmatch(re.sub(r"{\w+}", "", forms[0]))
    ]
    assert same == []


@pytest.mark.parametrize(
    ("theirs", "ours"), [("carrier", "soporte"), ("liner", "respaldo"), ("rack", "estante")]
)
def test_carrier_liner_and_rack_each_have_one_spanish_word(theirs: str, ours: str) -> None:
    """design.md section 3: never one word for both; this holds for Spanish too."""
    for id_, forms in spanish_forms().items():
        has_theirs = any(re.search(rf"\b{theirs}s?\b", form, re.I) for form in english(id_))
        if any(re.search(rf"\b{ours}\w*", form, re.I) for form in forms):
            assert has_theirs or id_.startswith("bar.close.rack") or theirs == "rack", id_
        elif has_theirs and not re.search(r"carrier_off|\w*rack(ed)?}", " ".join(english(id_))):
            pytest.fail(f"{id_}: no {ours} for {theirs}: {forms}")


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(
    "ids",
    [("move.stopped", "aside.stopped", "stage.stopped"), ("ask.title.size", "next.size_change")],
    ids=["stopped", "new size"],
)
def test_two_pages_use_the_same_word_for_the_same_thing(
    ids: tuple[str, ...], language: str
) -> None:
    """english.md: one word per thing everywhere."""
    forms = catalogue(language).forms
    words = [re.findall(r"\w+", forms[id_][0].lower())[: 2 if "size" in id_ else 1] for id_ in ids]
    assert len(set(map(tuple, words))) == 1, words


def test_spanish_sentences_are_impersonal_and_use_the_shops_words() -> None:
    """Impersonal, as on shop signs: no tú, no usted, and one word for the press."""
    person = re.compile(r"\b(tú|tu|tus|ti|usted|ustedes|la prensa|evento|hoja protectora)\b", re.I)
    assert [id_ for id_, forms in spanish_forms().items() if person.search(" ".join(forms))] == []


def test_spanish_moves_and_bars_stay_short_enough_for_huge_letters() -> None:
    values = {"racked": "31", "number": "48", "seconds": "15", "peel": "caliente"}
    values |= {"then": "tibio", "next": "poner encima", "panel": "manga izquierda"}
    values |= {"elements": "nombre, número"}
    long = [
        form
        for id_, forms in spanish_forms().items()
        for form in forms
        if (id_.startswith("move.") and len(form.split()) > MOST_WORDS)
        or (id_.startswith("bar.") and len(form.format_map({"count": 2, **values})) > MOST_LABEL)
    ]
    assert long == []


def test_an_untranslated_sentence_is_shown_in_english(tmp_path: Path) -> None:
    (tmp_path / "es.po").write_text('msgid "work.hold"\nmsgstr "pausa"\n', "utf-8")
    words = Words("es", tmp_path)
    assert (words("work.hold"), words("work.back")) == ("pausa", "back one")
    assert words("page.job_new", count=2) == "2 garments"


def test_numbers_follow_the_language() -> None:
    assert Words("es")("plan.size.border_counted") == "con su contorno"
    assert Words("es")("work.millimetres", length=1.6) == "1,6 mm"
    assert Words("en")("work.millimetres", length=1.6) == "1.6 mm"
    assert Words("es").number("12.5") == "12,5"
    for off, shown in (("+10.0", "+10,0 °F"), ("\N{MINUS SIGN}2.5", "\N{MINUS SIGN}2,5 °F")):
        assert shown in Words("es")("page.verify.offset", offset=off, unit="F", most=6)
    assert Words("es")("report.figure", figure="98.5 %") == "98,5 %"
    assert Words("es")("report.figure", figure="0.1.0") == "0.1.0"
