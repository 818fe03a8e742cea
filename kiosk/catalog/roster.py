"""Reads a roster: CSV as spreadsheets send it, into one line a garment."""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace

from kiosk.catalog import cells
from kiosk.catalog.cells import Cell
from kiosk.catalog.headers import BY_SPELLING, columns
from kiosk.catalog.message import Message, say
from kiosk.catalog.model import RosterLine
from kiosk.catalog.notes import Notes
from kiosk.catalog.tables import Row, rows

Placed = tuple[Row, RosterLine]


def roster(data: bytes, elements: frozenset[str], notes: Notes) -> tuple[RosterLine, ...]:
    """Return the garments of a roster file, in its order.

    `elements` says whether the recipe asks for a `name` and a `number`. What is wrong or
    doubtful is noted, all of it; raises Unsound where there are no lines to return.
    """
    wanted = frozenset({"size"}) | (elements & {"name", "number"})
    table = rows(data, frozenset(BY_SPELLING), notes)
    places = columns(table, wanted, notes)
    if len(table) == 1:
        raise notes.add(say("catalog.roster.no_rows"), line=table[0].line)
    for row in table[1:]:
        _check_width(row, len(table[0].cells), notes)
    placed = [(row, _line(row, places, wanted, notes)) for row in table[1:]]
    placed = _numbered(placed, notes)
    if "number" in wanted:
        _check_numbers(placed, notes)
    return tuple(line for _, line in placed)


def line_digest(line: RosterLine) -> str:
    """Return the SHA-256 (hex) of one line's content: another one means that it was changed."""
    content = json.dumps([line.line, line.size, line.name, line.number], ensure_ascii=True)
    return hashlib.sha256(content.encode("ascii")).hexdigest()


def roster_digest(data: bytes) -> str:
    """Return the SHA-256 (hex) of a roster file's bytes."""
    return hashlib.sha256(data).hexdigest()


def _line(row: Row, places: dict[str, int], wanted: frozenset[str], notes: Notes) -> RosterLine:
    def cell(column: str) -> Cell:
        place = places.get(column, len(row.cells))
        text = row.cells[place] if place < len(row.cells) else ""
        return Cell(notes, row.line, column, text)

    return RosterLine(
        line=cells.line_id(cell("line")),
        size=cells.size(cell("size")),
        name=cells.name(cell("name"), "name" in wanted),
        number=cells.number(cell("number"), "number" in wanted),
    )


def _numbered(placed: list[Placed], notes: Notes) -> list[Placed]:
    """Number the lines 1 to n where the file has no ids; note ids that are missing or doubled."""
    if not any(line.line for _, line in placed):
        return [(row, replace(line, line=str(n))) for n, (row, line) in enumerate(placed, 1)]
    first: dict[str, int] = {}
    for row, line in placed:
        if not line.line:
            notes.add(say("catalog.roster.no_line"), line=row.line, key="line")
        elif line.line in first:
            problem = say("catalog.roster.line_twice", first=first[line.line])
            notes.add(problem, line=row.line, key="line", found=line.line)
        first.setdefault(line.line, row.line)
    return placed


def _check_width(row: Row, width: int, notes: Notes) -> None:
    if any(row.cells[width:]):
        extra = next(cell for cell in row.cells[width:] if cell)
        notes.add(say("catalog.roster.more_cells"), line=row.line, found=extra)


def _check_numbers(placed: list[Placed], notes: Notes) -> None:
    """Ask about numbers that come twice, and about 7 beside 07. 0 and 00 may stand together."""
    first: dict[str, int] = {}
    written: dict[str, str] = {}
    for row, line in placed:
        text = line.number
        if not (text.isascii() and text.isdigit()):
            continue
        value = text.lstrip("0")
        other = written.setdefault(value, text) if value else text
        if text in first:
            _ask(row, text, say("catalog.roster.number_twice", first=first[text]), notes)
        elif other != text:
            problem = say("catalog.roster.zeros", other=other, first=first[other])
            _ask(row, text, problem, notes)
        first.setdefault(text, row.line)


def _ask(row: Row, number: str, problem: Message, notes: Notes) -> None:
    notes.add(problem, line=row.line, key="number", found=number, question=True)
