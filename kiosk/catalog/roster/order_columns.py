"""The columns of an order's file: as read so far, and what a person must say about them."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from kiosk.catalog.base import dataclass
from kiosk.catalog.base.files import read_bytes
from kiosk.catalog.base.notes import Fault, Message, Notes, Unsound, question_id
from kiosk.catalog.model.orders import RosterColumn
from kiosk.catalog.roster import headers
from kiosk.catalog.roster.answers import Answers, of_whole_file
from kiosk.catalog.roster.header_row import (
    first_of_several,
    header_place,
    likely_header,
    misplacement_of,
)
from kiosk.catalog.roster.roster import read_table
from kiosk.catalog.roster.tables import TableRow, by_line, message_with_row

FIRST_CELLS = 4


class CannotOrder(Exception):
    """The order cannot be begun, saved or made a job; `message` says why."""

    def __init__(self, message: Message) -> None:
        super().__init__(message.id)
        self.message = message


@dataclass(frozen=True, slots=True)
class OrderColumns:
    """The columns of a file as read, and its rows down to the headings.

    `header` is the place of the row of headings among `rows`; if no heading is known it is a
    guess, and `questions` are those about it. `first_cells` holds the first cells under each
    heading, `lines` the cells of every row by line. `first_questions` are to be answered before the
    columns mean anything: which sheet, or which letters. `headless`: the file has no headings, its
    first row is already a garment. `title_questions` are about the rows above the headings.
    """

    columns: tuple[RosterColumn, ...]
    first_cells: tuple[tuple[str, ...], ...]
    rows: tuple[tuple[str, ...], ...]
    header: int
    garments: int
    lines: Mapping[int, tuple[str, ...]]
    questions: tuple[Fault, ...] = ()
    first_questions: tuple[Fault, ...] = ()
    headless: bool = False
    title_questions: tuple[Fault, ...] = ()


class ColumnsWish(NamedTuple):
    """A file to read: the headers given by field, and those left out."""

    path: Path
    given: Mapping[str, str]
    unused: frozenset[str]


def read_columns(wish: ColumnsWish, answers: Answers) -> OrderColumns:
    """Return the file's columns as read. Raises CannotOrder if it is not a roster."""
    table, faults = _table(wish, answers)
    questions = _with_ids(faults)
    first = tuple(f for f in questions if of_whole_file(f.id) and f.id not in answers)
    misplacement = None if first else misplacement_of(table, wish.given)
    if misplacement is not None:
        raise CannotOrder(misplacement)
    likely = likely_header(table, wish.given)
    place = first_of_several(table) if likely is None else likely
    below = table[place:]
    given = headers.assign_doubtful(below, wish.given)
    columns = headers.read_header(below[0].cells, given, wish.unused)
    return OrderColumns(
        columns,
        tuple(_first_cells(below, n) for n in range(len(columns))),
        tuple(each.cells for each in table[: place + 1]),
        place,
        len(below) - 1,
        by_line(table),
        _about_columns(below) if likely is None else (),
        first,
        headless=not below[0].line,
        title_questions=_about_title(table, wish.given) if likely else (),
    )


def _table(wish: ColumnsWish, answers: Answers) -> tuple[tuple[TableRow, ...], tuple[Fault, ...]]:
    """Return the file's rows, and the questions about the whole file."""
    notes = Notes("")
    choices = frozenset(a.text for name, a in answers.items() if of_whole_file(name))
    try:
        data = read_bytes(wish.path, notes)
        return read_table(wish.path.name, data, wish.given, notes, choices), notes.faults
    except Unsound as problem:
        raise CannotOrder(message_with_row(notes.faults[0])) from problem


def _about_columns(below: Sequence[TableRow]) -> tuple[Fault, ...]:
    """Return a question for each column below headings that are a guess."""
    notes = Notes("")
    headers.ask_all(below, notes)
    return _with_ids(notes.faults, below[0].cells if below[0].line else ())


def _about_title(table: Sequence[TableRow], given: Mapping[str, str]) -> tuple[Fault, ...]:
    """Return the questions about the rows above the headings."""
    notes = Notes("")
    header_place(table, given, notes)
    return _with_ids(notes.faults, table[0].cells)


def _with_ids(faults: Iterable[Fault], row: Sequence[str] = ()) -> tuple[Fault, ...]:
    return tuple(replace(fault, id=question_id(fault, row)) for fault in faults)


def _first_cells(rows: Sequence[TableRow], place: int) -> tuple[str, ...]:
    """Return the first filled cells of a column below the heading."""
    cells = (row.cells[place] for row in rows[1:] if place < len(row.cells))
    return tuple(filter(None, cells))[:FIRST_CELLS]
