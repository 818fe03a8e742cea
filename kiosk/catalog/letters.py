"""A text as the characters that are pulled, cut and counted one by one."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping

from kiosk.catalog.message import say
from kiosk.catalog.spots import Spot
from kiosk.catalog.values import whole

MOST_PIECES = 9_999


def characters(text: str) -> list[str]:
    """Return the characters to pull for `text`: accents stay on their letter, spaces need none."""
    if text.isascii():  # nearly all are, and a roster has thousands
        return [character for character in text if not character.isspace()]
    found: list[str] = []
    for character in unicodedata.normalize("NFC", text):
        if unicodedata.combining(character) and found:
            found[-1] += character
        elif not character.isspace():
            found.append(character)
    return found


def character_set(spot: Spot) -> frozenset[str]:
    """Return the characters that stand at `spot` in one word; Unsound where one stands twice."""
    found = characters(spot.scalar())
    if len(set(found)) < len(found):
        twice = next(c for c in found if found.count(c) > 1)
        raise spot.wrong(say("catalog.letters.twice", character=twice))
    return frozenset(found)


def pieces(spot: Spot) -> Mapping[str, int]:
    """Return how many of each character a map at `spot` holds, each at most MOST_PIECES."""
    found = {}
    for word, entry in spot.entries().items():
        one = characters(word)
        if len(one) != 1:
            raise entry.wrong(say("catalog.letters.one"))
        found[one[0]] = whole(0, MOST_PIECES)(entry)
    if not any(found.values()):
        raise spot.wrong(say("catalog.asked.one"))
    return found
