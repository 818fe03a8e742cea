"""The sentences of one language, read from its gettext catalogue (a PO file) as it stands.

There is no compiled file beside it that could go stale, be forgotten or conflict. The form read
is the one that `assets/locale/make.py` writes; a test holds that gettext says the same.
"""

from __future__ import annotations

import gettext
import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

LOCALES = Path(__file__).resolve().parents[2] / "assets" / "locale"

_ENTRY = re.compile(
    r'^(?P<key>msgctxt|msgid|msgid_plural|msgstr)(?:\[\d\])? (?P<text>"(?:[^"\\]|\\.)*")$', re.M
)
_PLURALS = re.compile(r"plural=([^;]+);")


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Forms of each sentence by its message id: one, or one for each plural of the language."""

    forms: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    plural: Callable[[int], int] = lambda count: int(count != 1)

    def form(self, id: str, count: int | None) -> str | None:  # noqa: A002 - as in Message
        """Return the sentence `id` for `count` things (None: it has one form); None if unknown."""
        forms = self.forms.get(id)
        if not forms:
            return None
        index = 0 if count is None else self.plural(count)
        return forms[index] if index < len(forms) else None


@lru_cache(maxsize=4)
def catalogue(language: str, locales: Path = LOCALES) -> Catalogue:
    """Return the catalogue of `language` (`es`), an empty one where there is none."""
    path = locales / f"{language}.po"
    return read(path.read_text("utf-8")) if path.is_file() else Catalogue()


def read(text: str) -> Catalogue:
    """Return what a PO file holds; its first entry, without an id, names the plurals."""
    forms: dict[str, tuple[str, ...]] = {}
    plural = Catalogue().plural
    id_ = ""
    for found in _ENTRY.finditer(text):
        key, said = found["key"], json.loads(found["text"])
        if key == "msgctxt":
            id_ = said
        elif key == "msgstr" and id_ and said:
            forms[id_] = (*forms.get(id_, ()), said)
        elif key == "msgstr" and not id_ and (rule := _PLURALS.search(said)):
            plural = gettext.c2py(rule[1])
    return Catalogue(forms, plural)
