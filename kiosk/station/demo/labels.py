"""What a label of another language says in English, so that one shift can be played in both."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from itertools import product

from kiosk.words.catalogue import ENGLISH, catalogue

_FIELD = re.compile(r"{(\w+)[^}]*}")


@lru_cache(maxsize=1024)
def in_english(label: str, language: str) -> frozenset[str]:
    """Return every English label that `label` may stand for, itself among them."""
    if language == "en":
        return frozenset({label})
    sign = {"."} if label == "," else set()  # on a pad
    return frozenset(_said(label, language)) | {label} | sign


def _said(label: str, language: str) -> Iterator[str]:
    """Each sentence that fits, its values in English too where they are words of the language."""
    for pattern, english in _sentences(language):
        found = pattern.fullmatch(label)
        if found is not None and set(_FIELD.findall(english)) <= set(found.groupdict()):
            names = tuple(found.groupdict())
            words = (_words(language).get(value, ()) for value in found.groupdict().values())
            choices = [(value, *other) for value, other in zip(found.groups(), words, strict=True)]
            for values in product(*choices):
                yield english.format_map(dict(zip(names, values, strict=True)))


@lru_cache(maxsize=2)
def _words(language: str) -> dict[str, tuple[str, ...]]:
    """The English of every sentence that is the same whatever happens."""
    known: dict[str, set[str]] = {}
    english = catalogue(ENGLISH).forms
    for id_, forms in catalogue(language).forms.items():
        for form, own in zip(forms, english.get(id_, ()), strict=False):
            if not _FIELD.search(form):
                known.setdefault(form, set()).add(own)
    return {form: tuple(sorted(owns)) for form, owns in known.items()}


@lru_cache(maxsize=2)
def _sentences(language: str) -> tuple[tuple[re.Pattern[str], str], ...]:
    """Each sentence as a pattern of the language, with its English; values are kept."""
    pairs = []
    english = catalogue(ENGLISH).forms
    for id_, forms in catalogue(language).forms.items():
        for form, own in zip(forms, english.get(id_, ()), strict=False):
            if form.strip() != "".join(_FIELD.findall(form)).join("{}"):  # not one value alone
                pairs.append((_pattern(form), own))
    return tuple(pairs)


def _pattern(sentence: str) -> re.Pattern[str]:
    """A sentence as a pattern; a value named twice has to be the same both times."""
    seen: set[str] = set()
    parts = _FIELD.split(sentence)
    for at in range(1, len(parts), 2):
        name = parts[at]
        parts[at] = f"(?P={name})" if name in seen else f"(?P<{name}>.+)"
        seen.add(name)
    return re.compile("".join(p if i % 2 else re.escape(p) for i, p in enumerate(parts)))
