"""The picks of a job, drawer by drawer, as both forms of the plan list them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kiosk.plan.model import Plan
from kiosk.plan.picks import PIECE, Pick


@dataclass(frozen=True, slots=True)
class PickGroup:
    """One colour, height (inches) and layer of an element: how many of each character.

    `characters` is empty for pieces without text; `count` are all pieces of the group.
    """

    panel: str
    element: str
    layer: int
    colour: str
    material: str
    height_inches: float
    characters: tuple[tuple[str, int], ...]
    count: int


def grouped_picks(plan: Plan, counts: Mapping[Pick, int]) -> list[PickGroup]:
    """Return what to pull (see `count_picks`), in the recipe's order, characters sorted."""
    found: dict[tuple[str, str, int, str, str, float], list[tuple[str, int]]] = {}
    order = [(piece.panel, piece.element, piece.layer) for piece in plan.pieces]
    picks = sorted(counts, key=lambda p: (order.index((p.panel, p.element, p.layer)), p))
    for pick in picks:
        key = (
            pick.panel,
            pick.element,
            pick.layer,
            pick.colour,
            pick.material,
            pick.height_inches,
        )
        found.setdefault(key, []).append((pick.character, counts[pick]))
    return [
        PickGroup(
            *key,
            characters=tuple((c, n) for c, n in characters if c != PIECE),
            count=sum(n for _, n in characters),
        )
        for key, characters in found.items()
    ]
