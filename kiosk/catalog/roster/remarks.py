"""Customers' remarks beside garments: the kiosk does not use them, so a person must heed them."""

import re
from collections.abc import Collection, Iterable, Iterator, Sequence

from kiosk.catalog.base import Notes, say
from kiosk.catalog.model import RosterLine
from kiosk.catalog.roster.headers import is_remark
from kiosk.catalog.roster.suggestions import sizes_within
from kiosk.catalog.roster.tables import TableRow


def ask_remarks(table: Sequence[TableRow], settled: Collection[str], notes: Notes) -> None:
    """Ask once whether the remarks beside garments were heeded.

    `settled` are headings that a person has settled, as a field or as unused.
    """
    found = dict(_remarks(table, settled))
    if found:
        texts = " · ".join(dict.fromkeys(found.values()))
        problem = say("catalog.roster.remarks", rows=tuple(found), count=len(found))
        notes.add(problem, line=next(iter(found)), found=texts, question=True)


def _remarks(table: Sequence[TableRow], settled: Collection[str]) -> Iterator[tuple[int, str]]:
    """Yield the line of each row with remarks, and their text."""
    headings = enumerate(table[0].cells)
    places = [n for n, heading in headings if is_remark(heading) and heading not in settled]
    for row in table[1:]:
        texts = [row.cells[n] for n in places if n < len(row.cells) and row.cells[n]]
        if texts:
            yield row.line, " · ".join(texts)


def ask_each(
    table: Sequence[TableRow],
    settled: Collection[str],
    placed: Iterable[tuple[TableRow, RosterLine]],
    notes: Notes,
) -> None:
    """Ask row by row what a remark changes: the size, the number, or the name."""
    lines = {row.line: line for row, line in placed}
    for number, text in _remarks(table, settled):
        if number in lines:
            field, could_be = _field_and_values(text)
            notes.add(
                say("catalog.roster.remark"), line=number, key=field, found=text,
                read_as=getattr(lines[number], field), could_be=could_be, question=True,
            )  # fmt: skip


def _field_and_values(text: str) -> tuple[str, tuple[str, ...]]:
    """Return the field that a remark is about, by its content, and the values it may mean."""
    if sizes := sizes_within(text):
        return "size", sizes
    if figures := re.findall(r"(?<!\w)\d{1,2}(?!\w)", text):
        return "number", tuple(dict.fromkeys(figures))
    return "name", ()
