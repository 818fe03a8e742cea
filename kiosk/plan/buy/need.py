"""What a job takes from the drawers: need, spares, stock, shortage. Never who wears it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from kiosk.catalog.model import Packs, SpareRule, Stock, same_height
from kiosk.plan.buy.picks import Pick
from kiosk.plan.model import Plan

Counts = Mapping[str, int]


@dataclass(frozen=True, slots=True, order=True)
class Drawer:
    """Pieces that are alike but for their character; height in inches.

    Where they go on the garment makes no difference, and which layer of how many does: what
    lies under is cut wider than what lies on it.
    """

    material: str
    colour: str
    height_inches: float
    layer: int
    layers: int


@dataclass(frozen=True, slots=True)
class Need:
    """What is to come out of one drawer, by character, and what is in it.

    `stock` is empty where nobody counts it. The character of a piece without text is empty.
    """

    drawer: Drawer
    pieces: Counts
    spares: Counts = field(default_factory=dict)
    stock: Counts = field(default_factory=dict)

    @property
    def shortage(self) -> Counts:
        """How many are missing for the garments and their spares, where any are."""
        return {c: n for c in self.pieces if (n := self.total(c) - self.stock.get(c, 0)) > 0}

    def total(self, character: str) -> int:
        """Return pieces and spares of one character."""
        return self.pieces.get(character, 0) + self.spares.get(character, 0)


def needs(
    plan: Plan, picks: Mapping[Pick, int], packs: Packs, stock: Iterable[Stock] | None
) -> tuple[Need, ...]:
    """Return what each drawer must give for `picks` (see `count_picks`), all sorted."""
    held = tuple(stock or ())
    by_drawer: dict[Drawer, Counter[str]] = {}
    layers = {(piece.panel, piece.element): piece.layers for piece in plan.pieces}
    for pick, count in picks.items():
        drawer = drawer_of(pick, layers[pick.panel, pick.element])
        by_drawer.setdefault(drawer, Counter())[pick.character] += count
    return tuple(
        _need(drawer, dict(sorted(counts.items())), packs, held)
        for drawer, counts in sorted(by_drawer.items())
    )


def drawer_of(pick: Pick, layers: int) -> Drawer:
    """Return the drawer of a pick whose element has `layers` layers."""
    return Drawer(pick.material, pick.colour, pick.height_inches, pick.layer, layers)


def _need(drawer: Drawer, pieces: Counts, packs: Packs, held: tuple[Stock, ...]) -> Need:
    in_stock: Counter[str] = Counter()
    for stock in held:
        if _is(stock, drawer):
            in_stock.update({c: n for c, n in stock.pieces.items() if c in pieces})
    spares = {c: n for c in pieces if (n := _rule(c, packs).spares(pieces[c]))}
    return Need(drawer, pieces, spares, dict(in_stock))


def _rule(character: str, packs: Packs) -> SpareRule:
    if character.isdigit():
        return packs.digits
    return packs.letters if character[:1].isalpha() else packs.others


def _is(stock: Stock, drawer: Drawer) -> bool:
    return (
        (stock.material, stock.colour) == (drawer.material, drawer.colour)
        and (stock.layer, stock.layers) == (drawer.layer, drawer.layers)
        and same_height(stock.height, drawer.height_inches)
    )
