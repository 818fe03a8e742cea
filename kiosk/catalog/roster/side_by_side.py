"""Lists side by side in one sheet, as for two teams: each is an order of its own."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from kiosk.catalog.base import Notes, say
from kiosk.catalog.roster.header_row import as_letters, heads_garments
from kiosk.catalog.roster.headers import fields_in
from kiosk.catalog.roster.tables import HEADER_ROWS, TableRow, plain_header


def one_list(
    rows: tuple[TableRow, ...], given: Mapping[str, str], choices: Collection[str], notes: Notes
) -> tuple[TableRow, ...]:
    """Return the rows of the list in `choices`, by default of the first; ask which it is.

    All rows are returned if the headings do not repeat.
    """
    for place, row in enumerate(rows[:HEADER_ROWS]):
        spans = _spans(row.cells, given)
        if len(spans) > 1:
            by_name = {_list_name(rows, place, span): span for span in spans}
            first, *others = by_name
            problem = say("catalog.roster.side_by_side", count=len(by_name))
            notes.add(problem, found=first, could_be=tuple(others), question=True)
            chosen = next((name for name in by_name if name in choices), first)
            own = by_name[chosen]
            above = rows[: place - 1] if _title(rows, place, own) else rows[:place]
            return tuple(_cut((*above, *rows[place:]), own))
    return rows


def _spans(cells: Sequence[str], given: Mapping[str, str]) -> list[range]:
    """Return the columns of each list if the same headings repeat in the same order, else []."""
    first = next((n for n, cell in enumerate(cells) if cell), 0)
    plain = [plain_header(cell) for cell in cells[first:]]
    for width in range(2, len(plain)):
        if not heads_garments(fields_in(cells[first : first + width], given)):
            continue
        starts = [0]
        while _repeats(plain, width, starts[-1] + width):
            starts.append(starts[-1] + width)
        if len(starts) > 1:
            ends = (*starts[1:], len(plain))
            return [range(first + a, first + b) for a, b in zip(starts, ends, strict=True)]
    return []


def _repeats(plain: Sequence[str], width: int, start: int) -> bool:
    """Return whether the first headings repeat from `start` on; a final gap may be missing."""
    head = plain[:width]
    while head and not head[-1]:
        head = head[:-1]
    return plain[start : start + len(head)] == head


def _list_name(rows: Sequence[TableRow], place: int, span: range) -> str:
    """Return a list's title, if any, and its columns: `HERONS (A–C)`."""
    last = max(n for n in span if n < len(rows[place].cells) and rows[place].cells[n])
    columns, title = f"{as_letters(span[0])}–{as_letters(last)}", _title(rows, place, span)
    return f"{title} ({columns})" if title else columns


def _title(rows: Sequence[TableRow], place: int, span: range) -> str:
    """Return the only cell in the row above a list's headings; empty for none or several."""
    above = [cell for cell in rows[place - 1].cells[span.start : span.stop] if cell]
    return above[0] if place and len(above) == 1 else ""


def _cut(rows: Sequence[TableRow], span: range) -> list[TableRow]:
    """Return the rows cut down to the list's columns, without those that are empty there."""
    found = []
    for row in rows:
        slips = {n - span.start: slip for n, slip in row.slips.items() if n in span}
        cells = row.cells[span.start : span.stop]
        if any(cells) or slips:
            found.append(replace(row, cells=cells, slips=slips))
    return found
