"""`kiosk report`: what a shift made, as text, page, spreadsheet or JSON."""

import json
import sys
from argparse import Namespace
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack
from functools import partial
from pathlib import Path

from kiosk.catalog.base import GARMENTS, REPORT_PAGE, TABLES
from kiosk.commands import DONE, FAULTS
from kiosk.commands.load import Output, check_outputs, shop_words, telling, told_on_stderr, written
from kiosk.log import default_log
from kiosk.log.facts import FactSource, ready, rows_of_jobs, shifts_of_all
from kiosk.log.rescue import past_damage
from kiosk.log.store import Damaged, LogFault, Store
from kiosk.report import tables, to_html
from kiosk.report.content import Report
from kiosk.report.period import Period
from kiosk.report.report import build
from kiosk.station.desk.shift import report_data
from kiosk.words import Words

Row = tuple[str, tables.GarmentRow]


def run(asked: Namespace) -> int:
    """Print the report of a shift, and write the files asked for."""
    words = shop_words(asked)
    if refused := check_outputs((output for output, _ in _wanted(asked)), words):
        return refused
    if asked.shop is None:
        return _with_logs(asked, [], words)
    from kiosk.commands.shop import with_records  # imports the database driver

    return with_records(asked, words, lambda shop: _with_logs(asked, shop, words))


def _with_logs(asked: Namespace, shop: list[FactSource], words: Words) -> int:
    try:
        try:
            tell = told_on_stderr(words)
            return _read(asked, shop, lambda path: Store.read_only(path, tell), words)
        except Damaged as damaged:  # damaged parts are left out and reported
            code = _read(asked, shop, past_damage, words)
            if code != DONE:
                print(words.say(damaged.message), file=sys.stderr)
            return code
    except LogFault as fault:
        print(words.say(fault.message), file=sys.stderr)
        return FAULTS


def _read(
    asked: Namespace, shop: list[FactSource], opened: Callable[[Path], Store], words: Words
) -> int:
    logs: list[Path] = asked.log or ([default_log()] if asked.shop is None else [])
    with ExitStack() as stack:
        stores = [stack.enter_context(opened(path)) for path in logs]
        for store in stores:
            stack.enter_context(store.reading())
            ready(store, telling(lambda: words))
        return _report(asked, [*shop, *stores], words)


def _report(asked: Namespace, stores: Sequence[FactSource], words: Words) -> int:
    if asked.garment or asked.order:
        return _sheet(asked, stores, words)
    logs = shifts_of_all(stores)
    span = _span(asked, logs)
    chosen = (
        report_data.choose(logs, asked.shift)
        if span is None
        else report_data.choose_span(logs, span)
    )
    if chosen is None:
        return _nothing(asked, stores, logs, words)
    about = report_data.read(stores, chosen, asked.busy_time)._replace(people=asked.people)
    if span is not None:
        about = about._replace(against=_days(report_data.span_before(span)))
    report = build(about, *report_data.moments(chosen.wanted))
    for output, made in _wanted(asked):
        if failed := written(output, partial(made, report, about.period, stores, words), words):
            return failed
    print(_json(report, about.period, words) if asked.json else tables.to_text(report, words.say))
    return DONE


def _span(asked: Namespace, logs: list[report_data.Shifts]) -> report_data.Span | None:
    """Return the days asked for, an open end filled from the record; None if none were asked."""
    if asked.first is None and asked.last is None:
        return None
    days = [report_data.day_of(shift) for log in logs for shift in log] or [
        asked.last or asked.first
    ]
    return asked.first or min(days), asked.last or max(days)


def _days(span: report_data.Span) -> str:
    return " – ".join(dict.fromkeys(day.isoformat() for day in span))


def _asked_days(asked: Namespace, words: Words) -> str:
    """Return the days as they were asked for; one end may be open."""
    if asked.first is not None and asked.last is not None:
        return _days((asked.first, asked.last))
    open_end = "command.report.days_from" if asked.last is None else "command.report.days_to"
    return words(open_end, day=str(asked.first or asked.last))


def _nothing(
    asked: Namespace, stores: Sequence[FactSource], logs: list[report_data.Shifts], words: Words
) -> int:
    known = tuple(dict.fromkeys(str(shift.id) for log in logs for shift in log))
    span = _span(asked, logs)
    if known and span is not None:
        days = [report_data.day_of(shift) for log in logs for shift in log]
        there = _days((min(days), max(days)))
        told = words("command.report.no_days", days=_asked_days(asked, words), known=there)
    else:
        nowhere = "command.report.none" if asked.shop is None else "command.report.none_shop"
        missing = "command.report.no_shift" if known else nowhere
        told = words(missing, asked=asked.shift, known=known)
    print(told, file=sys.stderr)
    for store in stores:
        if store.lost:
            lost = words("report.lost_elsewhere", station=store.name, count=len(store.lost))
            print(lost, file=sys.stderr)
    return FAULTS


def _sheet(asked: Namespace, stores: Sequence[FactSource], words: Words) -> int:
    """Print the card of each garment asked for, or an order's closing sheet."""
    job, _, called = (asked.garment or "").rpartition("/")
    at = report_data.when if asked.json else report_data.here
    sheet = None if asked.garment else report_data.closing(stores, asked.order, at)
    made = report_data.cards(stores, job, called, at) if sheet is None else (sheet,)
    if not made:
        print(_not_there(asked, stores, job, called, words), file=sys.stderr)
        return FAULTS
    if asked.garment and (told := report_data.found_by_line(made, job, called)) is not None:
        print(words.say(told), file=sys.stderr)
        if len(made) > 1:
            print(words("command.report.line_only", job=job, asked=called), file=sys.stderr)
    if asked.html:
        page = to_html(made[0], words.say, words.language, made[1:])
        if failed := written(Output(asked.html, REPORT_PAGE), lambda: page, words):
            return failed
    if asked.json:
        print(
            json.dumps(
                [tables.rows_of(each, words.say) for each in made], ensure_ascii=False, indent=1
            )
        )
    else:
        print("\n\n".join(tables.to_text(each, words.say) for each in made))
    return DONE


def _not_there(
    asked: Namespace, stores: Sequence[FactSource], job: str, called: str, words: Words
) -> str:
    """Return what to say if nothing matches, with the names that the record does have."""
    numbers = report_data.numbers_named(stores, job) if job else ()
    if numbers:
        return words("command.report.no_number", job=job, asked=called, known=numbers)
    known = report_data.jobs_named(stores)
    missing = "command.report.no_garment_of" if known else "command.report.no_garment"
    return words(missing, asked=asked.garment or asked.order, known=known)


Made = Callable[[Report, Period, Sequence[FactSource], Words], str | Iterator[bytes]]


def _wanted(asked: Namespace) -> Iterator[tuple[Output, Made]]:
    """Yield the files asked for, each with the function that makes its content."""
    if asked.csv:
        yield Output(asked.csv, GARMENTS), _csv
    if asked.tables:
        yield (
            Output(asked.tables, TABLES),
            lambda report, _, __, words: tables.tables_to_csv(report, words.say),
        )
    if asked.html:
        yield (
            Output(asked.html, REPORT_PAGE),
            lambda report, _, __, words: to_html(report, words.say, words.language),
        )


def _csv(_: Report, period: Period, stores: Sequence[FactSource], __: Words) -> Iterator[bytes]:
    lines = tables.to_csv(_garments(period, stores), report_data.when, period.begun())
    return (line.encode() for line in lines)


def _garments(period: Period, stores: Sequence[FactSource]) -> Iterator[Row]:
    """Yield the garments of each station, holding one job in memory at a time."""
    by_station = {facts.station: facts for facts in period.logs}
    for store, name in zip(stores, report_data.names(stores), strict=True):
        known = by_station.get(name)
        if known is not None:
            for job in sorted(known.jobs):
                for row in tables.garment_rows(rows_of_jobs(store, (job,))):
                    yield known.station, row


def _json(report: Report, period: Period, words: Words) -> str:
    every = [(facts.station, shift) for facts in period.logs for shift in facts.shifts]
    told = [
        {
            "station": station,
            "shift": shift.id,
            "began": report_data.when(shift.began),
            "ended": None if shift.ended is None else report_data.when(shift.ended),
        }
        for station, shift in every
    ]
    content = {
        "shift": every[0][1].id if len(every) == 1 else None,
        "shifts": told,
        **tables.values(report, period, words.say),
    }
    return json.dumps(content, ensure_ascii=False, indent=1)
