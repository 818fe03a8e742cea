"""The order of work: fewest changes of size, youth to adult, and twins never side by side.

The changes of setting are decided before: the passes of a plan go run by run, and a run keeps
one setting. This is the order of the garments within each run.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from typing import Generic, Protocol, TypeVar

from kiosk.catalog.sizes import BY_CODE
from kiosk.catalog.twins import twin


class Sized(Protocol):
    """What the order looks at: a roster line, or a garment that the log knows."""

    @property
    def number(self) -> str:
        """The number on it, "" for none."""

    @property
    def size(self) -> str:
        """The size's code."""


T = TypeVar("T", bound=Sized)
UNKNOWN_RANK = 100  # sizes of no table come last, by name


@dataclass(frozen=True, slots=True)
class Order(Generic[T]):
    """Garments as they are loaded; `beside` are twins that nothing could part, as (6, 9)."""

    garments: tuple[T, ...]
    beside: tuple[tuple[str, str], ...]

    @property
    def size_changes(self) -> int:
        """How often another size is loaded than before."""
        return _changes(self.garments)


def in_order(garments: Sequence[T]) -> Order[T]:
    """Return the garments by size, within a size as the roster has them, twins parted.

    Parting twins comes before sizes: a twin that its own size cannot part goes on by as few
    changes of size as one move can do it with.
    """
    found: list[T] = sorted(garments, key=_by_size)
    twins = {g.number: twin(g.number) for g in found}
    while (better := _parted(found, twins) or _swept(found, twins)) is not None:
        found = better
    return Order(tuple(found), tuple(_beside(found, twins)))


def _by_size(garment: Sized) -> tuple[int, str]:
    size = BY_CODE.get(garment.size)
    return (UNKNOWN_RANK, garment.size) if size is None else (size.rank, "")


def _changes(garments: Sequence[Sized]) -> int:
    return sum(a.size != b.size for a, b in pairwise(garments))


def _beside(garments: Sequence[Sized], twins: dict[str, str | None]) -> list[tuple[str, str]]:
    pairs = pairwise(garments)
    return [(a.number, b.number) for a, b in pairs if twins[a.number] == b.number]


def _parted(garments: list[T], twins: dict[str, str | None]) -> list[T] | None:
    """Return the order with one garment moved so that fewer twins stand side by side.

    Of all such moves the one with the fewest changes of size, then the shortest.
    """
    places = range(1, len(garments))
    at = next((n for n in places if twins[garments[n - 1].number] == garments[n].number), 0)
    if not at:
        return None
    moves = _Moves(garments, twins)
    away = [(a, to) for a in (at, at - 1) for to in range(len(garments)) if to != a]
    between = [(a, at if a > at else at - 1) for a in range(len(garments)) if a not in (at - 1, at)]
    costs = ((moves.cost(a, to), abs(a - to), a, to) for a, to in (*away, *between))
    gains = [cost for cost in costs if cost[0][0] < 0]
    if not gains:
        return None
    _, _, taken, to = min(gains)
    moved = garments[:taken] + garments[taken + 1 :]
    moved.insert(to, garments[taken])
    return moved


def _swept(garments: list[T], twins: dict[str, str | None]) -> list[T] | None:
    """Return an order with fewer twins side by side where no single move finds one.

    First one of each pair, then what has no twin, then the others: within one size, or else
    through all sizes twice.
    """
    by_size = [list(group) for _, group in groupby(garments, key=lambda g: g.size)]
    tries = []
    for n, group in enumerate(by_size):
        for sweep in _sweeps(group, twins):
            tries.append([g for one in (*by_size[:n], sweep, *by_size[n + 1 :]) for g in one])
    tries += _sweeps(sorted(garments, key=_by_size), twins)
    now = len(_beside(garments, twins))
    return next((t for t in tries if len(_beside(t, twins)) < now), None)


def _sweeps(garments: list[T], twins: dict[str, str | None]) -> list[list[T]]:
    """Return both ways of loading all of one side of each pair before any of the other."""

    def side(garment: T) -> int:
        other = twins[garment.number]
        return 0 if other is None else (-1 if garment.number < other else 1)

    there = sorted(garments, key=side)
    back = sorted(garments, key=lambda g: -side(g))
    # Where there are only pairs, the two that meet in the middle must not be one of them.
    least = min((g.number for g in there if side(g) < 0), default="")
    pair = {least, twins.get(least)}
    late = sorted(there, key=lambda g: (side(g), g.number in pair))
    early = sorted(there, key=lambda g: (side(g), g.number != least))
    return [there, back, late, early]


@dataclass(frozen=True, slots=True)
class _Moves(Generic[T]):
    garments: list[T]
    twins: dict[str, str | None]

    def cost(self, taken: int, to: int) -> tuple[int, int]:
        """Return by how much twins side by side and changes of size grow when one is moved."""
        here = self.garments[taken]
        gap = to if to < taken else to + 1  # before which garment it comes, as they stand now
        before = self._sum((taken - 1, here), (here, taken + 1), (gap - 1, gap))
        after = self._sum((taken - 1, taken + 1), (gap - 1, here), (here, gap))
        return after[0] - before[0], after[1] - before[1]

    def _sum(self, *pairs: tuple[int | T, int | T]) -> tuple[int, int]:
        costs = [self._pair(first, second) for first, second in pairs]
        return sum(cost[0] for cost in costs), sum(cost[1] for cost in costs)

    def _pair(self, first: int | T, second: int | T) -> tuple[int, int]:
        """Return (twins, change of size) of two neighbours; none at an end."""
        a, b = self._at(first), self._at(second)
        if a is None or b is None:
            return 0, 0
        return int(self.twins[a.number] == b.number), int(a.size != b.size)

    def _at(self, which: int | T) -> T | None:
        if not isinstance(which, int):
            return which
        return self.garments[which] if 0 <= which < len(self.garments) else None
