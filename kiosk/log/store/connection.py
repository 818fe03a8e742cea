"""Opens the SQLite file of a log, after checking that it is a log and undamaged."""

import os
import sqlite3
import stat
import struct
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from types import TracebackType

from kiosk.catalog.base import EVENTS, OWNERS_ALONE, Message, behind_links, is_own, say, surely
from kiosk.log.store.errors import (
    CannotRecord,
    Damaged,
    LogFault,
    Newer,
    NotALog,
    SqliteError,
    fault_of,
    fault_of_system,
)
from kiosk.log.store.files import companion_file
from kiosk.log.store.migrations import APPLICATION, FOR_A_COPY, MIGRATIONS, applied, migrate
from kiosk.log.store.wal import PAGE, committed, salt_of, start_of_index

# A full check reads every page, 1 to 10 ms per MB. A small file gets one at each start; in a large
# one damage is found by the reads themselves and by --verify, so that starting does not become
# slower over the years.
CHECKED_BYTES = 4_000_000

_WORDS = (b"events_are_never_changed", b"station-started")

_INDEX = struct.Struct("=16xI12x8s")
MARK = slice(68, 72)  # the application id in a file's header (sqlite.org/fileformat.html)
READS = 3  # attempts to read a tail and an index that belong together


def must_be_a_log(connection: sqlite3.Connection, path: Path) -> None:
    """Raise NotALog, Newer, Damaged or sqlite3.Error unless it is a whole log or an empty file."""
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    if application != APPLICATION:
        if connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]:
            raise NotALog(say("log.not_a_log", path=str(path)))
        _must_have_its_tail(path)  # a young log may exist only in its tail
        return
    unknown = sorted(applied(connection) - set(MIGRATIONS))
    if unknown:
        raise Newer(say("log.newer", path=str(path), found=unknown[0]))
    if path.stat().st_size <= CHECKED_BYTES:
        (found,) = connection.execute("PRAGMA quick_check(1)").fetchone()
        if found != "ok":
            raise Damaged(say("log.damaged", path=str(path), found=in_one_line(found)))
    _must_have_its_tail(path)
    _must_end_with_a_page(path)


def must_be_files(path: Path) -> None:
    """Raise CannotRecord if the log, or a file SQLite keeps beside it, is not a regular file.

    A folder or a loop of links cannot be opened, and a pipe would block forever.
    """
    beside_it = () if path.is_dir() else ("-wal", "-shm", "-journal")  # "." has no name
    for part in (path, *(companion_file(path, suffix) for suffix in beside_it)):
        try:
            plain = stat.S_ISREG(part.stat().st_mode)
        except FileNotFoundError:
            continue
        except OSError:
            plain = False
        if not plain:
            raise CannotRecord(say("log.no_file", path=str(path), part=str(part)))


def in_one_line(found: str) -> str:
    """Return the finding of SQLite's check without the heading above its first one."""
    return found.splitlines()[-1]


def _must_have_its_tail(path: Path) -> None:
    """Raise Damaged if several commits follow the frame at which SQLite silently ends the tail.

    A single one is tolerated: a power cut may leave it, of a commit that was never confirmed.
    """
    tail = companion_file(path, "-wal")
    for _ in range(READS):
        salt, holds = salt_of(tail)
        frames = committed(tail, salt)
        good, salt_of_index = _index(companion_file(path, "-shm"), len(frames), salt)
        if holds and salt_of_index != salt:
            continue  # a station has just begun a new tail: look again
        if sum(frame.ends for frame in frames[good:]) > 1:
            raise Damaged(say("log.damaged", path=str(path), found=f"-wal {good}"))
        return


def _must_end_with_a_page(path: Path) -> None:
    """Raise Damaged if the last page is cut off, which SQLite silently fills with zeros.

    A power cut while the tail is folded into the file may leave the same, but then the tail still
    has the page.
    """
    size, tail = path.stat().st_size, companion_file(path, "-wal")
    if size % PAGE and not committed(tail, salt_of(tail)[0]):
        raise Damaged(say("log.damaged", path=str(path), found=f"{size} bytes"))


def _index(file: Path, good: int, salt: bytes) -> tuple[int, bytes]:
    """Return the last good frame's number and the tail's salt, as recorded in the tail's index.

    They are at bytes 16 and 32 (sqlite.org/walformat.html); `good` and `salt` are returned if there
    is no index.
    """
    content = start_of_index(file, _INDEX.size)
    return _INDEX.unpack(content) if len(content) == _INDEX.size else (good, salt)


def fault_of_opening(error: SqliteError | LogFault, path: Path) -> LogFault:
    """Return the fault to report for a failed opening: not every unreadable file was a log."""
    fault = fault_of(error, path) if isinstance(error, SqliteError) else error
    if isinstance(fault, Damaged) and not _was_a_log(path):
        return NotALog(say("log.not_a_log", path=str(path)))
    if isinstance(fault, NotALog) and _was_a_log(path):
        return Damaged(say("log.damaged", path=str(path), found="application_id"))
    return fault


def _was_a_log(path: Path) -> bool:
    """Whether the file is marked as a log, or it or its tail contains words found only in logs.

    Events exported as JSON contain them too, but are recognized by how they begin.
    """
    if is_own(path, EVENTS):
        return False
    for part in (path, companion_file(path, "-wal")):
        if part.exists():
            with part.open("rb") as file:
                start = file.read(CHECKED_BYTES)
            marked = start[MARK] == APPLICATION.to_bytes(4, "big")
            if marked or any(word in start for word in _WORDS):
                return True
    return False


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
