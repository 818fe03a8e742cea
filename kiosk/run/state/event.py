"""What every event is, and the moment that it carries."""

from __future__ import annotations

from dataclasses import dataclass


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
