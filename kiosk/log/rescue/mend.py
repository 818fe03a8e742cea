"""Reads the rows of events straight from the pages of a SQLite file that SQLite gives up on.

After sqlite.org/fileformat2.html, as far as the table of events needs it. No page is trusted:
a row counts only with its own checksum, so that one damaged page costs its own rows alone.
"""

import re
import sqlite3
import struct
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from kiosk.catalog.base import Message, dataclass, say
from kiosk.log.store import lock as files
from kiosk.log.store.codec import KINDS, FromNewer, Row, Unreadable, decode, encode
from kiosk.log.store.connection import as_stored, closed_on_error, connect
from kiosk.log.store.errors import Damaged, fault_of_system
from kiosk.log.store.lock import PAGE, StationLock, committed, salt_of
from kiosk.log.store.migrations import migrate
from kiosk.log.store.rows import readable
from kiosk.log.store.store import Store
from kiosk.run.state import LogSalvaged, Now

_HEADER = 100  # bytes of the file's header on its first page
_LEAF = 0x0D  # a page with rows of a table
_WHOLE = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}  # serial type of an integer: its bytes

_STATION = re.compile(rb"station-[0-9a-f]{32}(?![0-9a-f])")

Pages = dict[int, bytes]
Cell = None | int | float | str


def rows_of_pages(log: Path) -> dict[int, tuple[Row, int]]:
    """Return every readable event of the damaged log: its row and checksum by number."""
    pages = _pages(log)
    found: dict[int, tuple[Row, int]] = {}
    for number, page in pages.items():
        found.update(_rows_on(page, pages, _HEADER if number == 1 else 0))
    later = dict(pages)
    tail = log.with_name(log.name + "-wal")
    for frame in committed(tail, salt_of(tail)[0]):
        later[frame.number] = frame.page
        found.update(_rows_on(frame.page, later, _HEADER if frame.number == 1 else 0))
    return dict(sorted(found.items()))


def station_of_pages(log: Path) -> str | None:
    """Return the id that the damaged log was made with, None where it is not found."""
    for part in (log, log.with_name(log.name + "-wal")):
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


def _rows_on(page: bytes, pages: Pages, start: int) -> Iterator[tuple[int, tuple[Row, int]]]:
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


def _row(page: bytes, place: int, pages: Pages) -> tuple[int, Row, int]:
    size, place = _varint(page, place)
    seq, place = _varint(page, place)
    _, kind, version, boot, clock, wall, payload, total, *_ = _record(
        _payload(page, place, size, pages)
    )
    row = Row(str(kind), _int(version), str(boot), _real(clock), _real(wall), str(payload))
    return seq, row, _int(total)


def _payload(page: bytes, place: int, size: int, pages: Pages) -> bytes:
    """Return a cell's content; what does not fit on its page goes on in a chain of others."""
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
    if kind >= 12:  # bytes: the digest, which a mended log gets anew
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
    """A whole number in a REAL column is stored as an integer."""
    if not isinstance(cell, int | float):
        raise TypeError(cell)
    return float(cell)


# A view of the same name stands before the table itself in every statement of this connection.
_LEFT_OUT = "CREATE TEMP VIEW events AS SELECT * FROM main.events WHERE seq NOT IN ({bad})"
_INSERT = "INSERT INTO events VALUES (?, ?, ?, ?, ?, ?, ?, ?, x'')"


def past_damage(path: Path) -> Store:
    """Open the log at `path` for reading what can be read; `lost` are the other events.

    Not in a station that has the log open: reading its files by hand gives up SQLite's locks on
    them. Raises NotALog, Newer, CannotRecord.
    """
    try:
        return without_bad(path)
    except Damaged:
        return rebuilt(path)


def without_bad(path: Path) -> Store:
    """Open the log at `path` through SQLite with its bad events left out.

    Raises Damaged where SQLite gives the file up, CannotRecord.
    """
    store = Store.unexamined(path)
    try:
        bad = [stored.seq for stored in store.stored() if readable(path, stored) is None]
        if bad:
            next(store.rows(_LEFT_OUT.format(bad=", ".join(map(str, bad)))), None)
        numbers = store.rows("SELECT seq FROM events ORDER BY seq")
        store.lost = _missing((seq for (seq,) in numbers), store.last)
    except BaseException:
        store.close()
        raise
    return store


def rebuilt(path: Path) -> Store:
    """Return what can be read of the log's pages, in memory, under the numbers it had."""
    found = rows_of_pages(path)
    connection = sqlite3.connect(":memory:", isolation_level=None)
    connection.text_factory = as_stored
    with closed_on_error(connection):
        migrate(connection)
        connection.execute("DROP TRIGGER events_come_in_order")
        connection.executemany(_INSERT, ((seq, *row, total) for seq, (row, total) in found.items()))
        store = Store(path, connection)
    store.lost = _missing(found, store.last)
    return store


def _missing(numbers: Iterable[int], last: int) -> tuple[int, ...]:
    return tuple(sorted(set(range(1, last + 1)).difference(numbers)))


@dataclass(frozen=True, slots=True)
class Mended:
    """`kept` events came out of the damaged log in `aside`, `behind_gap` of them behind a hole."""

    aside: Path
    kept: int
    behind_gap: int

    @property
    def message(self) -> Message:
        """What to tell the people at the station."""
        return say("log.mended", aside=str(self.aside), kept=self.kept, behind_gap=self.behind_gap)


def mend(path: Path, now: Now) -> Mended:
    """Set the damaged log at `path` aside and put a new one there with all that can be read.

    Its last event says so: from there on every open ticket is of unknown outcome. Killed at
    any moment, the next opening or another `mend` takes it up. Raises Busy, CannotRecord.
    """
    lock = StationLock(path)
    lock.take()
    try:
        return _mend(path, now)
    except OSError as error:
        raise fault_of_system(error, path) from error
    finally:
        lock.give()


def _mend(path: Path, now: Now) -> Mended:
    found = {seq: row for seq, row in rows_of_pages(path).items() if _is_event(row[0])}
    folder, new = files.new_folder(path, now.wall), files.new_log(path)
    connection = connect(new)
    with closed_on_error(connection), Store(new, connection) as store:
        behind = _write(store, found, station_of_pages(path), folder.name)
        store.append([LogSalvaged(now, folder.name, len(found), behind)])
    files.replace(path, folder, new)
    return Mended(folder, len(found), behind)


def _is_event(row: Row) -> bool:
    """Whether a row with a good checksum is an event; one of a newer program is not lost."""
    try:
        decode(row)
    except FromNewer:
        return True
    except Unreadable:
        return False
    return True


def _write(
    store: Store, found: Mapping[int, tuple[Row, int]], station: str | None, aside: str
) -> int:
    """Write the rows with numbers that have no gap; return how many lay behind one.

    Where events are missing an event says so: what comes behind may be another job's. The log
    goes on as that of `station`, where its id could be read.
    """
    rows, moved, behind = list[Row](), [], 0
    for nth, (was, (row, _)) in enumerate(found.items(), 1):
        behind += was != nth
        if rows and was - 1 not in found:
            last = Now(rows[-1].boot, rows[-1].clock, rows[-1].wall)
            rows.append(encode(LogSalvaged(last, aside, nth - 1, len(found) - nth + 1, hole=True)))
        rows.append(row)
        if was != len(rows):
            moved.append((len(rows), was))
    if station is not None:
        with store.writing() as connection:
            connection.execute("UPDATE identity SET station = ?", [station])
        store.refresh()
    store.add(rows)
    with store.writing() as connection:
        connection.executemany("INSERT INTO salvaged VALUES (?, ?)", moved)
    return behind
