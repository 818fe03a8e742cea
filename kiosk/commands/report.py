"""`kiosk report`: what a shift made, as text, page, spreadsheet or JSON."""

import json
import sys
from argparse import Namespace
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack
from functools import partial
from pathlib import Path

from kiosk.catalog.base import GARMENTS, REPORT_PAGE, TABLES
from kiosk.commands import DONE, FAULTS, USAGE
from kiosk.commands.load import (
    Output,
    check_outputs,
    messages_to_stderr,
    progress_to_stderr,
    shop_words,
    write_output,
)
from kiosk.log import default_log
from kiosk.log.facts import FactSource, ready, rows_of_jobs, shifts_of_all
from kiosk.log.rescue import past_damage
from kiosk.log.store import Damaged, LogFault, Store
from kiosk.report import tables, to_html
from kiosk.report.content import Report
from kiosk.report.period import Period
from kiosk.report.report import build
from kiosk.station.desk.shift import report_data, shift_choice
from kiosk.words import Words

Row = tuple[str, tables.GarmentRow]


def run(options: Namespace) -> int:
    """Print the report of a shift, and write the files asked for."""
    words = shop_words(options)
    if options.first and options.last and options.first > options.last:
        reversed_days = {"first": str(options.first), "last": str(options.last)}
        print(words("command.report.days_reversed", **reversed_days), file=sys.stderr)
        return USAGE
    if refused := check_outputs((output for output, _ in _outputs(options)), words):
        return refused
    if options.shop is None:
        return _with_logs(options, [], words)
    from kiosk.commands.shop import with_records  # imports the database driver

    return with_records(options, words, lambda shop: _with_logs(options, shop, words))


def _with_logs(options: Namespace, shop: list[FactSource], words: Words) -> int:
    try:
        try:
            tell = messages_to_stderr(words)
            return _read(options, shop, lambda path: Store.read_only(path, tell), words)
        except Damaged as damaged:  # damaged parts are left out and reported
            code = _read(options, shop, past_damage, words)
            if code != DONE:
                print(words.say(damaged.message), file=sys.stderr)
            return code
    except LogFault as fault:
        print(words.say(fault.message), file=sys.stderr)
        return FAULTS


def _read(
    options: Namespace, shop: list[FactSource], open_log: Callable[[Path], Store], words: Words
) -> int:
    logs: list[Path] = options.log or ([default_log()] if options.shop is None else [])
    with ExitStack() as stack:
        stores = [stack.enter_context(open_log(path)) for path in logs]
        for store in stores:
            stack.enter_context(store.reading())
            ready(store, progress_to_stderr(lambda: words))
        return _report(options, [*shop, *stores], words)


def _report(options: Namespace, stores: Sequence[FactSource], words: Words) -> int:
    if options.garment or options.order:
        return _print_sheet(options, stores, words)
    logs = shifts_of_all(stores)
    span = _span(options, logs)
    chosen = (
        shift_choice.choose(logs, options.shift)
        if span is None
        else shift_choice.choose_span(logs, span)
    )
    if chosen is None:
        return _print_no_match(options, stores, logs, words)
    request = report_data.read(stores, chosen, options.busy_time)._replace(people=options.people)
    if span is not None:
        request = request._replace(against=_days(shift_choice.span_before(span)))
    report = build(request, *report_data.moments(chosen.reported))
    for output, make in _outputs(options):
        if failed := write_output(
            output, partial(make, report, request.period, stores, words), words
        ):
            return failed
    print(
        _json(report, request.period, words) if options.json else tables.to_text(report, words.say)
    )
    return DONE


def _span(options: Namespace, logs: list[shift_choice.Shifts]) -> shift_choice.Span | None:
    """Return the days asked for, an open end filled from the record; None if none were asked."""
    if options.first is None and options.last is None:
        return None
    days = [shift_choice.day_of(shift) for log in logs for shift in log] or [
        options.last or options.first
    ]
    return options.first or min(days), options.last or max(days)


def _days(span: shift_choice.Span) -> str:
    return " – ".join(dict.fromkeys(day.isoformat() for day in span))


def _days_as_given(options: Namespace, words: Words) -> str:
    """Return the days as they were asked for; one end may be open."""
    if options.first is not None and options.last is not None:
        return _days((options.first, options.last))
    open_end = "command.report.days_from" if options.last is None else "command.report.days_to"
    return words(open_end, day=str(options.first or options.last))


def _print_no_match(
    options: Namespace, stores: Sequence[FactSource], logs: list[shift_choice.Shifts], words: Words
) -> int:
    known = tuple(dict.fromkeys(str(shift.id) for log in logs for shift in log))
    span = _span(options, logs)
    if known and span is not None:
        days = [shift_choice.day_of(shift) for log in logs for shift in log]
        recorded = _days((min(days), max(days)))
        line = words("command.report.no_days", days=_days_as_given(options, words), known=recorded)
    else:
        nowhere = "command.report.none" if options.shop is None else "command.report.none_shop"
        message_id = "command.report.no_shift" if known else nowhere
        line = words(message_id, asked=options.shift, known=known)
    print(line, file=sys.stderr)
    for store in stores:
        if store.lost:
            lost = words("report.lost_elsewhere", station=store.name, count=len(store.lost))
            print(lost, file=sys.stderr)
    return FAULTS


def _print_sheet(options: Namespace, stores: Sequence[FactSource], words: Words) -> int:
    """Print the card of each garment asked for, or an order's closing sheet."""
    job, _, number = (options.garment or "").rpartition("/")
    time_text = report_data.when if options.json else report_data.local_time
    sheet = None if options.garment else report_data.order_sheet(stores, options.order, time_text)
    sheets = report_data.cards(stores, job, number, time_text) if sheet is None else (sheet,)
    if not sheets:
        print(_no_garment(options, stores, job, number, words), file=sys.stderr)
        return FAULTS
    if options.garment and (found_by := report_data.found_by_line(sheets, job, number)) is not None:
        print(words.say(found_by), file=sys.stderr)
        if len(sheets) > 1:
            print(words("command.report.line_only", job=job, asked=number), file=sys.stderr)
    if options.html:
        page = to_html(sheets[0], words.say, words.language, sheets[1:])
        if failed := write_output(Output(options.html, REPORT_PAGE), lambda: page, words):
            return failed
    if options.json:
        print(
            json.dumps(
                [tables.rows_of(each, words.say) for each in sheets], ensure_ascii=False, indent=1
            )
        )
    else:
        print("\n\n".join(tables.to_text(each, words.say) for each in sheets))
    return DONE


def _no_garment(
    options: Namespace, stores: Sequence[FactSource], job: str, number: str, words: Words
) -> str:
    """Return what to say if nothing matches, with the names that the record does have."""
    numbers = report_data.garment_numbers(stores, job) if job else ()
    if numbers:
        return words("command.report.no_number", job=job, asked=number, known=numbers)
    known = report_data.job_names(stores)
    message_id = "command.report.no_garment_of" if known else "command.report.no_garment"
    return words(message_id, asked=options.garment or options.order, known=known)


Maker = Callable[[Report, Period, Sequence[FactSource], Words], str | Iterator[bytes]]


def _outputs(options: Namespace) -> Iterator[tuple[Output, Maker]]:
    """Yield the files asked for, each with the function that makes its content."""
    if options.csv:
        yield Output(options.csv, GARMENTS), _csv
    if options.tables:
        yield (
            Output(options.tables, TABLES),
            lambda report, _, __, words: tables.tables_to_csv(report, words.say),
        )
    if options.html:
        yield (
            Output(options.html, REPORT_PAGE),
            lambda report, _, __, words: to_html(report, words.say, words.language),
        )


def _csv(_: Report, period: Period, stores: Sequence[FactSource], __: Words) -> Iterator[bytes]:
    lines = tables.to_csv(_garments(period, stores), report_data.when, period.job_starts())
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
    all_shifts = [(facts.station, shift) for facts in period.logs for shift in facts.shifts]
    shifts = [
        {
            "station": station,
            "shift": shift.id,
            "began": report_data.when(shift.began),
            "ended": None if shift.ended is None else report_data.when(shift.ended),
        }
        for station, shift in all_shifts
    ]
    content = {
        "shift": all_shifts[0][1].id if len(all_shifts) == 1 else None,
        "shifts": shifts,
        **tables.values(report, period, words.say),
    }
    return json.dumps(content, ensure_ascii=False, indent=1)
