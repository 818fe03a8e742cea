"""Whether a file is a whole log: its mark, its pages and its tail."""

import sqlite3
import stat
import struct
from pathlib import Path

from kiosk.catalog.base import EVENTS, is_own, say
from kiosk.log.store.errors import (
    CannotRecord,
    Damaged,
    LogFault,
    Newer,
    NotALog,
    SqliteError,
    fault_of,
)
from kiosk.log.store.files import companion_file
from kiosk.log.store.migrations import APPLICATION, MIGRATIONS, applied
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
