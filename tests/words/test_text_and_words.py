"""What people wrote is shown as they wrote it; words and lengths are types of their own."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import kiosk
from kiosk.catalog.base.notes import Inches, say
from kiosk.words import Words

SOURCES = sorted(Path(kiosk.__file__).parent.rglob("*.py"))


@pytest.mark.parametrize("text", ["@peel.cold", "@home", "@ruler:-7", "@", "@no such word"])
def test_a_text_that_begins_with_an_at_is_a_text(text: str) -> None:
    assert Words().say(say("plan.pass", panel=text)) == Words()("plan.pass", panel="#").replace(
        "#", text
    )


def test_a_word_within_a_sentence_is_of_the_sentences_language() -> None:
    sentence = say("plan.why.carrier", peel=say("peel.cold"))
    for language in ("en", "es"):
        words = Words(language)
        assert words("peel.cold") in words.say(sentence)
    assert Words("es")("peel.cold") != Words()("peel.cold")


def test_a_length_is_in_the_shops_unit() -> None:
    seam = say("place.ruler_over", length=Inches(7.25))
    assert "7 1/4 in" in Words().say(seam)
    assert "184 mm" in Words(metric=True).say(seam)  # 7.25 x 25.4 = 184.15, by hand


def test_no_room_puts_the_id_of_a_word_into_a_text() -> None:
    texts = {
        (path.name, node.value)
        for path in SOURCES
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
        if node.value.startswith("@") and len(node.value) > 1
    }
    assert {name for name, _ in texts} == {"lift.py"}, texts
