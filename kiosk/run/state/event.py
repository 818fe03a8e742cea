"""The base of all events, the moment each carries, and a fast `replace` for values."""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING

from kiosk.catalog.base import Message, Value, changer, dataclass


@dataclass(frozen=True, slots=True)
class Event:
    """Base of all events: the moment it happened."""

    at: Now


@dataclass(frozen=True, slots=True)
class Now:
    """One moment on three clocks.

    `boot` is the boot's id, `clock` seconds of a clock that never jumps and counts sleep
    (CLOCK_BOOTTIME), `wall` seconds since 1970 as the wall clock has it.
    """

    boot: str
    clock: float
    wall: float

    def later(self, seconds: float) -> Now:
        """Return the moment `seconds` after this one (before it, if negative)."""
        return Now(self.boot, self.clock + seconds, self.wall + seconds)


def elapsed(since: Now, now: Now) -> tuple[float, bool]:
    """Return the seconds from `since` to `now`, and whether they are certain (same boot)."""
    if since.boot == now.boot:
        return now.clock - since.clock, True
    return max(0.0, now.wall - since.wall), False


if TYPE_CHECKING:
    from dataclasses import replace as replace
else:
    _changer = functools.cache(changer)

    def replace(value, /, **changes):
        """Same as `dataclasses.replace` in a fifth of its time: replay depends on it."""
        return _changer(type(value))(value, changes)


@dataclass(frozen=True, slots=True)
class Refusal:
    """A command was turned away. It changes nothing; `reason` is shown to the person."""

    reason: Message


Decision = tuple[Event, ...] | Refusal
"""The events of a command, or why it was turned away."""


def refuse(why: str, **values: Value) -> Refusal:
    """Return the refusal whose sentence is `refuse.<why>`."""
    return Refusal(Message(f"refuse.{why}", values))
