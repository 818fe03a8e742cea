"""How often a made-up operator slips, and the dice that decide it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random
from typing import NamedTuple, TypeVar

from kiosk.run.commands import Command

T = TypeVar("T")


class Act(NamedTuple):
    """A command, so many seconds from now."""

    seconds: float
    command: Command


@dataclass(frozen=True, slots=True)
class Habits:
    """The share of all occasions on which each slip happens; all of them made up.

    The pace of an operator is between `quickest` and `slowest`: 0 quick hands, 1 slow ones.
    """

    wrong_read: float = 0.04
    too_quick: float = 0.03
    stray_tap: float = 0.05
    hold: float = 0.01
    put_aside: float = 0.01
    skip: float = 0.03
    take_back: float = 0.01
    not_closed: float = 0.01
    opened_early: float = 0.005
    stall: float = 0.003
    early_peel: float = 0.02
    accepted: float = 0.02
    rework: float = 0.03
    scrap: float = 0.015
    clock_set: float = 0.0005
    touch: float = 0.1
    quickest: float = 0.0
    slowest: float = 1.0


STEADY = Habits(*[0.0] * 16)
"""Never a slip."""


class Chance:
    """All chance of a simulation: the same seed makes the same shift."""

    def __init__(self, seed: str) -> None:
        self._random = Random(seed)

    def happens(self, share: float) -> bool:
        """Whether something that happens in `share` of all cases happens now."""
        return self._random.random() < share

    def between(self, least: float, most: float) -> float:
        """Return a number from `least` to `most`."""
        return self._random.uniform(least, most)

    def pick(self, things: Sequence[T]) -> T:
        """Return any of `things`."""
        return self._random.choice(things)

    def likeliest(self, things: Sequence[T]) -> T:
        """Return one of `things`, mostly one near the front."""
        return things[min(int(self._random.expovariate(1.0)), len(things) - 1)]
