"""Which shifts a report covers, and which it compares them with."""

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import takewhile
from typing import NamedTuple

from kiosk.log.facts import Shift, shifts
from kiosk.log.store import Store

WEEK = timedelta(days=7)
Shifts = tuple[Shift, ...]
Span = tuple[date, date]
"""From one day to another, both included."""


class ShiftChoice(NamedTuple):
    """For each log, in order: the shifts reported on, those of their last day, of the day before.

    For a span of days: its shifts, the same again, and those of as many days before it.
    """

    reported: tuple[Shifts, ...]
    today: tuple[Shifts, ...]
    before: tuple[Shifts, ...]


def choose(logs: Sequence[Shifts], period: str) -> ShiftChoice | None:
    """Return the shifts for `last`, a number, `day`, `week` or `all`; None if there are none."""
    reported = _shifts_of(logs, period)
    last = last_day(reported)
    if last is None:
        return None
    earlier = max((day for shifts in logs if (day := _day_before(shifts, last))), default=None)
    whole = period in ("week", "all")
    today = tuple(_shifts_on(shifts, last) if whole else shifts for shifts in reported)
    return ShiftChoice(reported, today, tuple(_shifts_on(shifts, earlier) for shifts in logs))


def choose_span(logs: Sequence[Shifts], span: Span) -> ShiftChoice | None:
    """Return the shifts that began within a span of days; None if there are none."""
    reported = _within(logs, span)
    if not any(reported):
        return None
    return ShiftChoice(reported, reported, _within(logs, span_before(span)))


def span_before(span: Span) -> Span:
    """Return as many days right before a span; fewer where the calendar begins."""
    first, days = span[0].toordinal(), (span[1] - span[0]).days + 1
    begins, ends = max(1, first - days), max(1, first - 1)
    return date.fromordinal(begins), date.fromordinal(ends)


def _within(logs: Sequence[Shifts], span: Span) -> tuple[Shifts, ...]:
    return tuple(tuple(s for s in shifts if span[0] <= day_of(s) <= span[1]) for shifts in logs)


def _shifts_of(logs: Sequence[Shifts], period: str) -> tuple[Shifts, ...]:
    if period == "all":
        return tuple(logs)
    if period == "last":
        return tuple(shifts[-1:] for shifts in logs)
    if period not in ("day", "week"):
        return tuple(tuple(s for s in shifts if str(s.id) == period) for shifts in logs)
    last = last_day(logs)
    if last is None or period == "day":
        return tuple(_shifts_on(shifts, last) for shifts in logs)
    return tuple(tuple(s for s in shifts if last - WEEK < day_of(s) <= last) for shifts in logs)


def _day_before(shifts: Shifts, last: date) -> date | None:
    """Return the last day before `last` on which a shift began, searching from the newest."""
    return next((day for shift in reversed(shifts) if (day := day_of(shift)) < last), None)


def _shifts_on(shifts: Shifts, day: date | None) -> Shifts:
    """Return the shifts of a day; stops early, as a log may cover years and is in order."""
    if day is None:
        return ()
    newest = takewhile(lambda shift: day_of(shift) >= day - WEEK, reversed(shifts))
    return tuple(reversed([shift for shift in newest if day_of(shift) == day]))


def day_of(shift: Shift) -> date:
    """Return the day on which a shift began, by this machine's clock."""
    return date.fromtimestamp(shift.began)


def last_day(logs: Sequence[Shifts]) -> date | None:
    """Return the last day on which a shift began.

    A day after tomorrow comes from a wrong clock: it is returned only if there is no other.
    """
    days = {day_of(shift) for shifts in logs for shift in shifts}
    tomorrow = date.today() + timedelta(days=1)
    return max((day for day in days if day <= tomorrow), default=max(days, default=None))


NEWEST = (32, 256)  # shifts: ten days of three a day, then more; a record may have thousands


def newest(store: Store) -> Shifts:
    """Return the newest shifts of a log: its last two days and a week more."""
    for count in NEWEST:
        found = shifts(store, count)
        if len(found) < count:
            return found
        earlier = _day_before(found, day_of(found[-1]))
        if earlier is not None and day_of(found[0]) < earlier - WEEK:
            return found
    return shifts(store)
