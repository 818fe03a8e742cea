"""Splits a panel into closing groups and takes the split that the preferences put first."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, partial
from itertools import pairwise, product

from kiosk.catalog.model import Peel, Policy, Press
from kiosk.plan.settings.frames import GroupFrame, Shop, frames
from kiosk.plan.settings.group import Group, PieceLimits
from kiosk.plan.settings.limits import ClothLimits
from kiosk.plan.settings.search import Chosen, Search
from kiosk.plan.settings.seconds import all_left

# Groups in pressing order, each of elements by their place in the recipe.
Split = tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True)
class Bench:
    """All that a panel is solved with besides its pieces; `setting` in the press's degrees."""

    cloth: ClothLimits
    press: Press
    policy: Policy
    setting: int

    @property
    def tolerance(self) -> int:
        """The press's tolerance in its own whole degrees."""
        return self.press.tolerance.whole_in(self.press.unit)

    def shop(self, *, guarded: bool) -> Shop:
        """Return what a group's rules look at, with or without the margin of the tolerance."""
        return Shop(self.cloth, self.policy, self.tolerance if guarded else 0)


@dataclass(frozen=True, slots=True)
class Solution:
    """The groups of a panel as chosen; `guarded`: the margin above T is kept."""

    groups: tuple[Chosen, ...]
    guarded: bool


def best_solution(pieces: Sequence[PieceLimits], bench: Bench) -> Solution | None:
    """Return the preferred way to press `pieces`, or None if no combination exists.

    Every number of groups is tried with the margin before any is tried without.
    """
    for guarded in (True, False) if bench.policy.guard_fabric else (False,):
        shop = bench.shop(guarded=guarded)
        solved = Splitting(pieces, bench, cache(partial(frames, shop=shop))).fewest_groups()
        if solved is not None:
            return Solution(solved, guarded)
    return None


@dataclass(frozen=True, slots=True)
class Splitting:
    """The pieces of a panel to be split; `allowed` gives the temperatures of a group."""

    pieces: Sequence[PieceLimits]
    bench: Bench
    allowed: Callable[[Group], Mapping[int, GroupFrame]]

    def fewest_groups(self) -> tuple[Chosen, ...] | None:
        """Return the preferred split into as few groups as can be pressed."""
        elements = list(dict.fromkeys(p.element for p in self.pieces))
        for count in range(1, min(self.bench.policy.max_closings, len(elements)) + 1):
            found = [
                groups
                for split in sorted(_splits(len(elements), count))
                if (groups := self._solve([{elements[n] for n in group} for group in split]))
            ]
            if found:
                return min(found, key=_dislike)
        return None

    def _solve(self, split: Sequence[set[str]]) -> tuple[Chosen, ...] | None:
        allowed = []
        pressed: set[str] = set()
        for names in split:
            allowed.append(self.allowed(self._group(names, pressed)))
            if not allowed[-1]:
                return None
            pressed |= names
        search = Search(allowed, self.bench.policy.keep_setting)
        return search.first(all_left(self.pieces, self.bench.cloth), self.bench.setting)

    def _group(self, names: set[str], pressed: set[str]) -> Group:
        return Group(
            tuple(p for p in self.pieces if p.element in names),
            tuple(p for p in self.pieces if p.element in pressed),
        )


def _splits(elements: int, count: int) -> Iterator[Split]:
    """Yield every ordered split of the elements, by number, into `count` groups."""
    for places in product(range(count), repeat=elements):
        split = tuple(tuple(e for e in range(elements) if places[e] == n) for n in range(count))
        if all(split):
            yield split


def _dislike(groups: Sequence[Chosen]) -> tuple[int, int]:
    """Return rise and waiting of a split; of equal ones the first by ticket order is kept."""
    temperatures = [chosen.frame.temperature for chosen in groups]
    rise = sum(max(0, after - before) for before, after in pairwise(temperatures))
    waiting = sum(latest_peel(chosen) for chosen in groups[:-1])
    return rise, waiting


def latest_peel(chosen: Chosen) -> Peel:
    """Return the latest peel that follows a group's final; hot where there is none."""
    return max(chosen.frame.final.peel.values(), default=Peel.HOT)
