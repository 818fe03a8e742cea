"""Reads a log past its bad events: they are left out, and named."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from pathlib import Path

from kiosk.log.rescue import pages
from kiosk.log.rescue.walk import readable
from kiosk.log.store.connection import as_stored
from kiosk.log.store.errors import Damaged
from kiosk.log.store.migrations import migrate
from kiosk.log.store.store import Store

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
        store.lost = _missing(store.numbers(), store.last)
    except BaseException:
        store.close()
        raise
    return store


def rebuilt(path: Path) -> Store:
    """Return what can be read of the log's pages, in memory, under the numbers it had."""
    found = pages.rows(path)
    connection = sqlite3.connect(":memory:", isolation_level=None)
    connection.text_factory = as_stored
    migrate(connection)
    connection.execute("DROP TRIGGER events_come_in_order")
    connection.executemany(_INSERT, ((seq, *row, total) for seq, (row, total) in found.items()))
    store = Store(path, connection)
    store.lost = _missing(found, store.last)
    return store


def _missing(numbers: Iterable[int], last: int) -> tuple[int, ...]:
    return tuple(sorted(set(range(1, last + 1)).difference(numbers)))
