"""A workbook's sheet into rows of cells, by a library that is an extra part."""

from __future__ import annotations

import io
import warnings
import zipfile
from collections.abc import Iterator
from typing import Any

from kiosk.catalog.message import say
from kiosk.catalog.notes import Notes
from kiosk.catalog.tables import BLANKS, MOST_COLUMNS, MOST_ROWS, Row, gathered

ENDING = ".xlsx"
MOST_UNPACKED = 60_000_000  # bytes: a file of 2 MB may be packed to burst
_OLD_OR_LOCKED = b"\xd0\xcf\x11\xe0"  # the container of .xls, and of a workbook with a password


def workbook_rows(data: bytes, notes: Notes) -> tuple[Row, ...]:
    """Return the rows of a workbook's first sheet that are not blank; `line` is the sheet's.

    A formula counts as the value that was saved with it. Asks where other sheets hold
    something too. Raises Unsound, its fault noted, for what is no workbook, and where the
    library is not installed.
    """
    _check_container(data, notes)
    try:
        import openpyxl  # an extra part, and slow to load: only once a workbook is to be read
    except ImportError as error:
        raise notes.add(say("catalog.roster.no_library")) from error
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # what of the workbook's looks it does not read
            book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True)
            sheets = [s for s in book.worksheets if s.sheet_state == "visible"]
            found = [list(_rows(sheet)) for sheet in sheets]
    except Exception as error:  # a spoiled workbook raises whatever it happens upon
        raise notes.add(say("catalog.roster.no_workbook", why=type(error).__name__)) from error
    filled = [rows for rows in found if rows]
    if len(filled) > 1:
        notes.add(say("catalog.roster.sheets", count=len(filled)), question=True)
    return gathered(iter(filled[0] if filled else ()), notes)


def _check_container(data: bytes, notes: Notes) -> None:
    if data.startswith(_OLD_OR_LOCKED):
        raise notes.add(say("catalog.roster.old_workbook"))
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as parts:
            size = sum(part.file_size for part in parts.infolist())
    except (zipfile.BadZipFile, ValueError, OSError) as error:
        raise notes.add(say("catalog.roster.no_workbook", why=type(error).__name__)) from error
    if size > MOST_UNPACKED:
        raise notes.add(say("catalog.file.too_large", megabytes=MOST_UNPACKED // 1_000_000))


def _rows(sheet: Any) -> Iterator[Row]:  # the library ships no types
    found = 0
    for line, cells in enumerate(sheet.iter_rows(max_col=MOST_COLUMNS + 1), start=1):
        texts = [_text(cell).strip(BLANKS) for cell in cells]
        while texts and not texts[-1]:
            texts.pop()
        if texts:
            yield Row(line, tuple(texts))
            found += 1
        if found > MOST_ROWS + 1:  # one more than may be, so that it is told
            return


def _text(cell: Any) -> str:  # the library ships no types
    """What the sheet shows: 7 in the format `00` is 07."""
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, int) and not isinstance(value, bool):
        shown = cell.number_format or ""
        return str(value).zfill(len(shown)) if shown and set(shown) == {"0"} else str(value)
    return str(value)
