"""Letters that are not what they look like, and numbers that read as others upside down."""

from __future__ import annotations

import unicodedata
from collections import Counter
from collections.abc import Collection

# Pairs that look alike in capitals and small letters; by their shapes, from memory.
_ALIKE = {
    "LATIN": "ABCEHIJKMNOPSTXYZaceijopsxy",
    "CYRILLIC": "АВСЕНІЈКМ ОРЅТХУ асеіјорѕху",
    "GREEK": "ΑΒϹΕΗΙͿΚΜΝΟΡ ΤΧΥΖ    ϳο    ",
}
_ONE_SCRIPT = {"HIRAGANA": "CJK", "KATAKANA": "CJK"}  # Japanese is written with all three


_LETTERS_END = "\u0250"  # Ĳ and Ǆ before it are letters of languages, not another form of two


def plain_form(text: str) -> str:
    """Return a text with full-width letters, ligatures and the like as plain ones."""
    return "".join(unicodedata.normalize("NFKC", c) if _is_form(c) else c for c in text)


def _is_form(character: str) -> bool:
    tag = unicodedata.decomposition(character)[:1]
    return tag == "<" and (character >= _LETTERS_END or character in "ªº")


def alphabets(text: str) -> Counter[str]:
    """Return how many letters of each alphabet a text has: `LATIN`, `CYRILLIC`."""
    return Counter(alphabet(c) for c in text if unicodedata.category(c) in {"Lu", "Ll", "Lt", "Lo"})


def alphabet(letter: str) -> str:
    """Return the alphabet of a letter, the first word of its name in Unicode."""
    script = unicodedata.name(letter, "UNNAMED").split()[0]
    return _ONE_SCRIPT.get(script, script)


def mixed(text: str) -> tuple[str, ...]:
    """Return the letters that are not of the alphabet that most of a text's letters are of."""
    found = alphabets(text)
    if len(found) < 2:
        return ()
    usual = found.most_common(1)[0][0]
    letters = (c for c in text if alphabets(c) and alphabet(c) != usual)
    return tuple(dict.fromkeys(letters))


def in_one_alphabet(text: str) -> tuple[str, ...]:
    """Return what a mixed text looks like in one alphabet, its usual one first."""
    order = [script for script, _ in alphabets(text).most_common() if script in _ALIKE]
    found = (_in(text, script) for script in order)
    return tuple(dict.fromkeys(each for each in found if each and each != text))


def _in(text: str, script: str) -> str:
    """A text in one alphabet by its look-alikes; empty where a letter has none."""
    written = []
    for character in text:
        if not alphabets(character) or alphabet(character) == script:
            written.append(character)
            continue
        own = _ALIKE.get(alphabet(character), "")
        other = _ALIKE[script][own.index(character)] if character in own else " "
        if other == " ":
            return ""
        written.append(other)
    return "".join(written)


_TURNED = {"0": "0", "1": "1", "6": "9", "8": "8", "9": "6"}


def twin(number: str) -> str | None:
    """Return what `number` reads as upside down: 16 for 91; None where it is not another one.

    Only digits that are digits when turned count: 0, 1, 6, 8 and 9.
    """
    if not number or any(digit not in _TURNED for digit in number):
        return None
    turned = "".join(_TURNED[digit] for digit in reversed(number))
    return None if turned == number else turned


def has_twin(number: str, numbers: Collection[str]) -> bool:
    """Return whether `number` upside down is another one of `numbers`."""
    return twin(number) in numbers
