"""How a table marks its sentences for translation."""

from __future__ import annotations

from dataclasses import dataclass


def N_(sentence: str) -> str:  # noqa: N802 - the name that gettext's tools look for
    """Return `sentence` unchanged; it is collected for the translators."""
    return sentence


@dataclass(frozen=True, slots=True)
class Plural:
    """A sentence with a form for one and a form for many, chosen by the value named `by`."""

    one: str
    many: str
    by: str


Sentence = str | Plural
