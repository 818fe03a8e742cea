"""Rows that hardly are a garment, and rows that are several."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from kiosk.catalog.base import Message, Notes, say
from kiosk.catalog.model import RosterLine, size_named
from kiosk.catalog.roster.settling import Edits
from kiosk.catalog.roster.tables import Row, plain_header

Placed = tuple[Row, RosterLine]

ONE = re.compile(r"0*1([.,]0+)?")
_SEVERAL = re.compile(r"x? *0*([0-9]{1,2})([.,]0+)? *x?", re.I)


def copies_of(
    rows: Sequence[Row], place: int | None, edits: Edits, notes: Notes
) -> Mapping[int, int]:
    """Return how many garments were answered to be meant by rows of more than one.

    Asks about rows of another quantity than one.
    """
    if place is None:
        return {}
    cells = [row.cells[place] if place < len(row.cells) else "" for row in rows]
    answered = dict[int, int]()
    for row, text in zip(rows, cells, strict=True):
        edited = edits.cells.get((row.line, "quantity"), "")
        if edited.isdigit():
            answered[row.line] = int(edited)
        elif text and not ONE.fullmatch(text):
            several = _SEVERAL.fullmatch(text)
            many = (several[1],) if several and int(several[1]) > 1 else ()
            problem = say("catalog.roster.quantity")
            notes.add(problem, line=row.line, key="quantity", found=text, question=True,
                      could_be=many)  # fmt: skip
    return answered


TOTAL = re.compile(r"(grand |sub)?totals?|total general|totales|sum|suma|gesamt|summe", re.I)


def no_garments(
    table: Sequence[Row], places: Mapping[str, int], edits: Edits, notes: Notes
) -> frozenset[int]:
    """Ask about rows that hardly are garments, each once; nothing else of them yet."""
    found = set()
    for row in table[1:]:
        if row.line in edits.rows | edits.garments:
            continue
        filled = [(n, cell) for n, cell in enumerate(row.cells) if cell.strip()]
        problem = _looks_like(row, filled, table[0], places)
        if problem is not None:
            named = [n for n, _ in filled] == [places.get("name")]  # it may be somebody's name
            told = "" if named else filled[0][1]
            notes.add(problem, line=row.line, found=told, question=True)
            found.add(row.line)
    return frozenset(found)


def _looks_like(
    row: Row, filled: Sequence[tuple[int, str]], header: Row, places: Mapping[str, int]
) -> Message | None:
    """What is asked of a row that hardly is a garment.

    A spreadsheet's last row, the headings once more, or a single cell that is no size.
    """
    place, first = filled[0] if filled else (0, "")
    if TOTAL.fullmatch(first.strip(" :.=")):
        return say("catalog.roster.total")
    heads = [header.cells[n] if n < len(header.cells) else "" for n, _ in filled]
    if len(filled) > 1 and [plain_header(c) for _, c in filled] == list(map(plain_header, heads)):
        return say("catalog.roster.heading_again")
    is_size = place == places.get("size") and size_named(first) is not None
    if len(filled) == 1 and len(places) > 1 and not is_size and _is_alone(row, first):
        return say("catalog.roster.lone")
    return None


def _is_alone(row: Row, text: str) -> bool:
    """Whether nothing else is known of a row than a text, which may be merged over it."""
    return all(slip.could_be == (text,) for slip in row.slips.values())


def several(placed: Sequence[Placed], copies: Mapping[int, int]) -> Iterator[Placed]:
    """Yield each garment as often as its row means it; further ones have ids of their own: 3-2."""
    for row, line in placed:
        for nth in range(1, copies.get(row.line, 1) + 1):
            own = f"{line.line}-{nth}" if line.line and nth > 1 else line.line
            yield row, replace(line, line=own)
