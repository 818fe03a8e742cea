"""Text written by people is shown as written; words and lengths have types of their own."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import kiosk
from kiosk.catalog.base.notes import FileKey, FileValue, Inches, Message, one_line, say
from kiosk.catalog.base.quantities import Degrees
from kiosk.plan.model import Limit
from kiosk.plan.refusals import limit_words
from kiosk.words import Words
from kiosk.words.speak import catalogue

SOURCES = sorted(Path(kiosk.__file__).parent.rglob("*.py"))


@pytest.mark.parametrize("text", ["@peel.cold", "@home", "@ruler:-7", "@", "@no such word"])
def test_text_starting_with_an_at_sign_is_shown_as_written(text: str) -> None:
    assert Words().say(say("plan.pass", panel=text)) == Words()("plan.pass", panel="#").replace(
        "#", text
    )


def test_a_customers_decimal_point_is_kept_in_every_language() -> None:
    """A sheet's 7.0 is asked about as 7.0; no cell in it holds 7,0."""
    for language in ("en", "es"):
        words = Words(language)
        assert "7.0" in words("order.stands", text=one_line("7.0"))
        assert "7.0" in words("order.cells_of_row", cells=(one_line("7.0"), one_line("AL")))
    assert "7,5" in Words("es")("work.inches", length="7.5")  # the program's own figure


def test_a_word_within_a_sentence_is_in_the_sentences_language() -> None:
    sentence = say("plan.why.carrier", peel=say("peel.cold"))
    for language in ("en", "es"):
        words = Words(language)
        assert words("peel.cold") in words.say(sentence)
    assert Words("es")("peel.cold") != Words()("peel.cold")


def test_a_length_is_shown_in_the_shops_unit() -> None:
    seam = say("place.ruler_over", length=Inches(7.25))
    assert "7 1/4 in" in Words().say(seam)
    assert "184 mm" in Words(metric=True).say(seam)  # 7.25 x 25.4 = 184.15, by hand


def test_no_code_puts_a_message_id_into_text() -> None:
    texts = {
        (path.name, node.value)
        for path in SOURCES
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
        if node.value.startswith("@") and len(node.value) > 1
    }
    assert {name for name, _ in texts} == {"lift.py"}, texts


@pytest.mark.parametrize(
    ("limit", "english", "spanish"),
    [
        (Limit("fabric", "temperature_max", "280 F"), "the fabric: 280 °F at most",
         "la tela: 280 °F como máximo"),
        (Limit("name.1", "dwell.low", "10 s, 12 s"),
         "name, layer 1: pressed for 10 s, 12 s at least",
         "nombre, capa 1: prensar 10 s, 12 s como mínimo"),
        (Limit("crest.2", "cover_sheet.carrier_off", "no_press"),
         "crest, layer 2, carrier off: never under heat again",
         "crest, capa 2, sin soporte: no se vuelve a prensar"),
        (Limit("policy", "staged_peel", "no"), "the shop's policy: no peel in stages",
         "normas del taller: no despegar por etapas"),
    ],
)  # fmt: skip
def test_refusals_of_a_job_are_in_plain_words(limit: Limit, english: str, spanish: str) -> None:
    assert Words().say(limit_words(limit)) == english
    assert Words("es").say(limit_words(limit)) == spanish


def test_every_limit_that_can_refuse_a_job_has_a_sentence() -> None:
    settings = Path(kiosk.__file__).parent / "plan" / "settings"
    texts = [(settings / name).read_text("utf-8") for name in ("conflict.py", "rulebook.py")]
    keys = re.findall(r'(?:Limit\([\w.]+|yield SettingsRule\.\w+), "([^"]+)"', "\n".join(texts))
    assert len(set(keys)) > 18
    assert [key for key in keys if f"limit.{key}" not in catalogue("en").forms] == []


def test_a_file_key_and_its_value_are_shown_in_words() -> None:
    key = "policy.verify.demand"
    message = say("change.file", file="shop.yaml", key=FileKey("shop.yaml", key),
               before=FileValue(key, "no"), now=FileValue(key, "required"))  # fmt: skip
    assert Words("en").say(message) == (
        "shop.yaml, policy, check of the press, asked for: no is now required."
    )
    assert Words("es").say(message) == (
        "shop.yaml, normas, comprobación de la plancha, se pide: no es ahora obligatorio."
    )
    pad = FileKey("shop.yaml", "presses.pad.pad")  # a press may be called `pad`
    assert "planchas, pad, almohadilla:" in Words("es")(
        "change.file", file="shop.yaml", key=pad, before="", now=""
    )


OF_THE_COMMAND_LINE = (
    "help.", "command.",
    "log.busy", "log.is_simulated", "log.not_simulated",  # found when a command starts
    "shop.not_set_up",  # for the person who sets up the server
)  # fmt: skip


@pytest.mark.parametrize("language", ["en", "es"])
def test_screens_and_pages_mention_no_command_line(language: str) -> None:
    """Screens and pages mention only actions possible there: no option, no command."""
    for id_, forms in catalogue(language).forms.items():
        if not id_.startswith(OF_THE_COMMAND_LINE):
            for form in forms:
                assert not re.search(r"(?<!\w)--[a-z]|\bkiosk [a-z]", form), id_


@pytest.mark.parametrize(
    "message",
    [
        say("ask.foot.setting", tolerance=4, unit="C"),
        say("page.verify.spread", spread=4, most="4", unit="C"),
        say("page.verify.offset", offset="+4.0", most="4", unit="C"),
        say("answer.drift.steady", press="coot", last="+4.0", unit="C", count=6),
    ],
    ids=lambda message: message.id,
)
@pytest.mark.parametrize("language", ["en", "es"])
def test_a_difference_is_not_converted_like_a_temperature(message: Message, language: str) -> None:
    """A difference of 4 °C is 7.2 °F (1.8 per degree, SI), never 39 °F (the point 4 °C)."""
    words = Words(language, degrees=Degrees.F)
    assert "39" not in words.say(message)
    assert words.say(message) == Words(language).say(message)
    assert "(291 °F)" in words("ask.title.set", temperature="144", unit="C")  # a point has both
