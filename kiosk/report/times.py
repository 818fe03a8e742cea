"""Closings and openings by how they are known: measured, declared, not seen; never added up."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from kiosk.run.events import (
    Closed,
    ClosingSeen,
    Event,
    NotClosed,
    Opened,
    TimeUp,
    UnaskedClosing,
    WasClosed,
)
from kiosk.run.model import Seen


@dataclass(frozen=True, slots=True)
class Times:
    """Counts by how the moment is known, and the longest over-run in seconds of each kind."""

    closings: Mapping[Seen, int]
    openings: Mapping[Seen, int]
    longest_over: Mapping[Seen, float]


def times_of(events: Iterable[Event]) -> Times:
    """Return the times of a shift's events. An opening that no event tells of was not seen."""
    count = _Count()
    for event in events:
        if isinstance(event, TimeUp):
            count.due.add((event.ticket, event.step))
            count.openings[Seen.NOT_SEEN] += 1
        elif isinstance(event, Opened):
            count.opened(event.ticket, event.step, event.seen, event.after_deadline)
        elif isinstance(event, WasClosed):
            count.was_closed(event.ticket, event.step)
        else:
            count.closing(event)
    return Times(+count.closings, +count.openings, count.over)


@dataclass(slots=True)
class _Count:
    """The counts so far. `due` are closings whose time is up and whose opening is to be told."""

    closings: Counter[Seen] = field(default_factory=Counter)
    openings: Counter[Seen] = field(default_factory=Counter)
    over: dict[Seen, float] = field(default_factory=dict)
    due: set[tuple[str, int]] = field(default_factory=set)
    early: tuple[str, int] | None = None

    def closing(self, event: Event) -> None:
        """A closing, or what a later event makes of one."""
        if isinstance(event, Closed):
            self.closings[event.seen] += 1
        elif isinstance(event, UnaskedClosing):
            self.closings[Seen.MEASURED] += 1
        elif isinstance(event, ClosingSeen):  # the closing that a tap had declared
            self.closings[Seen.DECLARED] -= 1
            self.closings[Seen.MEASURED] += 1
        elif isinstance(event, NotClosed):
            self.closings[Seen.DECLARED] -= 1

    def opened(self, ticket: str, step: int, seen: Seen, after: float | None) -> None:
        """An opening that was told or measured, in place of one not seen."""
        if (ticket, step) in self.due:
            self.due.discard((ticket, step))
            self.openings[Seen.NOT_SEEN] -= 1
        self.openings[seen] += 1
        self.early = (ticket, step) if after is not None and after < 0 else None
        if after is not None and after > 0:
            self.over[seen] = max(after, self.over.get(seen, 0.0))

    def was_closed(self, ticket: str, step: int) -> None:
        """An end before the deadline: told, unless a switch saw the same opening just before."""
        if self.early != (ticket, step):
            self.openings[Seen.DECLARED] += 1
        self.early = None
