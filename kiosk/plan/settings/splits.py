"""Splits a panel into closing groups and takes the split that the preferences put first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, product

from kiosk.catalog.model import Peel, Policy, Press
from kiosk.plan.settings.frames import Shop, frames
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
    elements = list(dict.fromkeys(p.element for p in pieces))
    for guarded in (True, False) if bench.policy.guard_fabric else (False,):
        shop = bench.shop(guarded=guarded)
        for count in range(1, min(bench.policy.max_closings, len(elements)) + 1):
            found = [
                groups
                for split in sorted(_splits(len(elements), count))
                if (groups := _solve_split(_groups(pieces, elements, split), bench, shop))
            ]
            if found:
                return Solution(min(found, key=_dislike), guarded)
    return None


def _solve_split(groups: Sequence[Group], bench: Bench, shop: Shop) -> tuple[Chosen, ...] | None:
    allowed = []
    for group in groups:
        allowed.append(frames(group, shop))
        if not allowed[-1]:
            return None
    last = groups[-1]
    left = all_left((*last.passengers, *last.active), bench.cloth)
    return Search(allowed, bench.policy.keep_setting).first(left, bench.setting)


def _splits(elements: int, count: int) -> Iterator[Split]:
    """Yield every ordered split of the elements, by number, into `count` groups."""
    for places in product(range(count), repeat=elements):
        split = tuple(tuple(e for e in range(elements) if places[e] == n) for n in range(count))
        if all(split):
            yield split


def _groups(
    pieces: Sequence[PieceLimits], elements: Sequence[str], split: Split
) -> tuple[Group, ...]:
    groups: list[Group] = []
    pressed: tuple[PieceLimits, ...] = ()
    for numbers in split:
        names = {elements[n] for n in numbers}
        active = tuple(p for p in pieces if p.element in names)
        groups.append(Group(active, pressed))
        pressed = (*pressed, *active)
    return tuple(groups)


def _dislike(groups: Sequence[Chosen]) -> tuple[int, int]:
    """Return rise and waiting of a split; of equal ones the first by ticket order is kept."""
    temperatures = [chosen.frame.temperature for chosen in groups]
    rise = sum(max(0, after - before) for before, after in pairwise(temperatures))
    waiting = sum(latest_peel(chosen) for chosen in groups[:-1])
    return rise, waiting


def latest_peel(chosen: Chosen) -> Peel:
    """Return the latest peel that follows a group's final; hot where there is none."""
    return max(chosen.frame.final.peel.values(), default=Peel.HOT)
