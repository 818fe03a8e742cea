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
                for split in _splits(elements, count)
                if (groups := _solve_split(_groups(pieces, split), bench, shop)) is not None
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
    setting = bench.setting if bench.policy.keep_setting else None
    return Search(allowed, left, setting).first()


def _splits(elements: Sequence[str], count: int) -> Iterator[tuple[tuple[str, ...], ...]]:
    """Yield every ordered split into `count` groups, the recipe's own order first."""
    for places in product(range(count), repeat=len(elements)):
        groups = tuple(
            tuple(e for e, at in zip(elements, places, strict=True) if at == n)
            for n in range(count)
        )
        if all(groups):
            yield groups


def _groups(pieces: Sequence[PieceLimits], split: Sequence[Sequence[str]]) -> tuple[Group, ...]:
    groups: list[Group] = []
    pressed: tuple[PieceLimits, ...] = ()
    for elements in split:
        active = tuple(p for p in pieces if p.element in elements)
        groups.append(Group(active, pressed))
        pressed = (*pressed, *active)
    return tuple(groups)


def _dislike(groups: Sequence[Chosen]) -> tuple[int, int]:
    """Return the rise and the waiting of a split; of equal ones `min` keeps the first."""
    temperatures = [chosen.frame.temperature for chosen in groups]
    rise = sum(max(0, after - before) for before, after in pairwise(temperatures))
    waiting = sum(latest_peel(chosen) for chosen in groups[:-1])
    return rise, waiting


def latest_peel(chosen: Chosen) -> Peel:
    """Return the latest peel that follows a group's final; hot where there is none."""
    return max(chosen.frame.final.peel.values(), default=Peel.HOT)
