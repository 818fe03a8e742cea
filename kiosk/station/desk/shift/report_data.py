"""The shift's report at the station and on the command line: from open logs to topics."""

from collections.abc import Callable, Iterable, Sequence
from datetime import datetime

from kiosk.catalog.base import Message, say
from kiosk.log.facts import (
    Facts,
    FactSource,
    Reading,
    abreast,
    compared,
    facts,
    job_start,
    jumps_within,
    lines_of,
    read_through,
    ready,
    rows_of_jobs,
    rows_of_order,
    story,
)
from kiosk.log.store import Store
from kiosk.report.card import StationRecord, When, card
from kiosk.report.closing_sheet import closing_sheet
from kiosk.report.content import Report
from kiosk.report.period import Period, clock_jump_lines
from kiosk.report.report import ReportRequest, build
from kiosk.report.tables import GarmentRow, garment_rows, order_of
from kiosk.station.desk.shift.shift_choice import ShiftChoice, Shifts, choose, day_of, newest

JOBS = "SELECT job, title, garments FROM job ORDER BY seq DESC"
DONE = "SELECT 1 FROM job WHERE job = ? AND done IS NOT NULL"


def report_of_shift(store: Store) -> Report | None:
    """Return the report of the last or current shift of a log; None if there was none.

    Raises LogFault.
    """
    with store.reading():
        ready(store)
        chosen = choose([newest(store)], "last")
        if chosen is None:
            return None
        request = read([store], chosen)._replace(people=True)  # this page is behind the PIN
        return build(request, *moments(chosen.reported))


def recorded_jobs(store: Store) -> tuple[tuple[str, str, int], ...]:
    """Return the jobs in a log, the newest first: name, title, number of garments.

    Raises LogFault, as do `recorded_garments` and `recorded_card`.
    """
    with store.reading():
        ready(store)
        return tuple(store.rows(JOBS))


MOST_NAMED = 12  # jobs listed if an unknown one was asked for
MOST_NUMBERS = 100  # likewise in one job


def job_names(stores: Sequence[FactSource]) -> tuple[str, ...]:
    """Return jobs of the logs with titles, the newest of each log first, MOST_NAMED at most."""
    names = {job: title for store in stores for job, title, _ in store.rows(JOBS)}
    return tuple(f"{job} ({title})" for job, title in names.items())[:MOST_NAMED]


def garment_numbers(stores: Sequence[FactSource], job: str) -> tuple[str, ...]:
    """Return the numbers of a job, or lines of garments without one; MOST_NUMBERS at most."""
    rows = garment_rows(row for store in stores for row in rows_of_jobs(store, [job]))
    return tuple(sorted({each.number or each.line for each in rows}, key=order_of))[:MOST_NUMBERS]


def recorded_garments(store: Store, job: str) -> tuple[GarmentRow, ...]:
    """Return the garments of a job in order of number, the last copy for each line."""
    with store.reading():
        ready(store)
        last = {each.line: each for each in garment_rows(rows_of_jobs(store, [job]))}
    return tuple(sorted(last.values(), key=lambda each: order_of(each.number or each.line)))


def recorded_card(store: Store, job: str, line: str) -> Report | None:
    """Return the card of the garment on a roster line, or None if the log has none.

    With one log, presses are not named by their station.
    """
    with store.reading():
        ready(store)
        found = story(store, job, line)
    if found is None or not found.tickets:
        return None
    return card([StationRecord("", found)], local_time)


def read(
    stores: Sequence[FactSource], chosen: ShiftChoice, busy_seconds: float | None = None
) -> ReportRequest:
    """Return what the logs hold on the chosen shifts; each log is within `reading()`.

    Raises LogFault.
    """
    readings = {"wanted": _period(stores, chosen.reported, facts)}
    if chosen.today != chosen.reported:
        readings["today"] = _period(stores, chosen.today, facts)
    readings["before"] = _period(stores, chosen.before, compared)
    periods = read_through(abreast(readings))
    days = [day_of(shift) for shifts in chosen.reported for shift in shifts]
    today = periods.get("today", periods["wanted"])
    return ReportRequest(
        periods["wanted"], today, periods["before"], busy_seconds, max(days).isoformat()
    )


def _period(
    stores: Sequence[FactSource],
    chosen: Iterable[Shifts],
    read_facts: Callable[..., Reading[Facts]],
) -> Reading[Period]:
    each = zip(stores, chosen, names(stores), strict=True)
    readings = {
        name: read_facts(store, log_shifts, name) for store, log_shifts, name in each if log_shifts
    }
    periods = yield from abreast(readings)
    return Period(tuple(periods.values()))


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


def local_time(wall: float) -> str:
    """Return wall seconds as people at the station read them: local time, to the minute."""
    return datetime.fromtimestamp(wall).isoformat(" ", "minutes")


def cards(
    stores: Sequence[FactSource], job: str, label: str, at: When = local_time
) -> tuple[Report, ...]:
    """Return the cards of a job's garments that have the number, or the line, `label`.

    `at` turns wall seconds into text.
    """
    named = list(zip(stores, names(stores), strict=True))
    lines = dict.fromkeys(n for store in stores for n in lines_of(store, job, label))
    records = (
        [StationRecord(name, found) for store, name in named if (found := story(store, job, line))]
        for line in lines
    )
    return tuple(card(each, at) for each in records)


def found_by_line(reports: Sequence[Report], job: str, label: str) -> Message | None:
    """Return the note that a card was found by its line, or None if none was."""
    titles = [each.title.values for each in reports]
    lines = [t["number"] for t in titles if t.get("line") == label and t["number"] != label]
    if not lines or not lines[0]:  # a garment without a number is called by its line
        return None
    word = "number_and_line" if len(reports) > 1 else "line_alone"
    return say(f"report.{word}", job=job, asked=label, number=lines[0])


def order_sheet(stores: Sequence[FactSource], job: str, at: When = local_time) -> Report | None:
    """Return an order's closing sheet, or None if no log has the job. `at` as for `cards`."""
    starts = [each for store in stores if (each := job_start(store, job)) is not None]
    if not starts:
        return None
    done = any(row for store in stores for row in store.rows(DONE, job))
    named = zip(stores, names(stores), strict=True)
    clocks = (
        each for store, name in named for each in clock_jump_lines(name, jumps_within(store, job))
    )
    return closing_sheet(starts[0], rows_of_order(stores, job), at, done, clocks)


def moments(reported: Iterable[Shifts]) -> tuple[str, str]:
    """Return when the first shift began and the last ended, "" if one goes on.

    The end has no day if that is the day of the beginning. If the clocks changed on that day, both
    say by how far they are from UTC.
    """
    together = [shift for log_shifts in reported for shift in log_shifts]
    ended = [shift.ended for shift in together if shift.ended is not None]
    first = min(shift.began for shift in together)
    if len(ended) < len(together):
        return local_time(first), ""
    end = max(ended)
    began, last = local_time(first), local_time(end)
    day, _, hour = last.partition(" ")
    if not began.startswith(day):
        return began, last
    from_utc, to_utc = when(first).removeprefix(began), when(end).removeprefix(last)
    return (began, hour) if from_utc == to_utc else (began + from_utc, hour + to_utc)
