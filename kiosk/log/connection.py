"""Opens the SQLite file of a log, and tells a log from other files and from a damaged one."""

from __future__ import annotations

import sqlite3
import struct
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from kiosk.catalog.message import say
from kiosk.log.errors import CannotRecord, Damaged, LogFault, Newer, NotALog, fault_of
from kiosk.log.migrations import APPLICATION, MIGRATIONS, applied, migrate
from kiosk.log.pages import PAGE, committed

# A whole check reads every page, 1 to 10 ms a MB: a small file gets one at each start, in a large
# one damage is found by the reads themselves and by --verify, so that starting does not slow
# with the years.
CHECKED_BYTES = 4_000_000

SETTINGS = (
    f"page_size = {PAGE}",
    "journal_mode = WAL",
    "synchronous = FULL",
    "fullfsync = ON",  # macOS: fsync alone leaves it in the disk's cache
    "checkpoint_fullfsync = ON",
    "trusted_schema = OFF",
)

_WORDS = (b"events_are_never_changed", b"station-started")

WAIT_SECONDS = 0.25  # for a reader's or a foreign program's lock: a tap does not wait longer


@contextmanager
def guarded(path: Path) -> Iterator[None]:
    """Turn SQLite's errors on the log at `path` into typed faults."""
    try:
        yield
    except sqlite3.Error as error:
        raise fault_of(error, path) from error


def connect(path: Path) -> sqlite3.Connection:
    """Open `path` for writing, every commit on disk before it returns; bring it up to date.

    Raises Damaged, NotALog, Newer, CannotRecord; nothing is changed then.
    """
    if path.exists() and path.stat().st_size and not _beside(path, "-journal").exists():
        # Looked at first without the right to write: closing a damaged log would otherwise
        # fold its tail into it.
        _reader(path).close()
    with guarded(path):
        connection = sqlite3.connect(path, timeout=WAIT_SECONDS, isolation_level=None)
        try:
            for setting in SETTINGS:
                connection.execute(f"PRAGMA {setting}")
            migrate(connection)
        except sqlite3.Error:
            connection.close()
            raise
    return connection


def connect_read_only(path: Path) -> sqlite3.Connection:
    """Open `path` for reading only; nothing on disk changes.

    Raises Damaged, NotALog, Newer, CannotRecord (not there, or cannot be opened).
    """
    if not path.is_file():
        raise CannotRecord(say("log.not_there", path=str(path)))
    connection = _reader(path)
    with guarded(path):
        if set(MIGRATIONS) - applied(connection):
            connection.close()
            raise NotALog(say("log.older", path=str(path)))
    return connection


def _reader(path: Path) -> sqlite3.Connection:
    try:
        return _examined(path, "mode=ro")
    except sqlite3.OperationalError as error:
        # In a place that cannot be written to, SQLite cannot make the index of the tail;
        # where there is no tail it can be told that nobody writes.
        tail = _beside(path, "-wal")
        if tail.exists() and tail.stat().st_size:
            raise fault_of(error, path) from error
    with guarded(path):
        return _examined(path, "immutable=1")


def _examined(path: Path, how: str) -> sqlite3.Connection:
    uri = f"{path.resolve().as_uri()}?{how}"
    connection = sqlite3.connect(uri, uri=True, timeout=WAIT_SECONDS, isolation_level=None)
    try:
        _must_be_a_log(connection, path)
    except sqlite3.OperationalError:
        connection.close()
        raise
    except (sqlite3.DatabaseError, LogFault) as error:
        connection.close()
        raise _judged(error, path) from error
    return connection


def _must_be_a_log(connection: sqlite3.Connection, path: Path) -> None:
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    if application != APPLICATION:
        if connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]:
            raise NotALog(say("log.not_a_log", path=str(path)))
        return
    unknown = sorted(applied(connection) - set(MIGRATIONS))
    if unknown:
        raise Newer(say("log.newer", path=str(path), found=unknown[0]))
    if path.stat().st_size <= CHECKED_BYTES:
        (found,) = connection.execute("PRAGMA quick_check(1)").fetchone()
        if found != "ok":
            raise Damaged(say("log.damaged", path=str(path), found=found))
    _must_have_its_tail(path)


def _must_have_its_tail(path: Path) -> None:
    """SQLite takes a tail to end at its first frame that does not fit, without a word.

    Commits behind that point mean damage. A single one may be what a power cut left of a
    commit that nobody was told of; the index has the number of the last good frame at byte 16
    (sqlite.org/walformat.html).
    """
    frames, index = committed(_beside(path, "-wal")), _beside(path, "-shm")
    if not frames or not index.exists():
        return
    with index.open("rb") as file:
        (good,) = struct.unpack("=16xI", file.read(20))
    if sum(frame.ends for frame in frames[good:]) > 1:
        raise Damaged(say("log.damaged", path=str(path), found=f"-wal {good}"))


def _judged(error: sqlite3.Error | LogFault, path: Path) -> LogFault:
    """Return the fault that a failed opening comes to: not every unreadable file was a log."""
    fault = fault_of(error, path) if isinstance(error, sqlite3.Error) else error
    if isinstance(fault, Damaged) and not _was_a_log(path):
        return NotALog(say("log.not_a_log", path=str(path)))
    if isinstance(fault, NotALog) and _was_a_log(path):
        return Damaged(say("log.damaged", path=str(path), found="application_id"))
    return fault


def _was_a_log(path: Path) -> bool:
    """Whether the file, or its tail beside it, still holds words that only a log has."""
    for part in (path, _beside(path, "-wal")):
        if part.exists():
            with part.open("rb") as file:
                start = file.read(CHECKED_BYTES)
            if any(word in start for word in _WORDS):
                return True
    return False


def _beside(path: Path, part: str) -> Path:
    return path.with_name(path.name + part)
