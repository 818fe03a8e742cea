"""Every sentence is there in Spanish, says the same things, and is read as gettext reads it."""

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
from kiosk.words.catalogue import LOCALES, catalogue
from kiosk.words.english import TABLE
from kiosk.words.marks import Plural, Sentence

PO = LOCALES / "es.po"
MOST_WORDS, MOST_LABEL = 5, 46  # a move's words; a bar's letters, two more than in English
# The same in both languages: names of units, signs, words that both share.
SHARED = re.compile(
    r"[^A-Za-z]*((s|in|mm|min|PIN|Supervisor|material|Material|final|no|English|Español|[CF])[^A-Za-z]*)*"
)


def make() -> ModuleType:
    """The tool that keeps the catalogue in order."""
    spec = importlib.util.spec_from_file_location("make_locale", LOCALES / "make.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def spanish() -> Catalog:
    with PO.open("rb") as file:
        return read_po(file, abort_invalid=True)


def english(sentence: Sentence) -> tuple[str, ...]:
    return (sentence.one, sentence.many) if isinstance(sentence, Plural) else (sentence,)


def fields(sentence: str) -> set[str]:
    return set(re.findall(r"{(\w*)[^}]*}", sentence))


def said() -> dict[str, tuple[str, ...]]:
    return dict(catalogue("es").forms)


def test_the_catalogue_is_what_the_tables_make_of_it(spanish: Catalog) -> None:
    """No sentence is missing, left over, out of date or out of order (run the tool)."""
    tool = make()
    made = tool.fresh(spanish)
    assert [each.context for each in tool.missing(made)] == []
    assert tool.as_text("es", made) == PO.read_text("utf-8")


def test_every_sentence_names_the_same_values_in_both_languages() -> None:
    spanish = said()
    assert spanish.keys() == TABLE.keys()
    for id_, sentence in TABLE.items():
        least = set.intersection(*map(fields, english(sentence)))
        most = set.union(*map(fields, english(sentence)))
        assert len(spanish[id_]) == len(english(sentence)), id_
        for form in spanish[id_]:
            assert least <= fields(form) <= most, id_


def test_gettext_itself_reads_the_same_sentences(spanish: Catalog) -> None:
    compiled = BytesIO()
    write_mo(compiled, spanish)
    compiled.seek(0)
    theirs, ours = gettext.GNUTranslations(compiled), catalogue("es")
    for id_, sentence in TABLE.items():
        if isinstance(sentence, Plural):
            for count in (0, 1, 2, 5, 21, 100):
                told = theirs.npgettext(id_, sentence.one, sentence.many, count)
                assert ours.form(id_, count) == told, id_
        else:
            assert ours.form(id_, None) == theirs.pgettext(id_, sentence), id_


def test_nothing_is_left_in_english() -> None:
    same = [
        id_
        for id_, forms in said().items()
        if forms == english(TABLE[id_]) and not SHARED.fullmatch(re.sub(r"{\w+}", "", forms[0]))
    ]
    assert same == []


@pytest.mark.parametrize(
    ("theirs", "ours"), [("carrier", "soporte"), ("liner", "protector"), ("rack", "estante")]
)
def test_liner_and_carrier_keep_a_word_each(theirs: str, ours: str) -> None:
    """design.md section 3: never one word for both, in Spanish neither."""
    for id_, forms in said().items():
        told = any(re.search(rf"\b{theirs}s?\b", form, re.I) for form in english(TABLE[id_]))
        if any(re.search(rf"\b{ours}\w*", form, re.I) for form in forms):
            assert told or id_.startswith("bar.close.rack") or theirs == "rack", id_
        elif told and not re.search(r"carrier_off|\w*rack(ed)?}", " ".join(english(TABLE[id_]))):
            pytest.fail(f"{id_}: no {ours} for {theirs}: {forms}")


def test_nobody_is_addressed_by_a_pronoun() -> None:
    """Impersonal, as signs in a shop are: no tú, no usted, and one word for the press."""
    person = re.compile(r"\b(tú|tu|tus|ti|usted|ustedes|la prensa|evento|hoja protectora)\b", re.I)
    assert [id_ for id_, forms in said().items() if person.search(" ".join(forms))] == []


def test_moves_and_bars_stay_short_enough_to_be_huge() -> None:
    values = {"racked": "31", "number": "48", "seconds": "15", "peel": "caliente"}
    values |= {"then": "tibio", "next": "poner encima", "panel": "manga izquierda"}
    values |= {"elements": "nombre, número"}
    long = [
        form
        for id_, forms in said().items()
        for form in forms
        if (id_.startswith("move.") and len(form.split()) > MOST_WORDS)
        or (id_.startswith("bar.") and len(form.format_map({"count": 2, **values})) > MOST_LABEL)
    ]
    assert long == []


def test_a_sentence_that_is_not_translated_is_said_in_english(tmp_path: Path) -> None:
    (tmp_path / "es.po").write_text('msgctxt "work.hold"\nmsgid "hold"\nmsgstr "pausa"\n', "utf-8")
    words = Words("es", tmp_path)
    assert (words("work.hold"), words("work.back")) == ("pausa", "back one")
    assert words("page.job_new", count=2) == "2 garments"


def test_numbers_are_written_as_the_language_does() -> None:
    assert Words("es")("plan.size.border_counted") == "con su contorno"
    assert Words("es")("work.millimetres", length=1.6) == "1,6 mm"
    assert Words("en")("work.millimetres", length=1.6) == "1.6 mm"
    assert Words("es").number("12.5") == "12,5"
    assert Words("es")("report.figure", figure="98.5 %") == "98,5 %"
    assert Words("es")("report.figure", figure="0.1.0") == "0.1.0"
