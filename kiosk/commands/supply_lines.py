"""The supply of a job as titled lines, for the text of a plan and for its printed list."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from kiosk.commands.plan_supply import Supply
from kiosk.plan.need import Drawer
from kiosk.plan.purchase import Bought
from kiosk.words import Words

MM_PER_INCH = 25.4  # SI definition of the inch
Counts = Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Part:
    """A title and its lines, in the shop's language."""

    title: str
    lines: tuple[str, ...]


def supply_parts(supply: Supply, metric: bool, words: Words) -> Iterator[Part]:
    """Yield what there is to say: short, spares, buy, left over, in no pack, twins, unsized."""
    needs = [(need.drawer, need.shortage) for need in supply.needs]
    spares = [(need.drawer, need.spares) for need in supply.needs]
    over = [(each.drawer, each.leftover) for each in supply.purchases]
    bare = [(each.drawer, each.uncovered) for each in supply.purchases]
    if supply.counted:
        yield from _drawers("short", needs, metric, words)
    yield from _drawers("spares", spares, metric, words)
    yield from _purchase(supply, metric, words)
    yield from _drawers("leftover", over, metric, words)
    if supply.sold:
        yield from _drawers("bare", bare, metric, words)
    if supply.twins:
        pairs = tuple(" / ".join(pair) for pair in supply.twins)
        yield Part(words("picks.twins"), (words("picks.twins_are", pairs=pairs),))
    if supply.unsized:
        line = words("picks.unsized_are", count=supply.unsized)
        yield Part(words("picks.unsized"), (line,))


def drawer_text(drawer: Drawer, metric: bool, words: Words) -> str:
    """Return a drawer in one line: `white smooth-film, 10 in, layer 2 of 2`."""
    layer = "drawer" if drawer.layers == 1 else "drawer_layer"
    return words(
        f"picks.{layer}",
        colour=drawer.colour,
        material=drawer.material,
        height=height_text(drawer.height_inches, metric, words),
        layer=drawer.layer,
        layers=drawer.layers,
    )


def height_text(inches: float, metric: bool, words: Words) -> str:
    """Return a height in the shop's unit."""
    length = f"{inches * MM_PER_INCH:.0f}" if metric else words.number(f"{inches:g}")
    return words("work.millimetres" if metric else "work.inches", length=length)


def counts_text(counts: Counts, words: Words) -> str:
    """Return `0×4  7×2`; pieces without a character are only counted."""
    named = "  ".join(f"{c}×{n}" for c, n in counts.items() if c)
    return named or words("command.plan.pieces", count=sum(counts.values()))


def _drawers(
    word: str, held: list[tuple[Drawer, Counts]], metric: bool, words: Words
) -> Iterator[Part]:
    lines = tuple(
        f"{drawer_text(drawer, metric, words)}: {counts_text(counts, words)}"
        for drawer, counts in held
        if counts
    )
    if lines:
        yield Part(words(f"picks.{word}"), lines)


def _purchase(supply: Supply, metric: bool, words: Words) -> Iterator[Part]:
    lines = tuple(
        f"{drawer_text(each.drawer, metric, words)}: {_bought(bought, words)}"
        for each in supply.purchases
        for bought in each.bought
    )
    if lines:
        yield Part(words("picks.buy", price=_money(supply.price, words)), lines)


def _bought(bought: Bought, words: Words) -> str:
    return words(
        "picks.bought_one" if bought.character else "picks.bought",
        count=bought.count,
        pack=bought.pack.title,
        character=bought.character,
        price=_money(bought.price, words),
    )


def _money(hundredths: int, words: Words) -> str:
    return words.number(f"{hundredths // 100}.{hundredths % 100:02d}")
