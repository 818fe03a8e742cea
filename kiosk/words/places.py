"""Words for the keys and values of the shop's files; those without a word are shown as written."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

from kiosk.catalog.base import OWN_NAMES, SIGN_OFF, FileKey


class Says(Protocol):
    """The sentences of a language, by id."""

    def __call__(self, id: str, /) -> str:  # noqa: A002, D102 - as in Message
        ...

    def knows(self, id: str) -> bool:  # noqa: A002, D102 - as in Message
        ...


KEYS = ("file.key", "source.key")
"""Prefixes of the message ids of keys."""
_ENDS = frozenset({"low", "high", "allowed"})  # their values belong to the key above
_VALUES = {
    **dict.fromkeys(("pressure", "pressure_max"), "pressure"),
    **dict.fromkeys(("peel", "tack"), "peel"),
    **dict.fromkeys(("surface", "goes_on", "opens", "loads", "dye_risk", "cloth"), "entry.word"),
    **dict.fromkeys(("carrier_on", "carrier_off"), "entry.word"),
    **dict.fromkeys(("demand", "trial", "proof"), "file.demand"),
    **dict.fromkeys(("approver", "border", "size", "language"), "file.word"),
    "panel": "panel", "element": "element",
}  # fmt: skip
"""By key, the prefix of the message ids of its values."""
_PLAIN = {"yes": "entry.word.yes", "no": "entry.word.no", "null": "file.word.none"}


def step_word(words: Says, file: str, path: tuple[str, ...]) -> str:
    """Return the word for the last key of a path in a file; the shop's own names are kept."""
    key = path[-1]
    if OWN_NAMES.get(file) == path[:-1]:
        return key
    families = ("practice.family",) if file == SIGN_OFF and len(path) == 1 else ()
    return _first_sentence(words, (f"{place}.{key}" for place in (*families, *KEYS))) or key


def place_in_words(words: Says, place: FileKey) -> str:
    """Return the words for each step of a place's path, joined with commas."""
    path = tuple(place.key.split("."))
    return ", ".join(step_word(words, place.file, path[:n]) for n in range(1, len(path) + 1))


def value_in_words(words: Says, path: tuple[str, ...], value: str) -> str:
    """Return the word for a value, or the value as written if it has none."""
    keys = [key for key in path if not key.isdigit()] or [""]
    named_key = keys[-2] if keys[-1] in _ENDS and len(keys) > 1 else keys[-1]
    own = f"{_VALUES.get(named_key, '')}.{value.replace(' ', '_')}"
    return _first_sentence(words, (own, _PLAIN.get(value, ""))) or value


def _first_sentence(words: Says, ids: Iterable[str]) -> str:
    """Return the sentence of the first id that has one, or ""."""
    return next((words(each) for each in ids if words.knows(each)), "")
