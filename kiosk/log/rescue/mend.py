"""A damaged log: read around the damage, or set aside and replaced by a mended one."""

import sqlite3
from collections.abc import Iterable, Mapping
from pathlib import Path

from kiosk.catalog.base import Message, dataclass, say
from kiosk.log.rescue.pages import rows_of_pages, station_of_pages
from kiosk.log.store import files
from kiosk.log.store.codec import EventRow, FromNewer, Unreadable, decode, encode
from kiosk.log.store.connection import as_stored, closed_on_error, connect
from kiosk.log.store.errors import Damaged, fault_of_system
from kiosk.log.store.files import StationLock
from kiosk.log.store.migrations import migrate
from kiosk.log.store.rows import readable
from kiosk.log.store.store import Store
from kiosk.run.state import LogSalvaged, Now

# A view of the same name hides the table in every statement of this connection.
_LEFT_OUT = "CREATE TEMP VIEW events AS SELECT * FROM main.events WHERE seq NOT IN ({bad})"
_INSERT = "INSERT INTO events VALUES (?, ?, ?, ?, ?, ?, ?, ?, x'')"


def past_damage(path: Path) -> Store:
    """Open the log at `path` with its readable events; `lost` are the numbers of the others.

    Never call it in a station that has the log open: closing files read directly releases SQLite's
    locks on them. Raises NotALog, Newer, CannotRecord.
    """
    try:
        return without_bad(path)
    except Damaged:
        return rebuilt(path)


def without_bad(path: Path) -> Store:
    """Open the log at `path` through SQLite with its bad events left out.

    Raises Damaged if SQLite cannot read the file, or CannotRecord.
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
    """Return the readable rows of the log's pages as a log in memory, with their numbers kept."""
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
class Salvage:
    """`kept` events were saved from the damaged log in `aside`, `behind_gap` of them past a gap."""

    aside: Path
    kept: int
    behind_gap: int

    @property
    def message(self) -> Message:
        """Message for the people at the station."""
        return say("log.mended", aside=str(self.aside), kept=self.kept, behind_gap=self.behind_gap)


def mend(path: Path, now: Now) -> Salvage:
    """Set the damaged log at `path` aside and replace it by a new one with all readable events.

    Its last event records the mending; every ticket open at that point has an unknown outcome. If
    it is killed at any moment, the next opening or `mend` completes it. Raises Busy, CannotRecord.
    """
    lock = StationLock(path)
    lock.take()
    try:
        return _mend(path, now)
    except OSError as error:
        raise fault_of_system(error, path) from error
    finally:
        lock.give()


def _mend(path: Path, now: Now) -> Salvage:
    found = {seq: row for seq, row in rows_of_pages(path).items() if _is_event(row[0])}
    folder, new = files.new_folder(path, now.wall), files.new_log(path)
    connection = connect(new)
    with closed_on_error(connection), Store(new, connection) as store:
        behind = _write(store, found, station_of_pages(path), folder.name)
        store.append([LogSalvaged(now, folder.name, len(found), behind)])
    files.replace(path, folder, new)
    return Salvage(folder, len(found), behind)


def _is_event(row: EventRow) -> bool:
    """Whether a row with a good checksum is an event; a newer program's event counts too."""
    try:
        decode(row)
    except FromNewer:
        return True
    except Unreadable:
        return False
    return True


def _write(
    store: Store, found: Mapping[int, tuple[EventRow, int]], station: str | None, aside: str
) -> int:
    """Write the rows with consecutive numbers; return how many came after a gap.

    An extra event marks each gap, since what follows may belong to another job. The log keeps the
    id of `station`, if that could be read.
    """
    rows, moved, behind = list[EventRow](), [], 0
    for nth, (old_number, (row, _)) in enumerate(found.items(), 1):
        behind += old_number != nth
        if rows and old_number - 1 not in found:
            last = Now(rows[-1].boot, rows[-1].clock, rows[-1].wall)
            rows.append(encode(LogSalvaged(last, aside, nth - 1, len(found) - nth + 1, hole=True)))
        rows.append(row)
        if old_number != len(rows):
            moved.append((len(rows), old_number))
    if station is not None:
        with store.writing() as connection:
            connection.execute("UPDATE identity SET station = ?", [station])
        store.refresh()
    store.add(rows)
    with store.writing() as connection:
        connection.executemany("INSERT INTO salvaged VALUES (?, ?)", moved)
    return behind
