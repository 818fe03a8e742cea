"""What every event is, the moment that it carries, and a value with some fields changed."""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING

from kiosk.catalog.base import Message, Value, changer, dataclass


@dataclass(frozen=True, slots=True)
class Event:
    """The moment that every event carries."""

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
        """Return the moment so many seconds after this one (before it, where negative)."""
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
        """Do what `dataclasses.replace` does, at a fifth of its time: a replay lives on it."""
        return _changer(type(value))(value, changes)


@dataclass(frozen=True, slots=True)
class Refusal:
    """A command that is turned away. It changes nothing; `reason` is said aloud."""

    reason: Message


Decision = tuple[Event, ...] | Refusal
"""The events of a command, or why it is turned away."""


def refuse(why: str, **values: Value) -> Refusal:
    """Return the refusal whose sentence is `refuse.<why>`."""
    return Refusal(Message(f"refuse.{why}", values))
