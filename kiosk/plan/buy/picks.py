"""What to pull from the drawers for a job: digits and letters, never who wears them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from kiosk.catalog.base import characters as characters
from kiosk.catalog.model import BY_CODE, RosterLine
from kiosk.plan.model import Piece, Plan
from kiosk.plan.place.placement import Heights, class_of, element_heights

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


@dataclass(frozen=True, slots=True)
class BagPiece:
    """What goes into a garment's bag for one piece: `characters` in the order they are read."""

    piece: Piece
    height_inches: float
    characters: tuple[str, ...]


AS_PLANNED: Heights = {}


def count_picks(
    plan: Plan, roster: Iterable[RosterLine], heights: Heights = AS_PLANNED
) -> Mapping[Pick, int]:
    """Return how many of each character the whole roster takes, scrap and spares not counted.

    `heights` are those that the roster's names made lower (see `fitted_heights`).
    A garment of a size that nobody knows takes none yet: see `without_size`.
    """
    letters: dict[tuple[str, int], Counter[str]] = {}
    for line in roster:
        if line.size not in BY_CODE:
            continue
        for place, piece in enumerate(plan.pieces):
            found = letters.setdefault((line.size, place), Counter())
            found.update(_characters(piece, line))
    counts: Counter[Pick] = Counter()
    for (size, place), found in letters.items():
        piece = plan.pieces[place]
        height = _height(plan, piece, size, heights)
        for character, count in found.items():
            counts[_pick(piece, height, character)] += count
    return counts


def without_size(roster: Iterable[RosterLine]) -> tuple[RosterLine, ...]:
    """Return the lines whose size is in no table: their pieces have no height yet."""
    return tuple(line for line in roster if line.size not in BY_CODE)


def bag(plan: Plan, line: RosterLine, heights: Heights = AS_PLANNED) -> tuple[BagPiece, ...]:
    """Return what goes into the bag of one garment, in the recipe's order, from the fabric up.

    A piece without characters is left out (a garment may have no name); so is everything for
    a size that nobody knows.
    """
    if line.size not in BY_CODE:
        return ()
    found = []
    for piece in plan.pieces:
        height = _height(plan, piece, line.size, heights)
        held = tuple(_characters(piece, line))
        if held:
            found.append(BagPiece(piece, height, held))
    return tuple(found)


def element_text(element: str, line: RosterLine) -> str | None:
    """Return what an element shows on a garment, None where it is not from the roster."""
    return {"name": line.name, "number": line.number}.get(element)


def _height(plan: Plan, piece: Piece, size: str, heights: Heights) -> float:
    fitted = heights.get((piece.panel, piece.element, class_of(size)))
    return fitted or element_heights(plan, piece.panel, size)[piece.element]


def _pick(piece: Piece, height: float, character: str) -> Pick:
    return Pick(
        piece.panel, piece.element, piece.layer, piece.colour, piece.material, height, character
    )


def _characters(piece: Piece, line: RosterLine) -> list[str]:
    text = element_text(piece.element, line)
    return [PIECE] if text is None else characters(text)
