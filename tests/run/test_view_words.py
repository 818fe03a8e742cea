"""Sentences are in the tables, each once, and short if they are shown huge."""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk.catalog.base.notes import Value
from kiosk.words import Words
from kiosk.words.speak import LOCALES, catalogue

KIOSK = Path(__file__).resolve().parents[2] / "kiosk"
WORDS = Words("en")
ENGLISH = catalogue("en")
# Values as in a demo: two digits, two-digit seconds, the longest word of each kind.
SAMPLE: dict[str, Value] = {
    "racked": "31", "number": "48", "seconds": 15, "peel": "warm", "then": "cold",
    "next": "lay the top", "panel": "right sleeve",
    "elements": "name, number",
}  # fmt: skip
MOST_WORDS, MOST_LABEL = 5, 44
# Functions that take an id, and the prefix they put before it.
PREFIXES = {"say": "", "Message": "", "refuse": r"refuse\."}


def pattern(text: ast.Constant | ast.JoinedStr) -> str:
    """The possible results of a text, with anything in place of an f-string's values."""
    if isinstance(text, ast.Constant):
        return re.escape(str(text.value))
    parts = (
        re.escape(str(part.value)) if isinstance(part, ast.Constant) else ".*"
        for part in text.values
    )
    return "".join(parts)


def spoken(path: Path) -> Iterator[str]:
    """Patterns of the ids that a file uses."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in PREFIXES:
            first = node.args[0] if node.args else None
            if isinstance(first, ast.Constant | ast.JoinedStr):
                yield PREFIXES[getattr(node.func, "id", "")] + pattern(first)


def all_spoken() -> set[str]:
    files = [p for p in KIOSK.rglob("*.py") if p.parent.name != "words"]
    return {pattern for path in files for pattern in spoken(path) if pattern}


def forms(id_: str) -> list[str]:
    if by := ENGLISH.counted.get(id_):
        return [WORDS(id_, **SAMPLE, **{by: n}) for n in (1, 2)]
    return [WORDS(id_, **SAMPLE)]


def test_every_id_used_by_the_rooms_has_a_sentence() -> None:
    ids = list(ENGLISH.forms)
    patterns = all_spoken()
    assert len(patterns) > 100
    missing = [p for p in patterns if not any(re.fullmatch(p, id_) for id_ in ids)]
    assert sorted(missing) == []


def test_no_id_is_in_a_table_twice() -> None:
    for file in LOCALES.glob("*.po"):
        ids = Counter(re.findall(r'^msgid "(.*)"$', file.read_text("utf-8"), re.M))
        assert len(ids) > 1000
        assert [id_ for id_, times in ids.items() if times > 1] == [], file


@pytest.mark.parametrize("id_", [i for i in ENGLISH.forms if i.startswith("move.")])
def test_a_move_has_at_most_five_words(id_: str) -> None:
    for sentence in forms(id_):
        assert len(sentence.split()) <= MOST_WORDS, sentence


@pytest.mark.parametrize("id_", [i for i in ENGLISH.forms if i.startswith("bar.")])
def test_a_bar_label_is_short_enough_to_be_huge(id_: str) -> None:
    for sentence in forms(id_):
        assert len(sentence) <= MOST_LABEL, sentence
