"""Opens the SQLite file of a log, after checking that it is a whole log."""

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from types import TracebackType

from kiosk.catalog.base import OWNERS_ALONE, Message, behind_links, say, surely
from kiosk.log.store.errors import (
    CannotRecord,
    LogFault,
    NotALog,
    SqliteError,
    fault_of,
    fault_of_system,
)
from kiosk.log.store.files import companion_file
from kiosk.log.store.migrations import FOR_A_COPY, MIGRATIONS, applied, migrate
from kiosk.log.store.soundness import fault_of_opening, must_be_a_log, must_be_files
from kiosk.log.store.wal import PAGE

SETTINGS = (
    f"page_size = {PAGE}",
    "journal_mode = WAL",
    "synchronous = FULL",
    "fullfsync = ON",  # on macOS fsync alone leaves data in the disk's cache
    "checkpoint_fullfsync = ON",
    "trusted_schema = OFF",
)

FEW_PAGES = "cache_size = -512"  # kilobytes: readers of a record mostly read each page once

CANNOT_OPEN = say("log.why.cannot_open")
WAIT_SECONDS = 0.25  # for another program's lock: a tap never waits longer


class guarded:  # noqa: N801 - used like `contextmanager`, but quicker: reports enter it often
    """Turn SQLite's errors on the log at `path` into typed faults."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def __enter__(self) -> None:
        pass

    def __exit__(
        self, kind: object, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if error is not None and isinstance(error, SqliteError):
            raise fault_of(error, self._path) from error


def as_stored(text: bytes) -> str:
    """Return text from the file; invalid UTF-8 is preserved, so that the checksum can detect it."""
    return text.decode("utf-8", "surrogateescape")


def place_for(path: Path) -> Path:
    """Return where `path` leads, creating its folder: one file, one lock, under any name.

    Raises CannotRecord.
    """
    try:
        place = behind_links(path)
        place.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise fault_of_system(error, path) from error
    return place


@contextmanager
def closed_on_error(connection: sqlite3.Connection) -> Iterator[None]:
    """Close `connection` if the block fails."""
    try:
        yield
    except BaseException:
        connection.close()
        raise


def connect(path: Path) -> sqlite3.Connection:
    """Open `path` for writing, with every commit on disk before it returns, and migrate it.

    Raises Damaged, NotALog, Newer, CannotRecord; nothing is changed then.
    """
    must_be_files(path)
    if path.exists() and path.stat().st_size and not companion_file(path, "-journal").exists():
        # Check it read-only first: closing a damaged log would otherwise fold its tail into it.
        _reader(path).close()
    _make_for_owner(path)
    with guarded(path):
        connection = sqlite3.connect(path, timeout=WAIT_SECONDS, isolation_level=None)
        connection.text_factory = as_stored
        with closed_on_error(connection):
            for setting in SETTINGS:
                connection.execute(f"PRAGMA {setting}")
            migrate(connection)
    return connection


def _make_for_owner(path: Path) -> None:
    """Create the file if there is none, for its owner alone: it holds initials.

    SQLite gives the files beside it the same rights. An existing one keeps its own.
    """
    try:
        os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, OWNERS_ALONE))
    except FileExistsError:
        pass
    except OSError as error:
        raise fault_of_system(error, path) from error


Tell = Callable[[Message], None]


def connect_read_only(path: Path, older: Tell | None = None) -> sqlite3.Connection:
    """Open `path` for reading only; its file is not changed.

    `older` is called with a message if an older program made the log, which is then read through a
    temporary copy that has this program's tables. Raises Damaged, NotALog (also for an older one
    without `older`), Newer, CannotRecord (missing, or cannot be opened).
    """
    try:
        return _connect_read_only(path, older)
    except CannotRecord as fault:  # a reader's message must not be about recording
        why = fault.message.values.get("why")
        if why is None:
            raise
        if why == say("log.why.read_only"):
            tail = companion_file(path, "-wal")
            why = say("log.why.tail", tail=tail.name) if surely(tail.exists) else CANNOT_OPEN
        raise CannotRecord(say("log.cannot_read", path=str(path), why=why)) from fault


def _connect_read_only(path: Path, older: Tell | None) -> sqlite3.Connection:
    try:
        existed = path.exists()
    except OSError as error:  # in a folder this user cannot read
        raise fault_of_system(error, path) from error
    if not existed:
        raise CannotRecord(say("log.not_there", path=str(path)))
    must_be_files(path)
    connection = _reader(path)
    with closed_on_error(connection), guarded(path):
        connection.execute(f"PRAGMA {FEW_PAGES}")
        applied_steps = applied(connection)
        if not set(MIGRATIONS) - applied_steps:
            return connection
        if not applied_steps:  # a station was killed before it had written anything
            raise NotALog(say("log.empty", path=str(path)))
        if older is None:
            raise NotALog(say("log.older", path=str(path)))
        older(say("log.older_copied", path=str(path)))
        return _brought_up(connection)


def _brought_up(older: sqlite3.Connection) -> sqlite3.Connection:
    """Return a temporary copy with this program's tables, deleted when closed; close `older`."""
    copy = sqlite3.connect("", isolation_level=None)
    copy.text_factory = as_stored
    with closed_on_error(copy), closing(older):
        older.backup(copy)
        migrate(copy, FOR_A_COPY)
    return copy


def connect_unexamined(path: Path) -> sqlite3.Connection:
    """Open `path` for reading without checking it first: SQLite itself reports what is wrong.

    No file is opened and closed outside SQLite, which would release the locks of a station in this
    process. Raises sqlite3.Error.
    """
    uri = f"{path.resolve().as_uri()}?mode=ro"
    connection = sqlite3.connect(uri, uri=True, timeout=WAIT_SECONDS, isolation_level=None)
    connection.text_factory = as_stored
    return connection


def _reader(path: Path) -> sqlite3.Connection:
    try:
        return _examined(path, "mode=ro")
    except sqlite3.OperationalError as error:
        # In a read-only folder SQLite cannot create the tail's index; without a tail, `immutable`
        # tells it that nobody writes.
        tail = companion_file(path, "-wal")
        if tail.exists() and tail.stat().st_size:
            if not os.access(path.parent, os.W_OK):
                fault = say("log.cannot_record", path=str(path), why=say("log.why.read_only"))
                raise CannotRecord(fault) from error
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
    except (sqlite3.DatabaseError, UnicodeDecodeError, LogFault) as error:
        connection.close()
        raise fault_of_opening(error, path) from error
    return connection
