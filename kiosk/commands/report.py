"""`kiosk report`: what a shift made, to read, to keep, for a spreadsheet or a program."""

import json
import sys
from argparse import Namespace
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from functools import partial
from pathlib import Path

from kiosk.catalog.base import GARMENTS, REPORT_PAGE, TABLES
from kiosk.commands import DONE, FAULTS
from kiosk.commands.load import Output, looked_at, shop_words, telling, written
from kiosk.log import default_log
from kiosk.log.facts import choose, ready, rows_of_jobs, shifts
from kiosk.log.rescue import past_damage
from kiosk.log.store import Damaged, LogFault, Store
from kiosk.report.build import build
from kiosk.report.content import Report
from kiosk.report.draw import to_html
from kiosk.report.period import Period
from kiosk.report.tables import GarmentRow, garment_rows, tables_to_csv, to_csv, to_text, values
from kiosk.station.desk.shift.counting import moments, names, read, when
from kiosk.words import Words

Row = tuple[str, GarmentRow]


def run(asked: Namespace) -> int:
    """Print the report of a shift, and write the files that were asked for."""
    words = shop_words(asked)
    if refused := looked_at((output for output, _ in _wanted(asked)), words):
        return refused
    try:
        try:
            return _read(asked, Store.read_only, words)
        except Damaged:  # what is bad is left out, and said
            return _read(asked, past_damage, words)
    except LogFault as fault:
        print(words.say(fault.message), file=sys.stderr)
        return FAULTS


def _read(asked: Namespace, opened: Callable[[Path], Store], words: Words) -> int:
    with ExitStack() as stack:
        stores = [stack.enter_context(opened(path)) for path in asked.log or [default_log()]]
        for store in stores:
            stack.enter_context(store.reading())
            ready(store, telling(words))
        return _report(asked, stores, words)


def _report(asked: Namespace, stores: list[Store], words: Words) -> int:
    logs = [shifts(store) for store in stores]
    chosen = choose(logs, asked.shift)
    if chosen is None:
        known = tuple(str(each.id) for each in (s for log in logs for s in log))
        missing = "command.report.no_shift" if known else "command.report.none"
        print(words(missing, asked=asked.shift, known=known), file=sys.stderr)
        for store in stores:
            if store.lost:
                lost = words(
                    "report.lost_elsewhere", station=store.path.stem, count=len(store.lost)
                )
                print(lost, file=sys.stderr)
        return FAULTS
    about = read(stores, chosen, asked.busy_time)
    report = build(about, *moments(chosen.wanted))
    for output, made in _wanted(asked):
        if failed := written(output, partial(made, report, about.period, stores, words), words):
            return failed
    print(_json(report, about.period, words) if asked.json else to_text(report, words.say))
    return DONE


Made = Callable[[Report, Period, list[Store], Words], str]


def _wanted(asked: Namespace) -> Iterator[tuple[Output, Made]]:
    """Yield the files asked for, each with what makes its content."""
    if asked.csv:
        yield Output(asked.csv, GARMENTS), _csv
    if asked.tables:
        yield (
            Output(asked.tables, TABLES),
            lambda report, _, __, words: tables_to_csv(report, words.say),
        )
    if asked.html:
        yield (
            Output(asked.html, REPORT_PAGE),
            lambda report, _, __, words: to_html(report, words.say, words.language),
        )


def _csv(_: Report, period: Period, stores: list[Store], __: Words) -> str:
    return to_csv(_garments(period, stores), when, period.begun())


def _garments(period: Period, stores: list[Store]) -> list[Row]:
    by_station = {facts.station: facts for facts in period.logs}
    found: list[Row] = []
    for store, name in zip(stores, names([store.path for store in stores]), strict=True):
        known = by_station.get(name)
        if known is not None:
            rows = garment_rows(rows_of_jobs(store, known.jobs))
            found += [(known.station, row) for row in rows]
    return found


def _json(report: Report, period: Period, words: Words) -> str:
    every = [(facts.station, shift) for facts in period.logs for shift in facts.shifts]
    told = [
        {
            "station": station,
            "shift": shift.id,
            "began": when(shift.began.wall),
            "ended": None if shift.ended is None else when(shift.ended.wall),
        }
        for station, shift in every
    ]
    content = {
        "shift": every[0][1].id if len(every) == 1 else None,
        "shifts": told,
        **values(report, period, words.say),
    }
    return json.dumps(content, ensure_ascii=False, indent=1)
