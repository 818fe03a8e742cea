"""Finds temperatures and seconds of closing groups that follow each other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kiosk.plan.settings.frames import GroupFrame
from kiosk.plan.settings.seconds import Left, ways


@dataclass(frozen=True, slots=True)
class Chosen:
    """A group's temperature with its limits and, closing by closing, its seconds."""

    frame: GroupFrame
    seconds: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Search:
    """Groups in pressing order: what each allows by temperature.

    `keep`: a group stays at the setting before it where it can.
    """

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
