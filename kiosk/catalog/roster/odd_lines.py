"""Lines of a text as mails and careless programs leave them, into lines of a table."""

import re
from collections.abc import Sequence

from kiosk.catalog.model.orders import size_named


def answered(text: str) -> str:
    """Return a text without the mark that a mail sets before each line of the one it answers."""
    lines = [line for line in text.splitlines() if line.strip()]
    if not lines or not all(line.startswith(">") for line in lines):
        return text
    return re.sub(r"(?m)^(?:> ?)+", "", text)


_WRAPPED = re.compile(r'"((?:[^"]|"")*)"')


def unwrapped(text: str) -> str:
    """Return a text without the quotation marks around each whole line: `"KOVA,7,L"`."""
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if not lines or not all(_WRAPPED.fullmatch(line) for line in lines):
        return text
    return re.sub(r'(?m)^"(.*)"[ \t]*(?=\r?$)', lambda found: found[1].replace('""', '"'), text)


def straight(text: str) -> str:
    """Return a text with plain quotation marks, where a telephone put curved ones round cells."""
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if not lines or not all(line[0] in "“„" and line[-1] in "”“" for line in lines):
        return text
    return text.translate({ord(mark): '"' for mark in "“„”"})


def parted(cells: Sequence[str], width: int, separators: str) -> tuple[str, ...]:
    """Return the cells of a row that is parted by another sign than the others: `KOVA;7;L`.

    It has one cell then, which makes as many as the others have, a size among them.
    """
    if len(cells) != 1 or width <= 2:
        return tuple(cells)
    for separator in separators:
        parts = tuple(part.strip() for part in cells[0].split(separator))
        if len(parts) == width and any(size_named(part) is not None for part in parts):
            return parts
    return tuple(cells)


def holds_rows(cell: str, size_place: int, separators: str) -> bool:
    """Return whether further rows stand in a cell: a quotation mark was left open before them."""
    lines = [line for line in re.split(r"[\r\n]+", cell) if line]
    if lines == [cell]:
        return False
    rows = (line.split(separator) for line in lines for separator in separators)
    cells = (row[size_place].strip() for row in rows if 1 < len(row) > size_place)
    return any(size_named(each) is not None for each in cells)
