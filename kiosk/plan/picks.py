"""What to pull from the drawers for a job: digits and letters, never who wears them."""

from __future__ import annotations

import unicodedata
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from kiosk.catalog.model import RosterLine
from kiosk.plan.model import Piece, Plan
from kiosk.plan.placement import element_heights

PIECE = ""  # the character of an element that has no text of the roster: one piece a garment


@dataclass(frozen=True, slots=True, order=True)
class Pick:
    """One drawer: `character` of `element` in a colour, height (inches), layer and material."""

    panel: str
    element: str
    layer: int
    colour: str
    material: str
    height_inches: float
    character: str


def count_picks(plan: Plan, roster: Iterable[RosterLine]) -> Mapping[Pick, int]:
    """Return how many of each character the whole roster takes, scrap not counted."""
    counts: Counter[Pick] = Counter()
    for line in roster:
        for piece in plan.pieces:
            height = element_heights(plan, piece.panel, line.size)[piece.element]
            counts.update(
                Pick(
                    piece.panel,
                    piece.element,
                    piece.layer,
                    piece.colour,
                    piece.material,
                    height,
                    character,
                )
                for character in _characters(piece, line)
            )
    return counts


def element_text(element: str, line: RosterLine) -> str | None:
    """Return what an element shows on a garment, None where it is not from the roster."""
    return {"name": line.name, "number": line.number}.get(element)


def characters(text: str) -> list[str]:
    """Return the characters to pull for `text`: accents stay on their letter, spaces need none."""
    found: list[str] = []
    for character in unicodedata.normalize("NFC", text):
        if unicodedata.combining(character) and found:
            found[-1] += character
        elif not character.isspace():
            found.append(character)
    return found


def _characters(piece: Piece, line: RosterLine) -> list[str]:
    text = element_text(piece.element, line)
    return [PIECE] if text is None else characters(text)
