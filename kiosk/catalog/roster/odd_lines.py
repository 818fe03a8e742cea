"""Repair of text lines that mails and careless programs have altered."""

import re
from collections.abc import Sequence

from kiosk.catalog.model.orders import size_named


def without_reply_marks(text: str) -> str:
    """Return a text without the `>` that a reply to a mail puts before each quoted line."""
    lines = [line for line in text.splitlines() if line.strip()]
    if not lines or not all(line.startswith(">") for line in lines):
        return text
    return re.sub(r"(?m)^(?:> ?)+", "", text)


_WRAPPED = re.compile(r'"((?:[^"]|"")*)"')


def without_line_quotes(text: str) -> str:
    """Return a text without the quotation marks around each whole line: `"KOVA,7,L"`."""
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if not lines or not all(_WRAPPED.fullmatch(line) for line in lines):
        return text
    return re.sub(r'(?m)^"(.*)"[ \t]*(?=\r?$)', lambda found: found[1].replace('""', '"'), text)


def with_plain_quotes(text: str) -> str:
    """Return a text with plain quotation marks if every line has curved ones, as from a phone."""
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if not lines or not all(line[0] in "“„" and line[-1] in "”“" for line in lines):
        return text
    return text.translate({ord(mark): '"' for mark in "“„”"})


def with_split_cell(cells: Sequence[str], width: int, separators: str) -> tuple[str, ...]:
    """Return the cells of a row with another separator than the rest: `KOVA;7;L`.

    Such a row has a single cell that splits into `width` cells with a size among them.
    """
    if len(cells) != 1 or width <= 2:
        return tuple(cells)
    for separator in separators:
        parts = tuple(part.strip() for part in cells[0].split(separator))
        if len(parts) == width and any(size_named(part) is not None for part in parts):
            return parts
    return tuple(cells)


def holds_rows(cell: str, size_place: int, separators: str) -> bool:
    """Return whether a cell holds further rows, after a quotation mark that was left open."""
    lines = [line for line in re.split(r"[\r\n]+", cell) if line]
    if lines == [cell]:
        return False
    rows = (line.split(separator) for line in lines for separator in separators)
    cells = (row[size_place].strip() for row in rows if 1 < len(row) > size_place)
    return any(size_named(each) is not None for each in cells)
