"""Spares, purchase, leftover and shortage of a job, computed once for every form of output."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import Catalog, Job
from kiosk.catalog.roster import twins
from kiosk.catalog.rules import read_face
from kiosk.plan import (
    PIECE,
    Drawer,
    Need,
    PacksBought,
    Pick,
    Purchase,
    count_picks,
    needs,
    purchases,
    without_size,
)
from kiosk.plan.model import Plan
from kiosk.plan.place import Heights, fitted_heights
from kiosk.plan.time import PastCycles
from kiosk.words import Words

Object = dict[str, Any]
Counts = Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Supply:
    """What the drawers must supply and what is bought for it, drawer by drawer.

    `counts_stock`: the shop counts its stock; `knows_packs`: it knows any packs.
    `heights` are those lowered to fit the roster's names.
    `titles` are the materials' display names, by key.
    `unsized` is the number of garments whose pieces have no height yet.
    """

    picks: Mapping[Pick, int]
    needs: tuple[Need, ...]
    purchases: tuple[Purchase, ...]
    twins: tuple[tuple[str, str], ...]
    unsized: int
    counts_stock: bool
    knows_packs: bool
    heights: Heights
    titles: Mapping[str, str]

    @property
    def price(self) -> int:
        """Price of the whole purchase, in hundredths."""
        return sum(each.price for each in self.purchases)


def supply_of(plan: Plan, job: Job, catalog: Catalog) -> Supply:
    """Return what the job takes from this shop's drawers."""
    heights = fitted_heights(plan, job.roster, read_face())
    picks = count_picks(plan, job.roster, heights)
    lacking = needs(plan, picks, catalog.packs, catalog.stock)
    return Supply(
        picks=picks,
        needs=lacking,
        purchases=purchases(lacking, catalog.packs),
        twins=twins({line.number for line in job.roster}),
        unsized=len(without_size(job.roster)),
        counts_stock=catalog.stock is not None,
        knows_packs=bool(catalog.packs.packs),
        heights=heights,
        titles=plan.sources.material_titles,
    )


def to_object(supply: Supply) -> Object:
    """Return the supply as additional keys of `picks` in `kiosk plan --json`.

    Prices are in the shop's money. `shortage` is null if the stock is not counted.
    """
    short = [_drawer_counts(need.drawer, need.shortage) for need in supply.needs if need.shortage]
    return {
        "spares": [
            _drawer_counts(need.drawer, need.spares) for need in supply.needs if need.spares
        ],
        "purchase": [
            _bought_packs(each.drawer, packs) for each in supply.purchases for packs in each.bought
        ],
        "purchase_price": supply.price / 100,
        "leftover": [
            _drawer_counts(each.drawer, each.leftover) for each in supply.purchases if each.leftover
        ],
        "not_in_packs": [
            _drawer_counts(each.drawer, each.uncovered)
            for each in supply.purchases
            if each.uncovered
        ],
        "shortage": short if supply.counts_stock else None,
        "twins": [list(pair) for pair in supply.twins],
        "garments_without_size": supply.unsized,
    }


def _drawer_counts(drawer: Drawer, counts: Counts) -> Object:
    return {**_drawer(drawer), "count": sum(counts.values()), "characters": _by_character(counts)}


def _bought_packs(drawer: Drawer, packs: PacksBought) -> Object:
    return {
        "pack": packs.pack.key,
        "character": packs.character or None,
        "count": packs.count,
        "price": packs.price / 100,
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


def _by_character(counts: Counts) -> Counts:
    """Return the counts without pieces that have no character."""
    return {character: n for character, n in counts.items() if character}


@dataclass(frozen=True, slots=True)
class SupplySection:
    """A title and its lines, in the shop's language."""

    title: str
    lines: tuple[str, ...]


def supply_sections(supply: Supply, metric: bool, words: Words) -> Iterator[SupplySection]:
    """Yield what applies: short, spares, buy, left over, in no pack, twins, unsized."""

    def label_of(drawer: Drawer) -> str:
        return drawer_text(drawer, supply.titles, metric, words)

    shortages = [(need.drawer, need.shortage) for need in supply.needs]
    spares = [(need.drawer, need.spares) for need in supply.needs]
    leftovers = [(each.drawer, each.leftover) for each in supply.purchases]
    uncovered = [(each.drawer, each.uncovered) for each in supply.purchases]
    if supply.counts_stock:
        yield from _drawers("short", shortages, words, label_of)
    yield from _drawers("spares", spares, words, label_of)
    yield from _purchase(supply, words, label_of)
    yield from _drawers("leftover", leftovers, words, label_of)
    if supply.knows_packs:
        yield from _drawers("bare", uncovered, words, label_of)
    if supply.twins:
        pairs = tuple(" / ".join(pair) for pair in supply.twins)
        yield SupplySection(words("picks.twins"), (words("picks.twins_are", pairs=pairs),))
    if supply.unsized:
        line = words("picks.unsized_are", count=supply.unsized)
        yield SupplySection(words("picks.unsized"), (line,))


def drawer_text(drawer: Drawer, titles: Mapping[str, str], metric: bool, words: Words) -> str:
    """Return a drawer in one line: `white (Smooth film), 10 in, layer 2 of 2`."""
    layer = "drawer" if drawer.layers == 1 else "drawer_layer"
    return words(
        f"picks.{layer}",
        film=film_text(drawer.colour, drawer.material, titles),
        height=words.height(drawer.height_inches, metric),
        layer=drawer.layer,
        layers=drawer.layers,
    )


def film_text(colour: str, material: str, titles: Mapping[str, str]) -> str:
    """Return a film by its colour, if any, and its material's title or else key."""
    title = titles.get(material, material)
    if not colour:
        return title
    return f"{colour} {material}" if title == material else f"{colour} ({title})"


def counts_text(counts: Counts, words: Words) -> str:
    """Return `0×4  7×2`, or only a count if the pieces have no character."""
    by_character = "  ".join(f"{c}×{n}" for c, n in counts.items() if c)
    return by_character or words("command.plan.pieces", count=sum(counts.values()))


def _drawers(
    word: str, drawers: list[tuple[Drawer, Counts]], words: Words, label_of: Callable[[Drawer], str]
) -> Iterator[SupplySection]:
    lines = tuple(
        f"{label_of(drawer)}: {counts_text(counts, words)}" for drawer, counts in drawers if counts
    )
    if lines:
        yield SupplySection(words(f"picks.{word}"), lines)


def _purchase(
    supply: Supply, words: Words, label_of: Callable[[Drawer], str]
) -> Iterator[SupplySection]:
    lines = tuple(
        f"{label_of(each.drawer)}: {_bought_line(packs, words)}"
        for each in supply.purchases
        for packs in each.bought
    )
    if lines:
        yield SupplySection(words("picks.buy", price=_money(supply.price, words)), lines)


def _bought_line(packs: PacksBought, words: Words) -> str:
    return words(
        "picks.bought_one" if packs.character else "picks.bought",
        count=packs.count,
        pack=packs.pack.title,
        character=packs.character,
        price=_money(packs.price, words),
    )


def _money(hundredths: int, words: Words) -> str:
    return words.number(f"{hundredths // 100}.{hundredths % 100:02d}")


@dataclass(frozen=True, slots=True)
class PickGroup:
    """One colour and height (inches) of an element's layer: `count` pieces, text by character."""

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
        key = (pick.panel, pick.element, pick.layer, pick.colour, pick.material, pick.height_inches)
        found.setdefault(key, []).append((pick.character, counts[pick]))
    return [
        PickGroup(
            *key,
            characters=tuple((c, n) for c, n in characters if c != PIECE),
            count=sum(n for _, n in characters),
        )
        for key, characters in found.items()
    ]


PastByRun = Mapping[int, PastCycles]
