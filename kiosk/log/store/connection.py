"""Opens the SQLite file of a log."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from kiosk.catalog.base import say
from kiosk.log.store.errors import CannotRecord, LogFault, NotALog, fault_of
from kiosk.log.store.examine import beside, judged, must_be_a_log, must_be_files
from kiosk.log.store.migrations import MIGRATIONS, applied, migrate
from kiosk.log.store.wal import PAGE

SETTINGS = (
    f"page_size = {PAGE}",
    "journal_mode = WAL",
    "synchronous = FULL",
    "fullfsync = ON",  # macOS: fsync alone leaves it in the disk's cache
    "checkpoint_fullfsync = ON",
    "trusted_schema = OFF",
)

WAIT_SECONDS = 0.25  # for a reader's or a foreign program's lock: a tap does not wait longer


@contextmanager
def guarded(path: Path) -> Iterator[None]:
    """Turn SQLite's errors on the log at `path` into typed faults."""
    try:
        yield
    except sqlite3.Error as error:
        raise fault_of(error, path) from error


def as_stored(text: bytes) -> str:
    """Return text of the file; bytes that are none stay what they are, for the checksum to tell."""
    return text.decode("utf-8", "surrogateescape")


def connect(path: Path) -> sqlite3.Connection:
    """Open `path` for writing, every commit on disk before it returns; bring it up to date.

    Raises Damaged, NotALog, Newer, CannotRecord; nothing is changed then.
    """
    must_be_files(path)
    if path.exists() and path.stat().st_size and not beside(path, "-journal").exists():
        # Looked at first without the right to write: closing a damaged log would otherwise
        # fold its tail into it.
        _reader(path).close()
    with guarded(path):
        connection = sqlite3.connect(path, timeout=WAIT_SECONDS, isolation_level=None)
        connection.text_factory = as_stored
        try:
            for setting in SETTINGS:
                connection.execute(f"PRAGMA {setting}")
            migrate(connection)
        except sqlite3.Error:
            connection.close()
            raise
    return connection


def connect_read_only(path: Path) -> sqlite3.Connection:
    """Open `path` for reading only; its file is not changed.

    Raises Damaged, NotALog, Newer, CannotRecord (not there, or cannot be opened).
    """
    if not path.exists():
        raise CannotRecord(say("log.not_there", path=str(path)))
    must_be_files(path)
    connection = _reader(path)
    with guarded(path):
        done = applied(connection)
        if set(MIGRATIONS) - done:
            connection.close()
            # None at all: a station was killed before it had written anything.
            raise NotALog(say("log.older" if done else "log.empty", path=str(path)))
    return connection


def connect_unexamined(path: Path) -> sqlite3.Connection:
    """Open `path` for reading without looking at it first: SQLite says itself what is wrong.

    No file is opened and closed beside SQLite, which would give up the locks of a station in
    this process. Raises sqlite3.Error.
    """
    uri = f"{path.resolve().as_uri()}?mode=ro"
    connection = sqlite3.connect(uri, uri=True, timeout=WAIT_SECONDS, isolation_level=None)
    connection.text_factory = as_stored
    return connection


def _reader(path: Path) -> sqlite3.Connection:
    try:
        return _examined(path, "mode=ro")
    except sqlite3.OperationalError as error:
        # In a place that cannot be written to, SQLite cannot make the index of the tail;
        # where there is no tail it can be told that nobody writes.
        tail = beside(path, "-wal")
        if tail.exists() and tail.stat().st_size:
            raise fault_of(error, path) from error
    with guarded(path):
        return _examined(path, "immutable=1")


def _examined(path: Path, how: str) -> sqlite3.Connection:
    uri = f"{path.resolve().as_uri()}?{how}"
    connection = sqlite3.connect(uri, uri=True, timeout=WAIT_SECONDS, isolation_level=None)
    connection.text_factory = as_stored
    try:
        must_be_a_log(connection, path)
    except sqlite3.OperationalError:
        connection.close()
        raise
    except (sqlite3.DatabaseError, LogFault) as error:
        connection.close()
        raise judged(error, path) from error
    return connection
