"""Which shifts a report is about, and which working day it is compared with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import takewhile

from kiosk.log.shift_facts import Shift

WEEK = timedelta(days=7)
Shifts = tuple[Shift, ...]


@dataclass(frozen=True, slots=True)
class Chosen:
    """For each log, in its order: the shifts under report, of its last day, of the day before."""

    wanted: tuple[Shifts, ...]
    today: tuple[Shifts, ...]
    before: tuple[Shifts, ...]


def choose(logs: Sequence[Shifts], asked: str) -> Chosen | None:
    """Return the shifts for `last`, a number, `day`, `week` or `all`; None where there are none."""
    wanted = _wanted(logs, asked)
    if not any(wanted):
        return None
    last = max(day_of(shift) for shifts in wanted for shift in shifts)
    earlier = max((day for shifts in logs if (day := _day_before(shifts, last))), default=None)
    whole = asked in ("week", "all")
    today = tuple(_on(shifts, last) if whole else shifts for shifts in wanted)
    return Chosen(wanted, today, tuple(_on(shifts, earlier) for shifts in logs))


def _wanted(logs: Sequence[Shifts], asked: str) -> tuple[Shifts, ...]:
    if asked == "all":
        return tuple(logs)
    if asked == "last":
        return tuple(shifts[-1:] for shifts in logs)
    if asked not in ("day", "week"):
        return tuple(tuple(s for s in shifts if str(s.id) == asked) for shifts in logs)
    last = max((day_of(shift) for shifts in logs for shift in shifts), default=None)
    if last is None or asked == "day":
        return tuple(_on(shifts, last) for shifts in logs)
    return tuple(tuple(s for s in shifts if last - WEEK < day_of(s) <= last) for shifts in logs)


def _day_before(shifts: Shifts, last: date) -> date | None:
    """The last day before `last` on which a shift began; the newest shifts are looked at first."""
    return next((day for shift in reversed(shifts) if (day := day_of(shift)) < last), None)


def _on(shifts: Shifts, day: date | None) -> Shifts:
    """The shifts of a day; a log goes on for years, and its days come in order."""
    if day is None:
        return ()
    newest = takewhile(lambda shift: day_of(shift) >= day - WEEK, reversed(shifts))
    return tuple(reversed([shift for shift in newest if day_of(shift) == day]))


def day_of(shift: Shift) -> date:
    """Return the day on which a shift began, by this machine's clock."""
    return datetime.fromtimestamp(shift.began.wall).astimezone().date()
