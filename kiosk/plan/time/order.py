"""The order of work: fewest changes of size, youth to adult, and twins never side by side.

The order is cut into batches when several presses share it (`batches`).

Changes of setting are decided earlier: the passes of a plan go run by run, and a run keeps one
setting. This is the order of the garments within each run.

A size whose garments are all one pair of twins cannot part them: it is loaded in two halves with
another size between, at the price of one change. All other sizes stay whole. The halves and sizes
are then laid end to end, always the smallest that fits; what must not be left over is one pair of
twins alone (`_Rest.stuck`).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby, pairwise
from typing import Generic, Protocol, TypeVar

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import size_rank
from kiosk.catalog.roster import twin


class Sized(Protocol):
    """The fields that ordering needs: a roster line, or a garment that the log knows."""

    @property
    def number(self) -> str:
        """The number on it, or ""."""

    @property
    def size(self) -> str:
        """The size's code."""

    @property
    def set(self) -> str:
        """Which of a player's garments it is, home or away; "" if the roster has no sets."""


T = TypeVar("T", bound=Sized)


@dataclass(frozen=True, slots=True)
class LoadingOrder(Generic[T]):
    """Garments in loading order; `adjacent_twins` are those that could not be parted, as (6, 9)."""

    garments: tuple[T, ...]
    adjacent_twins: tuple[tuple[str, str], ...]

    @property
    def size_changes(self) -> int:
        """How many times the size changes from one garment to the next."""
        return sum(a.size != b.size for a, b in pairwise(self.garments))


def in_order(garments: Sequence[T]) -> LoadingOrder[T]:
    """Return the garments by size, then set, else in roster order, with twins parted.

    Parting twins comes before sizes; both counts are as low as any order allows.
    """
    sets = {each: nth for nth, each in enumerate(dict.fromkeys(g.set for g in garments))}
    found: list[T] = sorted(garments, key=lambda g: (size_rank(g.size), sets[g.set]))
    twins = _twins_among(found)
    if len(twins) == 2 and all(g.number in twins for g in found):
        found = _one_pair(found)
    elif twins:
        found = _Bench(found, twins).load_all()
    neighbours = ((a.number, b.number) for a, b in pairwise(found))
    return LoadingOrder(tuple(found), tuple((a, b) for a, b in neighbours if twins.get(a) == b))


def _twins_among(garments: Iterable[Sized]) -> dict[str, str]:
    """Return the twin of each number whose twin is among the garments too."""
    numbers = {g.number for g in garments}
    pairs = ((number, twin(number)) for number in numbers)
    return {number: other for number, other in pairs if other in numbers}


def _one_pair(garments: list[T]) -> list[T]:
    """Return all of one twin, then all of the other: they meet once, in a size that both have."""
    first = garments[0].number
    one, other = ([g for g in garments if (g.number == first) is side] for side in (True, False))
    both = {g.size for g in other}
    meet = next((g.size for g in reversed(one) if g.size in both), "")
    return sorted(one, key=lambda g: g.size == meet) + sorted(other, key=lambda g: g.size != meet)


@dataclass(slots=True)
class _Rest:
    """The numbers still to be loaded, counted."""

    twins: dict[str, str]
    count: Counter[str]

    @classmethod
    def of(cls, garments: Iterable[Sized], twins: dict[str, str]) -> _Rest:
        return cls(twins, Counter(g.number if g.number in twins else "" for g in garments))

    def take(self, garment: Sized, back: bool = False) -> None:
        """Take one garment out, or put it `back`."""
        number = garment.number if garment.number in self.twins else ""
        self.count[number] += 1 if back else -1
        if not self.count[number]:
            del self.count[number]

    def stuck(self, last: str) -> bool:
        """Whether what is left after `last` cannot be parted: only one pair, and both of it."""
        if not self.count or len(self.count) > 2 or "" in self.count:
            return False
        number = next(iter(self.count))
        pair = {number, self.twins[number]}
        return (self.count.keys() | ({last} & pair)) == pair


class _Bench(Generic[T]):
    """Garments that are not all one pair of twins, loaded size block by size block."""

    def __init__(self, garments: list[T], twins: dict[str, str]) -> None:
        self._twins = twins
        self._rest = _Rest.of(garments, twins)
        self._blocks = list(_blocks(garments, twins))
        self._loaded: list[T] = []

    def load_all(self) -> list[T]:
        """Return all garments in loading order."""
        while self._blocks:
            if not any(self._load(n) for n in range(len(self._blocks))):
                rest = [g for block in self._blocks for g in block]
                return self._loaded + (_part_twins(rest, self._twins, self._last) or rest)
        return self._loaded

    @property
    def _last(self) -> str:
        return self._loaded[-1].number if self._loaded else ""

    def _load(self, nth: int) -> bool:
        """Load a block if it fits here and what is left can be parted."""
        block = self._blocks[nth]
        after = self._blocks[:nth] + self._blocks[nth + 1 :]
        for garment in block:
            self._rest.take(garment)
        for parted in self._ways(block, after):
            if not self._rest.stuck(parted[-1].number):
                self._loaded += parted
                self._blocks = after
                return True
        for garment in block:
            self._rest.take(garment, back=True)
        return False

    def _ways(self, block: list[T], after: list[list[T]]) -> Iterator[list[T]]:
        """Yield the block with its twins parted, preferring an end that suits the next block."""
        plain = _part_twins(block, self._twins, self._last)
        ahead = {g.number for g in after[0]} if after else set()
        barred = self._twins.get(ahead.pop(), "") if len(ahead) == 1 else ""
        if plain is not None and (not barred or plain[-1].number != barred):
            yield plain
        ends = {g.number: g for g in block}
        for end in sorted(ends.values(), key=lambda g: g.number == barred):
            rest = [g for g in block if g is not end]
            way = _part_twins(rest, self._twins, self._last, end)
            if way is not None:
                yield [*way, end]


def _blocks(garments: Sequence[T], twins: dict[str, str]) -> Iterator[list[T]]:
    """Yield the garments of each size; a size of one pair of twins alone gives two halves."""
    for _, group in groupby(garments, key=lambda g: g.size):
        block = list(group)
        first = block[0].number
        pair = {first, twins.get(first)}
        if {g.number for g in block} == pair:
            yield [g for g in block if g.number == first]
            yield [g for g in block if g.number != first]
        else:
            yield block


def _part_twins(
    garments: Sequence[T], twins: dict[str, str], last: str, end: T | None = None
) -> list[T] | None:
    """Return the garments with no twins adjacent, taking the earliest that fits; None if no order.

    They follow the number `last`, and `end` follows them.
    """
    remaining, loaded = list(garments), list[T]()
    rests = [_Rest.of(remaining, twins)]
    if end is not None:
        rests.append(_Rest.of([*remaining, end], twins))
    while remaining:
        nth = next((n for n, g in enumerate(remaining) if _fits(g, last, twins, rests)), None)
        if nth is None:
            return None
        loaded.append(remaining.pop(nth))
        last = loaded[-1].number
    meets = end is not None and twins.get(end.number, "-") == last
    return None if meets else loaded


def _fits(garment: Sized, last: str, twins: dict[str, str], rests: Sequence[_Rest]) -> bool:
    """Take a garment from what is left if it can follow `last` and the others can follow it."""
    if twins.get(garment.number, "-") == last:
        return False
    for rest in rests:
        rest.take(garment)
    if not any(rest.stuck(garment.number) for rest in rests):
        return True
    for rest in rests:
        rest.take(garment, back=True)
    return False


FEWEST, MOST = 4, 12  # garments per batch: half an hour at a press; common practice, no source
PARTS = 8  # batches per order, so that the presses end at about the same time


def batches(garments: Sequence[T], runs: int = 1) -> tuple[tuple[T, ...], ...]:
    """Return an order of work cut into batches for several presses.

    A size is split only if it is larger than a batch, then evenly. With several `runs` a batch is
    that many times larger, since each batch changes the setting that often.
    """
    most = min(max(FEWEST, -(-len(garments) // PARTS)), MOST) * max(1, runs)
    found: list[tuple[T, ...]] = []
    for part in _parts_of_sizes(garments, most):
        if found and len(found[-1]) + len(part) <= most:
            found[-1] += part
        else:
            found.append(part)
    return tuple(found)


def _parts_of_sizes(garments: Sequence[T], most: int) -> Iterator[tuple[T, ...]]:
    for _, group in groupby(garments, key=lambda g: g.size):
        of_one_size = tuple(group)
        parts = -(-len(of_one_size) // most)
        cuts = [len(of_one_size) * n // parts for n in range(parts + 1)]
        yield from (of_one_size[a:b] for a, b in pairwise(cuts))
