"""Tells a log from other files, and a whole one from a damaged one, without changing it."""

from __future__ import annotations

import sqlite3
import stat
import struct
from pathlib import Path

from kiosk.catalog.base import EVENTS, is_own, say
from kiosk.log.store.errors import CannotRecord, Damaged, LogFault, Newer, NotALog, fault_of
from kiosk.log.store.migrations import APPLICATION, MIGRATIONS, applied
from kiosk.log.store.wal import committed, salt_of

# A whole check reads every page, 1 to 10 ms a MB: a small file gets one at each start, in a large
# one damage is found by the reads themselves and by --verify, so that starting does not slow
# with the years.
CHECKED_BYTES = 4_000_000

_WORDS = (b"events_are_never_changed", b"station-started")

_INDEX = struct.Struct("=16xI12x8s")
READS = 3  # of a tail and its index that must belong together


def must_be_a_log(connection: sqlite3.Connection, path: Path) -> None:
    """Raise NotALog, Newer, Damaged or sqlite3.Error for all but a whole log or an empty file."""
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    if application != APPLICATION:
        if connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]:
            raise NotALog(say("log.not_a_log", path=str(path)))
        _must_have_its_tail(path)  # a young log may stand in its tail alone
        return
    unknown = sorted(applied(connection) - set(MIGRATIONS))
    if unknown:
        raise Newer(say("log.newer", path=str(path), found=unknown[0]))
    if path.stat().st_size <= CHECKED_BYTES:
        (found,) = connection.execute("PRAGMA quick_check(1)").fetchone()
        if found != "ok":
            raise Damaged(say("log.damaged", path=str(path), found=in_one_line(found)))
    _must_have_its_tail(path)


def must_be_files(path: Path) -> None:
    """Raise CannotRecord where the log or what SQLite keeps beside it is no file.

    A folder or a ring of links cannot be opened, and a pipe would never answer.
    """
    for part in (path, *(beside(path, rest) for rest in ("-wal", "-shm", "-journal"))):
        try:
            plain = stat.S_ISREG(part.stat().st_mode)
        except FileNotFoundError:
            continue
        except OSError:
            plain = False
        if not plain:
            raise CannotRecord(say("log.no_file", path=str(path), part=str(part)))


def in_one_line(found: str) -> str:
    """Return what SQLite's check found, without the heading it puts above its first finding."""
    return found.splitlines()[-1]


def _must_have_its_tail(path: Path) -> None:
    """SQLite takes a tail to end at its first frame that does not fit, without a word.

    Commits behind that point mean damage. A single one may be what a power cut left of a
    commit that nobody was told of.
    """
    tail = beside(path, "-wal")
    for _ in range(READS):
        salt, holds = salt_of(tail)
        frames = committed(tail, salt)
        good, salt_of_index = _index(beside(path, "-shm"), len(frames), salt)
        if holds and salt_of_index != salt:
            continue  # a station has just begun a new tail: look again
        if sum(frame.ends for frame in frames[good:]) > 1:
            raise Damaged(say("log.damaged", path=str(path), found=f"-wal {good}"))
        return


def _index(file: Path, good: int, salt: bytes) -> tuple[int, bytes]:
    """Return the number of the last good frame and the tail's salt as the tail's index has them.

    They are its bytes 16 and 32 (sqlite.org/walformat.html); `good` and `salt` where there is
    no index.
    """
    if not file.is_file():
        return good, salt
    with file.open("rb") as index:
        content = index.read(_INDEX.size)
    return _INDEX.unpack(content) if len(content) == _INDEX.size else (good, salt)


def judged(error: sqlite3.Error | LogFault, path: Path) -> LogFault:
    """Return the fault that a failed opening comes to: not every unreadable file was a log."""
    fault = fault_of(error, path) if isinstance(error, sqlite3.Error) else error
    if isinstance(fault, Damaged) and not _was_a_log(path):
        return NotALog(say("log.not_a_log", path=str(path)))
    if isinstance(fault, NotALog) and _was_a_log(path):
        return Damaged(say("log.damaged", path=str(path), found="application_id"))
    return fault


def _was_a_log(path: Path) -> bool:
    """Whether the file, or its tail beside it, still holds words that only a log has.

    So do the events that were exported as JSON: these are known by how they begin.
    """
    if is_own(path, EVENTS):
        return False
    for part in (path, beside(path, "-wal")):
        if part.exists():
            with part.open("rb") as file:
                start = file.read(CHECKED_BYTES)
            if any(word in start for word in _WORDS):
                return True
    return False


def beside(path: Path, part: str) -> Path:
    """Return the file that SQLite keeps beside `path`: its `-wal`, `-shm` or `-journal`."""
    return path.with_name(path.name + part)
