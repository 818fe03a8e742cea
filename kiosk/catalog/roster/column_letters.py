"""Column letters as headings for columns without one, so that each can be asked about."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from kiosk.catalog.model.orders import size_named
from kiosk.catalog.roster.header_row import as_letters, is_garment, likely_header
from kiosk.catalog.roster.tables import TableRow


def with_headings(rows: Sequence[TableRow], given: Mapping[str, str]) -> tuple[TableRow, ...]:
    """Return the rows with headings on one line each, and none empty above a filled column.

    If the first row of several cells is already a garment, a row of headings is put above it:
    otherwise the garment would be taken for the headings and lost.
    """
    place = likely_header(rows, given)
    if place is None:
        place = _first_of_several(rows)
        if _is_garment(rows[place:]):
            width = max(len(row.cells) for row in rows)
            rows = (*rows[:place], TableRow(0, ("",) * width), *rows[place:])
    return (*rows[:place], _with_letters(rows[place:]), *rows[place + 1 :])


def _first_of_several(rows: Sequence[TableRow]) -> int:
    return next((n for n, row in enumerate(rows) if sum(map(bool, row.cells)) > 1), 0)


def _is_garment(rows: Sequence[TableRow]) -> bool:
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
