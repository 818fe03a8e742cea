"""Splits a panel into closing groups, each with a temperature and seconds that suit its pieces."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field
from itertools import combinations, pairwise

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import Peel, Policy, Press
from kiosk.plan.model import PlatenPart
from kiosk.plan.settings.frames import (
    GroupCloth,
    GroupFrame,
    HeatRemaining,
    all_remaining,
    frames,
    seconds_choices,
)
from kiosk.plan.settings.limits import ClothLimits, GroupPieces, PieceLimits

Elements = tuple[str, ...]
Temperatures = Mapping[int, GroupFrame]


@dataclass(frozen=True, slots=True)
class PanelBench:
    """All that a panel is solved with besides its pieces; `setting` in the press's degrees."""

    cloth: ClothLimits
    press: Press
    policy: Policy
    setting: int
    parts: tuple[PlatenPart, ...] = ()

    @property
    def tolerance(self) -> int:
        """The press's tolerance in its own whole degrees."""
        return self.press.tolerance.whole_in(self.press.unit)

    def under(self, names: Elements, pressed: tuple[PieceLimits, ...]) -> tuple[PieceLimits, ...]:
        """Return which of the `pressed` pieces lie under the platen with the elements `names`."""
        part = next((p for p in self.parts if set(names) <= set(p.elements)), None)
        if part is None:
            return pressed
        covered = {*part.elements, *part.under}
        return tuple(piece for piece in pressed if piece.element in covered)

    def group_cloth(self, *, guarded: bool) -> GroupCloth:
        """Return what the rules of a group need, with or without the margin of the tolerance."""
        return GroupCloth(self.cloth, self.policy, self.tolerance if guarded else 0)


@dataclass(frozen=True, slots=True)
class Solution:
    """The groups chosen for a panel; `guarded`: the press's tolerance is kept as a margin."""

    groups: tuple[ChosenFrame, ...]
    guarded: bool

    def degree(self, piece: str) -> int:
        """Return the temperature of a piece's final."""
        frames = (chosen.frame for chosen in self.groups)
        return next(f.temperature for f in frames if any(p.name == piece for p in f.group.active))


def best_solution(pieces: Sequence[PieceLimits], bench: PanelBench) -> Solution | None:
    """Return the preferred way to press `pieces`, if possible with the margin; None if none."""
    for guarded in (True, False) if bench.policy.guard_fabric else (False,):
        groups = Splitting(pieces, bench, bench.group_cloth(guarded=guarded)).fewest_groups()
        if groups is not None:
            return Solution(groups, guarded)
    return None


@dataclass(frozen=True, slots=True)
class Splitting:
    """The pieces of a panel to be split; `cache` holds what each group allows, except heat."""

    pieces: Sequence[PieceLimits]
    bench: PanelBench
    group_cloth: GroupCloth
    cache: dict[tuple[Elements, frozenset[str]], Temperatures] = field(default_factory=dict)

    def fewest_groups(self) -> tuple[ChosenFrame, ...] | None:
        """Return the preferred split into as few groups as possible; None if none can be pressed.

        The parts of a panel follow each other, and each may have as many groups as the policy
        allows for a panel that fits on the platen whole.
        """
        elements = tuple(dict.fromkeys(p.element for p in self.pieces))
        if not all(self._allowed((each,), ()) for each in elements):
            return None  # an element allows no more together with others than alone
        remaining = all_remaining(self.pieces, self.bench.cloth)
        parts = self._parts(elements)
        most = sum(min(self.bench.policy.max_closings, len(part)) for part in parts)
        for count in range(len(parts), most + 1):
            together = [elements] if count == 1 else self._together(elements)
            searches = (
                GroupSearch(allowed, self.bench.policy.keep_setting)
                for allowed in self._splits(together, elements, (), count)
            )
            found = [each for s in searches if (each := s.first(remaining, self.bench.setting))]
            if found:
                return min(found, key=_dislike)
        return None

    def _together(self, elements: Elements) -> list[Elements]:
        """Return all groups that can be pressed on bare cloth, in the order of the recipe."""
        places = range(len(elements))
        groups = sorted(g for size in places for g in combinations(places, size + 1))
        groups_by_name = [tuple(elements[place] for place in group) for group in groups]
        return [group for group in groups_by_name if self._allowed(group, ())]

    def _splits(
        self,
        together: Sequence[Elements],
        elements: Elements,
        done: tuple[Elements, ...],
        count: int,
    ) -> Iterator[list[Temperatures]]:
        """Yield the temperatures of the groups of every ordered split, in ticket order.

        Groups are taken from `together`: passengers only make fewer groups possible. `done` are
        the groups before.
        """
        for first in together:
            rest = _without(first, elements)
            if rest is None or not _makes(rest, count - 1, together):
                continue
            if not self._has_its_turn(first, elements, done):
                continue
            allowed = self._allowed(first, tuple(each for group in done for each in group))
            if allowed and not rest:
                yield [allowed]
            elif allowed:
                for later in self._splits(together, rest, (*done, first), count - 1):
                    yield [allowed, *later]

    def _parts(self, elements: Elements) -> tuple[Elements, ...]:
        return tuple(part.elements for part in self.bench.parts) or (elements,)

    def _has_its_turn(
        self, group: Elements, elements: Elements, done: tuple[Elements, ...]
    ) -> bool:
        """Return whether `group` is of the first unfinished part and within its allowed count."""
        part = next((p for p in self._parts(elements) if set(p) & set(elements)), elements)
        before = sum(set(each) <= set(part) for each in done)
        return set(group) <= set(part) and before < self.bench.policy.max_closings

    def _allowed(self, names: Elements, pressed: Elements) -> Temperatures:
        """Return the temperatures of the elements `names` once `pressed` are pressed."""
        key = names, frozenset(pressed)
        if key not in self.cache:
            active = tuple(p for p in self.pieces if p.element in names)
            passengers = tuple(p for p in self.pieces if p.element in pressed)
            group = GroupPieces(active, self.bench.under(names, passengers))
            self.cache[key] = frames(group, self.group_cloth)
        return self.cache[key]


def _without(group: Elements, elements: Elements) -> Elements | None:
    """Return the elements that are not in `group`; None if `group` holds others."""
    rest = tuple(element for element in elements if element not in group)
    return rest if len(rest) + len(group) == len(elements) else None


def _makes(elements: Elements, count: int, together: Sequence[Elements]) -> bool:
    """Return whether `count` groups of `together`, in any order, hold exactly `elements`."""
    if not elements or not count:
        return not elements and not count
    return any(
        elements[0] in group
        and (rest := _without(group, elements)) is not None
        and _makes(rest, count - 1, together)
        for group in together
    )


def _dislike(groups: Sequence[ChosenFrame]) -> tuple[int, int]:
    """Return a split's rise in temperature and waiting: the least wins, ties by ticket order."""
    temperatures = [chosen.frame.temperature for chosen in groups]
    rise = sum(max(0, after - before) for before, after in pairwise(temperatures))
    waiting = sum(latest_peel(chosen) for chosen in groups[:-1])
    return rise, waiting


def latest_peel(chosen: ChosenFrame) -> Peel:
    """Return the latest peel after a group's final; hot if there is none."""
    return max(chosen.frame.final.peel.values(), default=Peel.HOT)


@dataclass(frozen=True, slots=True)
class ChosenFrame:
    """A group's frame at the chosen temperature, and the seconds of each closing."""

    frame: GroupFrame
    seconds: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class GroupSearch:
    """Groups in pressing order, by temperature; `keep`: stay at the setting before if possible."""

    allowed: Sequence[Mapping[int, GroupFrame]]
    keep: bool

    def first(self, remaining: HeatRemaining, setting: int) -> tuple[ChosenFrame, ...] | None:
        """Return the groups' own choices, or the nearest to them that exists; None if none does.

        `remaining` is the heat left to all pieces, `setting` the press's present setting. If a
        later closing has no point, earlier seconds give way first, then earlier temperatures.
        """
        for temperatures_too in (False, True):
            found = next(self._ways(0, remaining, setting, temperatures_too), None)
            if found is not None:
                return found
        return None

    def _ways(
        self, place: int, remaining: HeatRemaining, setting: int, temperatures_too: bool
    ) -> Iterator[tuple[ChosenFrame, ...]]:
        """Yield what the groups from `place` on can take, own choices first."""
        if place == len(self.allowed):
            yield ()
            return
        preferred = self._preferred(place, remaining, setting)
        for frame in preferred if temperatures_too else preferred[:1]:
            if not self._exists(place + 1, remaining.at_fewest(frame.closings)):
                continue
            for seconds in seconds_choices(frame.closings, remaining):
                after = remaining.after(frame.closings, seconds)
                for later in self._ways(place + 1, after, frame.temperature, temperatures_too):
                    yield (ChosenFrame(frame, seconds), *later)

    def _preferred(self, place: int, remaining: HeatRemaining, setting: int) -> list[GroupFrame]:
        """Return the temperatures that have a point: the setting, then the nearest to normal."""
        candidates = self.allowed[place].values()  # many share the same closings
        closings = {id(frame.closings): frame.closings for frame in candidates}
        bearable = {id_: remaining.bears(each) for id_, each in closings.items()}
        points = [frame for frame in candidates if bearable[id(frame.closings)]]
        normal = max((p.sheet.normal for f in points[:1] for p in f.group.active), default=0)
        present = setting if self.keep else None
        return sorted(points, key=lambda frame: _distance(frame.temperature, normal, present))

    def _exists(self, place: int, remaining: HeatRemaining) -> bool:
        """Return whether the groups from `place` on have a point, at their fewest seconds."""
        if place == len(self.allowed):
            return True
        alike = {frame.fewest: frame for frame in self.allowed[place].values()}
        return any(
            remaining.bears(frame.closings)
            and self._exists(place + 1, remaining.at_fewest(frame.closings))
            for frame in alike.values()
        )


def _distance(degree: int, normal: int, setting: int | None) -> tuple[bool, int, int]:
    """Return a sort key: the setting first, then the nearest to normal, the hotter of a tie."""
    return degree != setting, abs(degree - normal), -degree
