"""Lookups in the record, and one subject as a page: its answer over a table or chart."""

from collections.abc import Callable, Iterator
from typing import TypeVar

from kiosk.catalog.base import Message, say
from kiosk.log.rescue import without_bad
from kiosk.log.store import Damaged, LogFault, Store
from kiosk.report.content import BarChart, ControlChart, Say, Table, Topic, cell_reader
from kiosk.report.strokes import line_figures
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.sheet import Button, ChartPicture, Picture, Sheet, TablePicture
from kiosk.words import Words

T = TypeVar("T")

NARROW = 4  # columns: rows of wider tables may take several lines
ROWS, FEW_ROWS = 6, 4
PARTS = 4
ANSWERS = 2  # sentences that fit over a table


def read_from_record(desk: Desk, ask: Callable[[Store], T]) -> T | None:
    """Return what `ask` finds in the station's own record; None, with a notice, if it cannot."""
    recorder = desk.shell.recorder
    if recorder.rereading is not None:
        desk.shell.say(say("station.read_anew", percent=recorder.rereading.percent))
        return None
    recorder.checkpoint()  # so that the reader need not fold events again
    try:
        try:
            return ask(recorder.store)
        except Damaged:
            with without_bad(recorder.store.path) as reader:
                found = ask(reader)
            desk.shell.say(say("station.bad_events"), lasting=True)
            return found
    except LogFault as fault:
        desk.shell.say(fault.message)
        return None


def sheet_of(
    topic: Topic, nth: int, words: Words, go_on: Button, back: Button, few: int = FEW_ROWS
) -> Sheet:
    """Return part `nth` of a subject: its answer over its table, then over its chart."""
    sentences = topic.answer or topic.section.reading
    drawn = pictures(topic, words, few)
    return Sheet(
        title=title_of(topic, words),
        lines=tuple(words.say(line) for line in sentences[:ANSWERS]),
        main=go_on,
        left=back,
        picture=drawn[nth] if drawn else None,
    )


def pictures(topic: Topic, words: Words, few: int = FEW_ROWS) -> tuple[Picture, ...]:
    """Return the pictures of a subject: its table, in parts that fit, then its chart.

    A part of a wide table has `few` rows.
    """
    section = topic.section
    chart = () if section.chart is None else (_chart(section.chart, words.say),)
    return (*_tables(section.table, words, few), *chart)


def _tables(table: Table, words: Words, few: int) -> Iterator[Picture]:
    """Yield the table's parts; the last takes all remaining rows, and counts what does not fit."""
    each = few if len(table.head) > NARROW else ROWS
    for nth in range(min(PARTS, -(-len(table.rows) // each))):
        until = None if nth == PARTS - 1 else (nth + 1) * each
        yield _table(Table(table.head, table.rows[nth * each : until]), words.say)


def title_of(topic: Topic, words: Words) -> str:
    """Return the question that a subject answers, else its title."""
    if topic.question:
        return words.say(Message(f"question.{topic.question}"))
    return words.say(topic.section.title)


def _table(table: Table, say: Say) -> TablePicture:
    """Return a table with its words."""
    texts = cell_reader(say)
    rows = tuple(tuple(texts(cells)) for cells in table.rows)
    return TablePicture(tuple(map(say, table.head)), rows)


def _chart(chart: ControlChart | BarChart, say: Say) -> ChartPicture:
    """Return a chart with its words."""
    if isinstance(chart, ControlChart):
        return ChartPicture(chart, line_figures(chart, say))
    return ChartPicture(bars=tuple((say(label), n, covered) for label, n, covered in chart.bars))
