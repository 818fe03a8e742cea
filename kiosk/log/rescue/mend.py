"""A damaged log: set aside whole, never deleted; what can be read goes into a new one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from kiosk.catalog.base import Message, say
from kiosk.log.rescue import pages
from kiosk.log.store import aside
from kiosk.log.store.codec import FromNewer, Row, Unreadable, decode
from kiosk.log.store.connection import connect
from kiosk.log.store.errors import fault_of_system
from kiosk.log.store.lock import StationLock
from kiosk.log.store.store import Store
from kiosk.run.state import LogSalvaged, Now


@dataclass(frozen=True, slots=True)
class Mended:
    """`kept` events came out of the damaged log, `behind_gap` of them from behind a hole.

    `aside` is the folder that has the damaged files.
    """

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
    found = {seq: row for seq, row in pages.rows(path).items() if _is_event(row[0])}
    folder, new = aside.new_folder(path, now.wall), aside.new_log(path)
    with Store(new, connect(new)) as store:
        moved = _write(store, found, pages.station(path))
        store.append([LogSalvaged(now, folder.name, len(found), moved)])
    aside.replace(path, folder, new)
    return Mended(folder, len(found), moved)


def _is_event(row: Row) -> bool:
    """Whether a row with a good checksum is an event; one of a newer program is not lost."""
    try:
        decode(row)
    except FromNewer:
        return True
    except Unreadable:
        return False
    return True


def _write(store: Store, found: Mapping[int, tuple[Row, int]], station: str | None) -> int:
    """Write the rows with numbers that have no gap; return how many lay behind one.

    The log goes on as that of `station`, where its id could be read.
    """
    rows, moved = [], []
    for seq, (was, (row, _)) in enumerate(found.items(), 1):
        rows.append(row)
        if was != seq:
            moved.append((seq, was))
    if station is not None:
        with store.writing() as connection:
            connection.execute("UPDATE identity SET station = ?", [station])
        store.refresh()
    store.add(rows)
    with store.writing() as connection:
        connection.executemany("INSERT INTO salvaged VALUES (?, ?)", moved)
    return len(moved)
