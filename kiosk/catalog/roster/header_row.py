"""Which row of a roster holds the headings, where they must not be, and letters in their place."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from kiosk.catalog.base.notes import Message, Notes, listed, say
from kiosk.catalog.model.orders import size_named
from kiosk.catalog.roster.headers import COLUMNS, DOUBTFUL, fields_in, way_out
from kiosk.catalog.roster.tables import HEADER_ROWS, TableRow, plain_header


def header_place(rows: Sequence[TableRow], given: Mapping[str, str], notes: Notes) -> int:
    """Return the place of the row of headings.

    Notes a question if there is a title above it; raises Unsound if there are no headings. The
    fault then quotes nothing of the first row, which may hold a player's name.
    """
    misplacement = misplacement_of(rows, given)
    if misplacement is not None:
        raise notes.add(misplacement)
    place = likely_header(rows, given)
    if place is not None:
        if place:
            notes.add(say("catalog.roster.title"), line=rows[0].line, question=True)
        return place
    if any(plain_header(cell) in DOUBTFUL for cell in rows[0].cells if cell):
        return 0
    problem = say("catalog.roster.no_header", example=way_out("size", "HEADING"))
    raise notes.add(problem, line=rows[0].line, allowed=listed(COLUMNS))


def likely_header(rows: Sequence[TableRow], given: Mapping[str, str]) -> int | None:
    """Return the place of the first row that is surely the headings, by its known columns.

    Otherwise that of the first row with the most known columns, or None if none is known. Only
    the first HEADER_ROWS rows count.
    """
    settled = {*given.values()}
    known = [
        {*fields_in(row.cells, given)} - {""}
        if not is_garment(row.cells) or not settled.isdisjoint(row.cells)
        else set[str]()
        for row in rows[:HEADER_ROWS]
    ]
    sure = (n for n, fields in enumerate(known) if heads_garments(fields))
    most = max(map(len, known), default=0)
    return next(sure, [len(fields) for fields in known].index(most) if most else None)


def is_garment(cells: Sequence[str]) -> bool:
    """Return whether a row has a size and a number, so is not headings even if it names a Kit."""
    sized = any(size_named(cell) is not None for cell in cells)
    return sized and any(re.fullmatch("[0-9]{1,2}", cell) for cell in cells)


def as_letters(place: int) -> str:
    """Return a column's letters in a sheet: 0 is A, 26 is AA."""
    before, last = divmod(place, 26)
    return f"{as_letters(before - 1) if before else ''}{chr(ord('A') + last)}"


def heads_garments(fields: Iterable[str]) -> bool:
    """Return whether these fields are enough for a garment: size, and name or number."""
    known = frozenset(fields)
    return "size" in known and not known.isdisjoint({"name", "number"})


def misplacement_of(rows: Sequence[TableRow], given: Mapping[str, str]) -> Message | None:
    """Return why the headings cannot be used where they are, or None if they can.

    They are below the garments, beside them, or missing because there is no table.
    """
    place, wide = likely_header(rows, given), [sum(map(bool, row.cells)) > 1 for row in rows]
    if place is not None:
        if place == len(rows) - 1 and any(wide[:place]):
            return say("catalog.roster.headings_below", row=rows[place].line)
        first_column = fields_in([row.cells[0] for row in rows[:HEADER_ROWS]], given)
        known = {*fields_in(rows[place].cells, given)} - {""}
        on_side = heads_garments(first_column) and len(known) < 2
        return say("catalog.roster.on_its_side") if on_side else None
    for row in rows[HEADER_ROWS:]:
        if heads_garments(fields_in(row.cells, given)):
            return say("catalog.roster.headings_below", row=row.line)
    return say("catalog.roster.no_table") if 2 * sum(wide) < len(rows) else None


def with_headings(rows: Sequence[TableRow], given: Mapping[str, str]) -> tuple[TableRow, ...]:
    """Return the rows with headings on one line each, and none empty above a filled column.

    If the first row of several cells is already a garment, a row of headings is put above it:
    otherwise the garment would be taken for the headings and lost.
    """
    place = likely_header(rows, given)
    if place is None:
        place = first_of_several(rows)
        if _begins_with_garment(rows[place:]):
            width = max(len(row.cells) for row in rows)
            rows = (*rows[:place], TableRow(0, ("",) * width), *rows[place:])
    return (*rows[:place], _with_letters(rows[place:]), *rows[place + 1 :])


def first_of_several(rows: Sequence[TableRow]) -> int:
    """Return the place of the first row with more than one cell, 0 if there is none."""
    return next((n for n, row in enumerate(rows) if sum(map(bool, row.cells)) > 1), 0)


def _begins_with_garment(rows: Sequence[TableRow]) -> bool:
    """Return whether the first row has a size in exactly one column where the next has one too.

    A single row must have a size and a number.
    """
    if len(rows) == 1:
        return is_garment(rows[0].cells)
    pairs = zip(rows[0].cells, rows[1].cells, strict=False)
    return sum(all(map(size_named, both)) for both in pairs) == 1


def _with_letters(rows: Sequence[TableRow]) -> TableRow:
    header, width = rows[0], len(rows[0].cells)
    filled = {n for row in rows[1:] for n, cell in enumerate(row.cells[:width]) if cell}
    cells = (
        " ".join(cell.split()) or (f"[{as_letters(n)}]" if n in filled else "")
        for n, cell in enumerate(header.cells)
    )
    return replace(header, cells=tuple(cells))
