"""Which sounds to play: a count for each closing, its end, what is due."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from enum import Enum
from math import log2
from typing import TYPE_CHECKING

from kiosk.plan.model import Phase
from kiosk.run.facts import PeelZone, ScreenKind
from kiosk.run.show import BY_HAND, View
from kiosk.run.state import Event, events

if TYPE_CHECKING:  # not needed at a start
    from kiosk.train.practice import Rehearsal


class Cue(Enum):
    """A sound to play."""

    COUNT_PRE_PRESS = "count pre-press"
    COUNT_TACK = "count tack"
    COUNT_FINAL = "count final"
    TIME_UP = "time up"
    DUE = "due"
    OVER = "over"
    REFUSED = "refused"
    DONE = "done"


COUNTS = {
    Phase.PRE_PRESS: Cue.COUNT_PRE_PRESS,
    Phase.TACK: Cue.COUNT_TACK,
    Phase.FINAL: Cue.COUNT_FINAL,
}


OPEN_AGAIN_SECONDS = 180.0  # usual work between two closings is shorter; no source


def calls_to_open(since: float) -> int:
    """Return how many calls to open are due `since` s after the tone, if nobody saw the press open.

    After 3, 6, 12, 24 minutes, and so on.
    """
    return 0 if since < OPEN_AGAIN_SECONDS else int(log2(since / OPEN_AGAIN_SECONDS)) + 1


OVER_EVERY_SECONDS = 2.0


class CuesGiven:
    """Which cues were already given for what is shown; `cues` yields the new ones."""

    def __init__(self) -> None:
        self._due: frozenset[str] = frozenset()
        self._over_at = 0.0
        self._calls_made = 0  # how often for this closing
        self._first_at: float | None = None  # since when it must be opened first, after a stop

    def cues(self, view: View, clock: float) -> Iterator[Cue]:
        """Yield cues for what is newly due, over time, or still waiting to be opened at `clock`."""
        due = frozenset(chip.ticket for chip in view.chips if chip.zone is not PeelZone.SOON)
        if due - self._due:
            yield Cue.DUE
        self._due = due
        if view.kind in {ScreenKind.OVER, ScreenKind.UNASKED} and clock >= self._over_at:
            yield Cue.OVER
            self._over_at = clock + OVER_EVERY_SECONDS
        if view.kind is ScreenKind.OPEN_FIRST:
            if self._first_at is None:
                self._first_at, self._calls_made = clock, 0
            yield from self._calls(1 + calls_to_open(clock - self._first_at))
            return
        self._first_at = None
        if view.open_since is not None and BY_HAND in view.open_lines:
            yield from self._calls(calls_to_open(view.open_since))

    def _calls(self, count: int) -> Iterator[Cue]:
        before, self._calls_made = self._calls_made, count
        if count > before:
            yield Cue.TIME_UP


def cues_of(new_events: Iterable[Event], rehearsal: Rehearsal) -> Iterator[Cue]:
    """Yield the cues of a rehearsal: closings and the end of their time."""
    for event in new_events:
        if isinstance(event, events.TimeUp):
            yield Cue.TIME_UP
        elif isinstance(event, events.Closed):
            step = rehearsal.plan.passes[rehearsal.passage_of(event.ticket)].steps[event.step]
            yield COUNTS[step.phase]
