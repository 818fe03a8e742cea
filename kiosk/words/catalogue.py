"""The sentences of one language, read from its gettext catalogue (a PO file) at each start.

There is no compiled file beside it that could go stale, be forgotten or conflict. A sentence is
known by its id (`msgid`); where something is counted, `msgid_plural` names the value that is
counted. A test holds that gettext reads the same.
"""

import gettext
import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

LOCALES = Path(__file__).resolve().parents[2] / "assets" / "locale"
ENGLISH = "en"  # complete: what another language lacks is in English

_LINE = re.compile(r'^(msgid|msgid_plural|msgstr(?:\[\d\])?|) ?"(.*)"$', re.M)
_PLURALS = re.compile(r"plural=([^;]+);")


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Forms of each sentence by its id: one, or one for each plural of the language."""

    forms: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    counted: Mapping[str, str] = field(default_factory=dict)
    """By id, the name of the value that chooses the plural; absent where there is one form."""
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
    """Return the catalogue of `language` (`en`, `es`), an empty one where there is none."""
    path = locales / f"{language}.po"
    return read(path.read_text("utf-8")) if path.is_file() else Catalogue()


def read(text: str) -> Catalogue:
    """Return what a PO file holds; its first entry, without an id, names the plurals."""
    forms: dict[str, tuple[str, ...]] = {}
    counted: dict[str, str] = {}
    plural = Catalogue().plural
    id_ = ""
    for key, value in _strings(text):
        if key == "msgid":
            id_ = value
        elif not id_:
            plural = gettext.c2py(rule[1]) if (rule := _PLURALS.search(value)) else plural
        elif key == "msgid_plural":
            counted[id_] = value
        elif value:
            forms[id_] = (*forms.get(id_, ()), value)
    return Catalogue(forms, counted, plural)


def _strings(text: str) -> list[tuple[str, str]]:
    """Return keyword and text of each string; one that goes on over more lines is joined."""
    strings: list[tuple[str, str]] = []
    for key, part in _LINE.findall(text):
        value = json.loads(f'"{part}"') if "\\" in part else part
        if key:
            strings.append((key, value))
        else:
            strings[-1] = (strings[-1][0], strings[-1][1] + value)
    return strings
