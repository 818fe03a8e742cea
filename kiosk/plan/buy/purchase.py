"""What to buy for a job, what is then left over, and what no pack holds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from kiosk.catalog.model import Pack, Packs
from kiosk.plan.buy.cover import Cover, cheapest, coverable
from kiosk.plan.buy.need import Drawer, Need

Counts = Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Bought:
    """Packs of one kind for one drawer; `character` is empty for a kit. Prices in hundredths."""

    pack: Pack
    character: str
    count: int

    @property
    def price(self) -> int:
        """What all of them cost."""
        return self.count * self.pack.price

    def pieces(self) -> Counts:
        """Return what all of them hold."""
        held = {self.character: self.pack.of_one} if self.character else self.pack.mix
        return {c: n * self.count for c, n in held.items()}


@dataclass(frozen=True, slots=True)
class Purchase:
    """The cheapest purchase for a drawer.

    `leftover` is what stock and packs hold beyond pieces and spares; `uncovered` is what is
    missing and in no pack: it is cut, or ordered by itself.
    """

    drawer: Drawer
    bought: tuple[Bought, ...]
    leftover: Counts
    uncovered: Counts

    @property
    def price(self) -> int:
        """What it costs, in hundredths."""
        return sum(each.price for each in self.bought)


def purchases(needs: Iterable[Need], packs: Packs) -> tuple[Purchase, ...]:
    """Return the cheapest purchase for each drawer, in the order of `needs`."""
    return tuple(_purchase(need, packs.packs) for need in needs)


def _purchase(need: Need, packs: Sequence[Pack]) -> Purchase:
    drawer, missing = need.drawer, need.shortage
    fitting = [p for p in packs if p.fits(drawer.material, drawer.colour, drawer.height_inches)]
    wanted = coverable(missing, fitting)
    bought = _bought(cheapest(wanted, fitting), fitting) if wanted else ()
    uncovered = {c: n for c, n in missing.items() if c not in wanted}
    return Purchase(drawer, bought, _leftover(need, bought), uncovered)


def _bought(cover: Cover, packs: Sequence[Pack]) -> tuple[Bought, ...]:
    by_key = {pack.key: pack for pack in packs}
    kits = [Bought(by_key[key], "", count) for key, count in sorted(cover.kits.items())]
    singles = [
        Bought(by_key[key], character, count)
        for (key, character), count in sorted(cover.singles.items())
    ]
    return (*kits, *singles)


def _leftover(need: Need, bought: Iterable[Bought]) -> Counts:
    held = dict(need.stock)
    for each in bought:
        for character, count in each.pieces().items():
            held[character] = held.get(character, 0) + count
    over = {c: n - need.total(c) for c, n in held.items()}
    return {c: n for c, n in sorted(over.items()) if n > 0}
