"""Spares, purchase, leftover and shortage of a job: put together once, shown in each form."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from kiosk.catalog.faces import read_face
from kiosk.catalog.model import Catalog, Job, RosterLine
from kiosk.catalog.twins import has_twin, twin
from kiosk.plan.model import Plan
from kiosk.plan.need import Drawer, Need, needs
from kiosk.plan.picks import Pick, count_picks, without_size
from kiosk.plan.placement import Heights, fitted_heights
from kiosk.plan.purchase import Bought, Purchase, purchases

Object = dict[str, Any]
Counts = Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Supply:
    """What the drawers must give and what is bought for it, drawer by drawer.

    `counted` tells whether the shop counts its stock, `sold` whether it knows any packs.
    `heights` are those that the roster's names made lower.
    `unsized` are the garments whose pieces have no height yet.
    """

    picks: Mapping[Pick, int]
    needs: tuple[Need, ...]
    purchases: tuple[Purchase, ...]
    twins: tuple[tuple[str, str], ...]
    unsized: int
    counted: bool
    sold: bool
    heights: Heights

    @property
    def price(self) -> int:
        """What the whole purchase costs, in hundredths."""
        return sum(each.price for each in self.purchases)


def supply(plan: Plan, job: Job, catalog: Catalog) -> Supply:
    """Return what the job takes from this shop's drawers."""
    heights = fitted_heights(plan, job.roster, read_face())
    picks = count_picks(plan, job.roster, heights)
    found = needs(plan, picks, catalog.packs, catalog.stock)
    return Supply(
        picks=picks,
        needs=found,
        purchases=purchases(found, catalog.packs),
        twins=twins(job.roster),
        unsized=len(without_size(job.roster)),
        counted=catalog.stock is not None,
        sold=bool(catalog.packs.packs),
        heights=heights,
    )


def twins(roster: Iterable[RosterLine]) -> tuple[tuple[str, str], ...]:
    """Return the pairs of numbers on the roster that turn into each other, each pair once."""
    numbers = {line.number for line in roster}
    return tuple(
        sorted(
            (number, turned)
            for number in numbers
            if has_twin(number, numbers) and (turned := twin(number)) and number < turned
        )
    )


def to_object(supply: Supply) -> Object:
    """Return the supply as the further keys of `picks` in `kiosk plan --json`.

    Prices are in the shop's money. `shortage` is null where nobody counts the stock.
    """
    short = [_held(need.drawer, need.shortage) for need in supply.needs if need.shortage]
    return {
        "spares": [_held(need.drawer, need.spares) for need in supply.needs if need.spares],
        "purchase": [
            _bought(each.drawer, bought) for each in supply.purchases for bought in each.bought
        ],
        "purchase_price": supply.price / 100,
        "leftover": [
            _held(each.drawer, each.leftover) for each in supply.purchases if each.leftover
        ],
        "not_in_packs": [
            _held(each.drawer, each.uncovered) for each in supply.purchases if each.uncovered
        ],
        "shortage": short if supply.counted else None,
        "twins": [list(pair) for pair in supply.twins],
        "garments_without_size": supply.unsized,
    }


def _held(drawer: Drawer, counts: Counts) -> Object:
    return {**_drawer(drawer), "count": sum(counts.values()), "characters": _named(counts)}


def _bought(drawer: Drawer, bought: Bought) -> Object:
    return {
        "pack": bought.pack.key,
        "character": bought.character or None,
        "count": bought.count,
        "price": bought.price / 100,
        **_drawer(drawer),
    }


def _drawer(drawer: Drawer) -> Object:
    inches = drawer.height_inches
    return {
        "material": drawer.material,
        "colour": drawer.colour,
        "height_in": int(inches) if inches == int(inches) else round(inches, 3),
        "layer": drawer.layer,
        "layers": drawer.layers,
    }


def _named(counts: Counts) -> Counts:
    """Leave out pieces that have no character."""
    return {character: n for character, n in counts.items() if character}
