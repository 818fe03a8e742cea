"""A workbook's container, looked over before the library unpacks it."""

from __future__ import annotations

import io
import re
import zipfile

from kiosk.catalog.message import say
from kiosk.catalog.notes import Notes, Unsound

MOST_UNPACKED = 60_000_000  # bytes: a file of 2 MB may be packed to burst
MOST_CELLS = 250_000  # all sheets: as many as the widest and longest roster has
CHUNK = 1 << 16
OVERLAP = 256  # bytes kept of a chunk, so that a tag cut in two is seen
_OLD_OR_LOCKED = b"\xd0\xcf\x11\xe0"  # the container of .xls, and of a workbook with a password
_CELL = re.compile(rb"<(?:\w+:)?(?:c|si)[\s/>]")
_FORMULA = re.compile(rb"<(?:\w+:)?f[\s/>]")
# The library builds every cell of these, whether there is one or not.
_RANGE = re.compile(
    rb"<(?:\w+:)?(?:mergeCell|hyperlink)\s[^>]*?ref=[\"']([A-Z]+)(\d+):([A-Z]+)(\d+)[\"']"
)
_DOCTYPE = re.compile(rb"<!DOCTYPE", re.IGNORECASE)


def check_parts(data: bytes, notes: Notes) -> bool:
    """Return whether a workbook's sheets hold formulas; nothing is built of them.

    What its parts say of their size is not believed: cells are counted. Raises Unsound, its
    fault noted, for what is no workbook and what is too large to be a roster.
    """
    if data.startswith(_OLD_OR_LOCKED):
        raise notes.add(say("catalog.roster.old_workbook"))
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as parts:
            size = sum(part.file_size for part in parts.infolist())
            if size > MOST_UNPACKED:
                megabytes = MOST_UNPACKED // 1_000_000
                raise notes.add(say("catalog.file.too_large", megabytes=megabytes))
            return _look_over(parts, notes)
    except Unsound:
        raise
    except Exception as error:  # a spoiled container raises whatever its unpacker happens upon
        raise notes.add(say("catalog.roster.no_workbook", why=type(error).__name__)) from error


def _area(found: re.Match[bytes]) -> int:
    """Return how many cells a range has, of its corners."""
    first, top, last, bottom = found.groups()
    return (abs(_column(last) - _column(first)) + 1) * (abs(int(bottom) - int(top)) + 1)


def _column(letters: bytes) -> int:
    """Return the number of a column: A is 1, AA is 27."""
    place = 0
    for letter in letters[:4]:
        place = place * 26 + letter - ord("A") + 1
    return place


def _look_over(parts: zipfile.ZipFile, notes: Notes) -> bool:
    cells, formulas = 0, False
    for part in parts.infolist():
        if not part.filename.lower().endswith(".xml"):
            continue
        with parts.open(part) as stream:
            before = b""
            while chunk := stream.read(CHUNK):
                both = before + chunk
                if _DOCTYPE.search(both):  # no spreadsheet writes one: entities grow from it
                    raise notes.add(say("catalog.roster.no_workbook", why="DOCTYPE"))
                # What ends in the overlap was counted with the chunk before.
                cells += sum(m.end() > len(before) for m in _CELL.finditer(both))
                cells += sum(_area(m) for m in _RANGE.finditer(both) if m.end() > len(before))
                formulas = formulas or _FORMULA.search(both) is not None
                before = both[-OVERLAP:]
                if cells > MOST_CELLS:
                    raise notes.add(say("catalog.roster.many_cells", most=MOST_CELLS))
    return formulas
