"""A copy of a log, made while a station may be writing it."""

from __future__ import annotations

import os
import sqlite3
from contextlib import suppress
from pathlib import Path

from kiosk.catalog.base import OWNERS_ALONE, beside, say
from kiosk.log.store.chain import Head, root
from kiosk.log.store.connection import guarded
from kiosk.log.store.errors import CannotRecord, fault_of_system
from kiosk.log.store.store import Store

ALL_PAGES = -1  # in one read: beside a log in WAL a reader keeps no station from writing


def back_up(store: Store, to: Path) -> Head:
    """Copy the log to the new file `to`, whole or not at all; return where it ends.

    SQLite's own online backup: one moment of the log, whatever a station appends meanwhile.
    Raises CannotRecord, where a file is there already too.
    """
    if to.exists():
        raise CannotRecord(say("log.backup_there", path=str(to)))
    fresh = beside(to)
    try:
        fresh.unlink(missing_ok=True)
        fresh.touch(OWNERS_ALONE, exist_ok=False)  # initials are in it
        with guarded(to):
            head = _copied(store, fresh)
        _put_on_disk(fresh)
        fresh.rename(to)
    except OSError as error:
        raise fault_of_system(error, to) from error
    finally:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)
    return head


def _copied(store: Store, fresh: Path) -> Head:
    copy = sqlite3.connect(fresh, isolation_level=None)
    try:
        store.copy_into(copy, ALL_PAGES)
        copy.execute("PRAGMA journal_mode = DELETE")  # one file, nothing beside it
        last = copy.execute("SELECT seq, digest FROM events ORDER BY seq DESC LIMIT 1").fetchone()
        return Head(*(last or (0, root(store.station))))
    finally:
        copy.close()


def _put_on_disk(path: Path) -> None:
    with path.open("rb") as file:
        os.fsync(file.fileno())
