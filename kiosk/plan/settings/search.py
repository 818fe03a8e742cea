"""Finds temperatures and seconds of closing groups that follow each other, under the totals."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from kiosk.catalog.base import dataclass
from kiosk.plan.settings.frames import ClosingFrame, GroupFrame
from kiosk.plan.settings.limits import ClothLimits, PieceLimits


@dataclass(frozen=True, slots=True)
class Chosen:
    """A group's temperature with its limits and, closing by closing, its seconds."""

    frame: GroupFrame
    seconds: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Search:
    """Groups in pressing order, by temperature; `keep`: stay at the setting before if possible."""

    allowed: Sequence[Mapping[int, GroupFrame]]
    keep: bool

    def first(self, left: Left, setting: int) -> tuple[Chosen, ...] | None:
        """Return the groups' own choices, or what is nearest to them and exists.

        `left` is the heat that is left to all pieces, `setting` where the press stands. Where a
        later closing has no point, earlier seconds give way, then earlier temperatures too.
        """
        for temperatures_too in (False, True):
            found = next(self._ways(0, left, setting, temperatures_too), None)
            if found is not None:
                return found
        return None

    def _ways(
        self, place: int, left: Left, setting: int, temperatures_too: bool
    ) -> Iterator[tuple[Chosen, ...]]:
        """Yield what the groups from `place` on can take, own choices first."""
        if place == len(self.allowed):
            yield ()
            return
        liked = self._liked(place, left, setting)
        for frame in liked if temperatures_too else liked[:1]:
            if not self._exists(place + 1, left.at_fewest(frame.closings)):
                continue
            for seconds in ways(frame.closings, left):
                after = left.after(frame.closings, seconds)
                for later in self._ways(place + 1, after, frame.temperature, temperatures_too):
                    yield (Chosen(frame, seconds), *later)

    def _liked(self, place: int, left: Left, setting: int) -> list[GroupFrame]:
        """Return the temperatures that have a point: the setting, then the nearest to normal."""
        points = [f for f in self.allowed[place].values() if left.bears(f.closings)]
        return sorted(points, key=lambda frame: _distance(frame, setting if self.keep else None))

    def _exists(self, place: int, left: Left) -> bool:
        """Return whether all groups from `place` on have a point: none has if their fewest fail."""
        if place == len(self.allowed):
            return True
        alike = {frame.fewest: frame for frame in self.allowed[place].values()}
        return any(
            left.bears(frame.closings) and self._exists(place + 1, left.at_fewest(frame.closings))
            for frame in alike.values()
        )


def _distance(frame: GroupFrame, setting: int | None) -> tuple[bool, int, int]:
    """Return a key that puts the setting first, then what is near the normal; a tie is hotter."""
    normal = max(p.sheet.normal for p in frame.group.active)
    return frame.temperature != setting, abs(frame.temperature - normal), -frame.temperature


@dataclass(frozen=True, slots=True)
class Left:
    """The seconds of heat that each piece, by name, and the cloth still take."""

    pieces: Mapping[str, int]
    cloth: int

    def most(self, closing: ClosingFrame) -> int:
        """Return the most seconds that `closing` may last."""
        return min(self.cloth, *(self.pieces[name] for name in closing.heated))

    def after(self, closings: Sequence[ClosingFrame], seconds: Sequence[int]) -> Left:
        """Return what is left once each of `closings` has lasted its `seconds`."""
        pieces, cloth = dict(self.pieces), self.cloth
        for closing, spent in zip(closings, seconds, strict=True):
            cloth -= spent
            for name in closing.heated:
                pieces[name] -= spent
        return Left(pieces, cloth)

    def at_fewest(self, closings: Sequence[ClosingFrame]) -> Left:
        """Return what is left at most after `closings`."""
        return self.after(closings, [closing.seconds.low for closing in closings])

    def bears(self, closings: Sequence[ClosingFrame]) -> bool:
        """Return whether `closings` can all be done, each in its fewest seconds."""
        left = self.at_fewest(closings)
        return left.cloth >= 0 and all(seconds >= 0 for seconds in left.pieces.values())


def all_left(pieces: Sequence[PieceLimits], cloth: ClothLimits) -> Left:
    """Return what a panel takes before its first closing: only pre-press has heated the cloth."""
    return Left(
        {p.name: p.sheet.total_seconds for p in pieces},
        cloth.total_seconds - cloth.pre_press_seconds,
    )


def ways(closings: Sequence[ClosingFrame], left: Left) -> Iterator[tuple[int, ...]]:
    """Yield the seconds of each of `closings`, best first.

    Each takes its normal, moved into its window and what is left. Where a later one then has no
    second, the closing before it gives way second by second, then the one before that.
    """
    if not left.bears(closings):
        return
    if not closings:
        yield ()
        return
    first, rest = closings[0], closings[1:]
    for seconds in range(_own(first, left), first.seconds.low - 1, -1):
        for later in ways(rest, left.after([first], [seconds])):
            yield (seconds, *later)


def _own(closing: ClosingFrame, left: Left) -> int:
    window = closing.seconds
    return max(window.low, min(window.normal, window.high, left.most(closing)))
