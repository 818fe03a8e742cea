"""What a label of another language says in English, so that one shift can be played in both."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from kiosk.words.catalogue import catalogue
from kiosk.words.english import TABLE
from kiosk.words.marks import Sentence

_FIELD = re.compile(r"{(\w+)[^}]*}")


@lru_cache(maxsize=1024)
def in_english(label: str, language: str) -> frozenset[str]:
    """Return every English label that `label` may stand for; itself where no sentence fits."""
    if language == "en":
        return frozenset({label})
    return frozenset(_said(label, language)) | {label}


def _said(label: str, language: str) -> Iterator[str]:
    for pattern, english in _sentences(language):
        found = pattern.fullmatch(label)
        if found is not None and set(_FIELD.findall(english)) <= set(found.groupdict()):
            yield english.format_map(found.groupdict())


@lru_cache(maxsize=2)
def _sentences(language: str) -> tuple[tuple[re.Pattern[str], str], ...]:
    """Each sentence as a pattern of the language, with its English; values are kept."""
    pairs = []
    for id_, forms in catalogue(language).forms.items():
        english = _forms(TABLE[id_]) if id_ in TABLE else ()
        for form, own in zip(forms, english, strict=False):
            if re.sub(r"\W", "", _FIELD.sub("", form)):  # not only values
                pairs.append((_pattern(form), own))
    return tuple(pairs)


def _forms(sentence: Sentence) -> tuple[str, ...]:
    return (sentence,) if isinstance(sentence, str) else (sentence.one, sentence.many)


def _pattern(sentence: str) -> re.Pattern[str]:
    """A sentence as a pattern; a value named twice has to be the same both times."""
    seen: set[str] = set()
    parts = _FIELD.split(sentence)
    for at in range(1, len(parts), 2):
        name = parts[at]
        parts[at] = f"(?P={name})" if name in seen else f"(?P<{name}>.+)"
        seen.add(name)
    return re.compile("".join(p if i % 2 else re.escape(p) for i, p in enumerate(parts)))
