"""The seconds of closings in a row, under the totals of heat that pieces and cloth take."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kiosk.plan.settings.frames import ClosingFrame
from kiosk.plan.settings.group import PieceLimits
from kiosk.plan.settings.limits import ClothLimits


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
