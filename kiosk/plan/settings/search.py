"""Finds temperatures and seconds of closing groups that follow each other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kiosk.plan.settings.frames import ClosingFrame, GroupFrame
from kiosk.plan.settings.seconds import Left, ways


@dataclass(frozen=True, slots=True)
class Chosen:
    """A group's temperature with its limits and, closing by closing, its seconds."""

    frame: GroupFrame
    seconds: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Search:
    """Groups in pressing order: what each allows by temperature, and the heat that is left.

    `setting` is where the press stands; None where the policy does not keep settings.
    """

    allowed: Sequence[Mapping[int, GroupFrame]]
    left: Left
    setting: int | None

    def first(self) -> tuple[Chosen, ...] | None:
        """Return the combination of the groups' own choices, or the nearest to it that exists."""
        return self._extend(())

    def _extend(self, frames: tuple[GroupFrame, ...]) -> tuple[Chosen, ...] | None:
        if len(frames) == len(self.allowed):
            return _with_seconds(frames, next(ways(_closings(frames), self.left)))
        failed = set()
        for frame in self._candidates(frames):
            fewest = tuple(closing.seconds.low for closing in frame.closings)
            if fewest in failed:
                continue  # whether later groups have a point depends on nothing else
            found = self._extend((*frames, frame))
            if found is not None:
                return found
            failed.add(fewest)
        return None

    def _candidates(self, frames: tuple[GroupFrame, ...]) -> Iterator[GroupFrame]:
        """Yield what the next group may take: earlier seconds give way before its liking does."""
        before = _closings(frames)
        open_ = [f for f in self._by_liking(frames) if self.left.bears((*before, *f.closings))]
        for seconds in ways(before, self.left) if open_ else ():
            left = self.left.after(before, seconds)
            yield from (frame for frame in open_ if left.bears(frame.closings))
            open_ = [frame for frame in open_ if not left.bears(frame.closings)]
            if not open_:
                return

    def _by_liking(self, frames: tuple[GroupFrame, ...]) -> list[GroupFrame]:
        setting = self.setting
        if frames and setting is not None:
            setting = frames[-1].temperature
        return by_liking(self.allowed[len(frames)], setting)


def by_liking(allowed: Mapping[int, GroupFrame], setting: int | None) -> list[GroupFrame]:
    """Return the temperatures as a group likes them: `setting` as it is, then near the normal."""
    return sorted(allowed.values(), key=lambda frame: _distance(frame, setting))


def _distance(frame: GroupFrame, setting: int | None) -> tuple[bool, int, int]:
    normal = max(p.sheet.normal for p in frame.group.active)
    return frame.temperature != setting, abs(frame.temperature - normal), -frame.temperature


def _closings(frames: Sequence[GroupFrame]) -> tuple[ClosingFrame, ...]:
    return tuple(closing for frame in frames for closing in frame.closings)


def _with_seconds(frames: Sequence[GroupFrame], seconds: Sequence[int]) -> tuple[Chosen, ...]:
    rest, chosen = list(seconds), []
    for frame in frames:
        count = len(frame.closings)
        chosen.append(Chosen(frame, tuple(rest[:count])))
        rest = rest[count:]
    return tuple(chosen)
