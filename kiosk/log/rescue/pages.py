"""Reads event rows straight from the pages of a SQLite file that SQLite cannot read.

Follows sqlite.org/fileformat2.html, as far as the table of events needs it. No page is trusted: a
row counts only if its own checksum matches, so one damaged page costs only its own rows.
"""

import re
import struct
from collections.abc import Iterator
from pathlib import Path

from kiosk.log.store.codec import KINDS, EventRow
from kiosk.log.store.files import companion_file
from kiosk.log.store.wal import PAGE, committed, salt_of

_HEADER = 100  # length in bytes of the header on the file's first page
_LEAF = 0x0D  # type of a page with table rows
_WHOLE = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}  # serial type of an integer: its size in bytes
_STATION = re.compile(rb"station-[0-9a-f]{32}(?![0-9a-f])")
Pages = dict[int, bytes]
Cell = None | int | float | str


def rows_of_pages(log: Path) -> dict[int, tuple[EventRow, int]]:
    """Return every readable event of the damaged log: row and checksum, keyed by number."""
    pages = _pages(log)
    found: dict[int, tuple[EventRow, int]] = {}
    for number, page in pages.items():
        found.update(_rows_on(page, pages, _HEADER if number == 1 else 0))
    later = dict(pages)
    tail = companion_file(log, "-wal")
    for frame in committed(tail, salt_of(tail)[0]):
        later[frame.number] = frame.page
        found.update(_rows_on(frame.page, later, _HEADER if frame.number == 1 else 0))
    return dict(sorted(found.items()))


def station_of_pages(log: Path) -> str | None:
    """Return the id the damaged log was created with, or None if it is not found."""
    for part in (log, companion_file(log, "-wal")):
        found = _STATION.search(part.read_bytes()) if part.exists() else None
        if found is not None:
            return found[0].decode()
    return None


def _pages(log: Path) -> Pages:
    content = log.read_bytes()
    return {
        number: content[start : start + PAGE].ljust(PAGE, b"\0")
        for number, start in enumerate(range(0, len(content), PAGE), 1)
    }


def _rows_on(page: bytes, pages: Pages, start: int) -> Iterator[tuple[int, tuple[EventRow, int]]]:
    if page[start] != _LEAF:
        return
    (count,) = struct.unpack_from(">H", page, start + 3)
    for nth in range(min(count, (PAGE - start - 8) // 2)):
        (place,) = struct.unpack_from(">H", page, start + 8 + 2 * nth)
        try:
            seq, row, total = _row(page, place, pages)
        except (IndexError, KeyError, ValueError, TypeError, struct.error):
            continue
        if row.kind in KINDS and row.sum(seq) == total:
            yield seq, (row, total)


def _row(page: bytes, place: int, pages: Pages) -> tuple[int, EventRow, int]:
    size, place = _varint(page, place)
    seq, place = _varint(page, place)
    _, kind, version, boot, clock, wall, payload, total, *_ = _record(
        _payload(page, place, size, pages)
    )
    row = EventRow(str(kind), _int(version), str(boot), _real(clock), _real(wall), str(payload))
    return seq, row, _int(total)


def _payload(page: bytes, place: int, size: int, pages: Pages) -> bytes:
    """Return a cell's content, following its overflow pages."""
    least = (PAGE - 12) * 32 // 255 - 23
    fitting = least + (size - least) % (PAGE - 4)
    local = size if size <= PAGE - 35 else fitting if fitting <= PAGE - 35 else least
    content = page[place : place + local]
    following = page[place + local : place + local + 4]
    while len(content) < size:
        (number,) = struct.unpack(">I", following)
        following = pages[number][:4]
        content += pages[number][4 : 4 + size - len(content)]
    return content


def _record(content: bytes) -> list[Cell]:
    place, cells = 0, []
    header, place = _varint(content, 0)
    body = header
    while place < header:
        kind, place = _varint(content, place)
        cell, body = _cell(content, kind, body)
        cells.append(cell)
    return cells


def _cell(content: bytes, kind: int, place: int) -> tuple[Cell, int]:
    if kind in _WHOLE:
        end = place + _WHOLE[kind]
        return int.from_bytes(content[place:end], "big", signed=True), end
    if kind == 7:
        return struct.unpack_from(">d", content, place)[0], place + 8
    if kind in (8, 9):
        return kind - 8, place
    if kind >= 13 and kind % 2:
        end = place + (kind - 13) // 2
        return content[place:end].decode(), end
    if kind >= 12:  # a blob: the digest, which a mended log computes again
        return None, place + (kind - 12) // 2
    if kind:
        raise ValueError(kind)
    return None, place


def _varint(content: bytes, place: int) -> tuple[int, int]:
    value = 0
    for nth in range(9):
        byte = content[place + nth]
        if nth == 8:
            return value << 8 | byte, place + 9
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            return value, place + nth + 1
    raise ValueError(place)


def _int(cell: Cell) -> int:
    if not isinstance(cell, int):
        raise TypeError(cell)
    return cell


def _real(cell: Cell) -> float:
    """Return a number as float: SQLite stores a whole number in a REAL column as an integer."""
    if not isinstance(cell, int | float):
        raise TypeError(cell)
    return float(cell)
