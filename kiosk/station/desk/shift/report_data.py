"""The shift's report at the station and on the command line: from open logs to topics."""

from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime, timedelta
from itertools import takewhile
from typing import NamedTuple

from kiosk.catalog.base import Message, say
from kiosk.log.facts import (
    Facts,
    FactSource,
    Reading,
    Shift,
    abreast,
    begun,
    compared,
    facts,
    jumps_within,
    lines_of,
    read_through,
    ready,
    rows_of_jobs,
    rows_of_order,
    shifts,
    story,
)
from kiosk.log.store import Store
from kiosk.report.card import StationRecord, When, card
from kiosk.report.closing_sheet import closing_sheet
from kiosk.report.content import Report
from kiosk.report.period import Period, jumped
from kiosk.report.report import ReportRequest, build
from kiosk.report.tables import GarmentRow, garment_rows, order_of

WEEK = timedelta(days=7)
JOBS = "SELECT job, title, garments FROM job ORDER BY seq DESC"
DONE = "SELECT 1 FROM job WHERE job = ? AND done IS NOT NULL"


Shifts = tuple[Shift, ...]


Span = tuple[date, date]
"""From one day to another, both included."""


class ShiftChoice(NamedTuple):
    """For each log, in order: the shifts reported on, those of their last day, of the day before.

    For a span of days: its shifts, the same again, and those of as many days before it.
    """

    wanted: tuple[Shifts, ...]
    today: tuple[Shifts, ...]
    before: tuple[Shifts, ...]


def choose(logs: Sequence[Shifts], asked: str) -> ShiftChoice | None:
    """Return the shifts for `last`, a number, `day`, `week` or `all`; None if there are none."""
    wanted = _wanted(logs, asked)
    last = last_day(wanted)
    if last is None:
        return None
    earlier = max((day for shifts in logs if (day := _day_before(shifts, last))), default=None)
    whole = asked in ("week", "all")
    today = tuple(_on(shifts, last) if whole else shifts for shifts in wanted)
    return ShiftChoice(wanted, today, tuple(_on(shifts, earlier) for shifts in logs))


def choose_span(logs: Sequence[Shifts], span: Span) -> ShiftChoice | None:
    """Return the shifts that began within a span of days; None if there are none."""
    wanted = _within(logs, span)
    return ShiftChoice(wanted, wanted, _within(logs, span_before(span))) if any(wanted) else None


def span_before(span: Span) -> Span:
    """Return as many days right before a span; fewer where the calendar begins."""
    first, many = span[0].toordinal(), (span[1] - span[0]).days + 1
    begins, ends = max(1, first - many), max(1, first - 1)
    return date.fromordinal(begins), date.fromordinal(ends)


def _within(logs: Sequence[Shifts], span: Span) -> tuple[Shifts, ...]:
    return tuple(tuple(s for s in shifts if span[0] <= day_of(s) <= span[1]) for shifts in logs)


def _wanted(logs: Sequence[Shifts], asked: str) -> tuple[Shifts, ...]:
    if asked == "all":
        return tuple(logs)
    if asked == "last":
        return tuple(shifts[-1:] for shifts in logs)
    if asked not in ("day", "week"):
        return tuple(tuple(s for s in shifts if str(s.id) == asked) for shifts in logs)
    last = last_day(logs)
    if last is None or asked == "day":
        return tuple(_on(shifts, last) for shifts in logs)
    return tuple(tuple(s for s in shifts if last - WEEK < day_of(s) <= last) for shifts in logs)


def _day_before(shifts: Shifts, last: date) -> date | None:
    """Return the last day before `last` on which a shift began, searching from the newest."""
    return next((day for shift in reversed(shifts) if (day := day_of(shift)) < last), None)


def _on(shifts: Shifts, day: date | None) -> Shifts:
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
    for many in NEWEST:
        found = shifts(store, many)
        if len(found) < many:
            return found
        earlier = _day_before(found, day_of(found[-1]))
        if earlier is not None and day_of(found[0]) < earlier - WEEK:
            return found
    return shifts(store)


def report_of_shift(store: Store) -> Report | None:
    """Return the report of the last or current shift of a log; None if there was none.

    Raises LogFault.
    """
    with store.reading():
        ready(store)
        chosen = choose([newest(store)], "last")
        if chosen is None:
            return None
        about = read([store], chosen)._replace(people=True)  # this page is behind the PIN
        return build(about, *moments(chosen.wanted))


def jobs_known(store: Store) -> tuple[tuple[str, str, int], ...]:
    """Return the jobs in a log, the newest first: name, title, number of garments.

    Raises LogFault, as do `garments_known` and `card_known`.
    """
    with store.reading():
        ready(store)
        return tuple(store.rows(JOBS))


MOST_NAMED = 12  # jobs listed if an unknown one was asked for
MOST_NUMBERS = 100  # likewise in one job


def jobs_named(stores: Sequence[FactSource]) -> tuple[str, ...]:
    """Return jobs of the logs with titles, the newest of each log first, MOST_NAMED at most."""
    names = {job: title for store in stores for job, title, _ in store.rows(JOBS)}
    return tuple(f"{job} ({title})" for job, title in names.items())[:MOST_NAMED]


def numbers_named(stores: Sequence[FactSource], job: str) -> tuple[str, ...]:
    """Return the numbers of a job, or lines of garments without one; MOST_NUMBERS at most."""
    rows = garment_rows(row for store in stores for row in rows_of_jobs(store, [job]))
    return tuple(sorted({each.number or each.line for each in rows}, key=order_of))[:MOST_NUMBERS]


def garments_known(store: Store, job: str) -> tuple[GarmentRow, ...]:
    """Return the garments of a job in order of number, the last copy for each line."""
    with store.reading():
        ready(store)
        last = {each.line: each for each in garment_rows(rows_of_jobs(store, [job]))}
    return tuple(sorted(last.values(), key=lambda each: order_of(each.number or each.line)))


def card_known(store: Store, job: str, line: str) -> Report | None:
    """Return the card of the garment on a roster line, or None if the log has none.

    With one log, presses are not named by their station.
    """
    with store.reading():
        ready(store)
        told = story(store, job, line)
    return card([StationRecord("", told)], here) if told is not None and told.tickets else None


def read(
    stores: Sequence[FactSource], chosen: ShiftChoice, busy_seconds: float | None = None
) -> ReportRequest:
    """Return what the logs hold on the chosen shifts; each log is within `reading()`.

    Raises LogFault.
    """
    readings = {"wanted": _period(stores, chosen.wanted, facts)}
    if chosen.today != chosen.wanted:
        readings["today"] = _period(stores, chosen.today, facts)
    readings["before"] = _period(stores, chosen.before, compared)
    told = read_through(abreast(readings))
    days = [day_of(shift) for shifts in chosen.wanted for shift in shifts]
    today = told.get("today", told["wanted"])
    return ReportRequest(told["wanted"], today, told["before"], busy_seconds, max(days).isoformat())


def _period(
    stores: Sequence[FactSource], wanted: Iterable[Shifts], tells: Callable[..., Reading[Facts]]
) -> Reading[Period]:
    each = zip(stores, wanted, names(stores), strict=True)
    readings = {name: tells(store, of_log, name) for store, of_log, name in each if of_log}
    told = yield from abreast(readings)
    return Period(tuple(told.values()))


def names(stores: Sequence[FactSource]) -> tuple[str, ...]:
    """Return a name for each log: its file's, with the folder's if two are the same."""
    short = [store.name for store in stores]
    if len(set(short)) == len(short):
        return tuple(short)
    long = [store.full_name for store in stores]
    if len(set(long)) == len(long):
        return tuple(long)
    return tuple(f"{name} ({nth})" for nth, name in enumerate(long, 1))


def when(wall: float) -> str:
    """Return wall seconds as local time with its offset, to the minute: for a program."""
    return datetime.fromtimestamp(wall).astimezone().isoformat(" ", "minutes")


def here(wall: float) -> str:
    """Return wall seconds as people at the station read them: local time, to the minute."""
    return datetime.fromtimestamp(wall).isoformat(" ", "minutes")


def cards(
    stores: Sequence[FactSource], job: str, called: str, at: When = here
) -> tuple[Report, ...]:
    """Return the cards of a job's garments that have the number, or the line, `called`.

    `at` turns wall seconds into text.
    """
    named = list(zip(stores, names(stores), strict=True))
    lines = dict.fromkeys(n for store in stores for n in lines_of(store, job, called))
    known = (
        [StationRecord(name, told) for store, name in named if (told := story(store, job, line))]
        for line in lines
    )
    return tuple(card(each, at) for each in known)


def found_by_line(made: Sequence[Report], job: str, called: str) -> Message | None:
    """Return the note that a card was found by its line, or None if none was."""
    titles = [each.title.values for each in made]
    lines = [t["number"] for t in titles if t.get("line") == called and t["number"] != called]
    if not lines or not lines[0]:  # a garment without a number is called by its line
        return None
    word = "number_and_line" if len(made) > 1 else "line_alone"
    return say(f"report.{word}", job=job, asked=called, number=lines[0])


def closing(stores: Sequence[FactSource], job: str, at: When = here) -> Report | None:
    """Return an order's closing sheet, or None if no log has the job. `at` as for `cards`."""
    begins = [each for store in stores if (each := begun(store, job)) is not None]
    if not begins:
        return None
    done = any(row for store in stores for row in store.rows(DONE, job))
    named = zip(stores, names(stores), strict=True)
    clocks = (each for store, name in named for each in jumped(name, jumps_within(store, job)))
    return closing_sheet(begins[0], rows_of_order(stores, job), at, done, clocks)


def moments(wanted: Iterable[Shifts]) -> tuple[str, str]:
    """Return when the first shift began and the last ended, "" if one goes on.

    The end has no day if that is the day of the beginning. If the clocks changed on that day, both
    say by how far they are from UTC.
    """
    every = [shift for of_log in wanted for shift in of_log]
    ended = [shift.ended for shift in every if shift.ended is not None]
    first = min(shift.began for shift in every)
    if len(ended) < len(every):
        return here(first), ""
    end = max(ended)
    began, last = here(first), here(end)
    day, _, hour = last.partition(" ")
    if not began.startswith(day):
        return began, last
    from_utc, to_utc = when(first).removeprefix(began), when(end).removeprefix(last)
    return (began, hour) if from_utc == to_utc else (began + from_utc, hour + to_utc)
