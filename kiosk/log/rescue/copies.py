"""Copies of a log: backups on request, and files kept while the log is not at its path."""

import glob
import os
import shutil
import sqlite3
import time
from collections.abc import Iterable
from contextlib import closing, suppress
from pathlib import Path

from kiosk.catalog.base import OWNERS_ALONE, Message, in_place_of, matching, say
from kiosk.log.store import files
from kiosk.log.store.connection import closed_on_error, connect, guarded
from kiosk.log.store.errors import CannotRecord, LogFault, fault_of_system
from kiosk.log.store.files import StationLock
from kiosk.log.store.migrations import LogHead, root
from kiosk.log.store.rows import StoredRow
from kiosk.log.store.store import Store

JOURNAL = "-journal"
TAILS = (JOURNAL, "-wal", "-shm")  # files that SQLite keeps beside a database
ALL_PAGES = -1  # in one read: in WAL mode a reader does not block the station's writes


def back_up(store: Store, to: Path) -> LogHead:
    """Copy the log to the new file `to`, whole or not at all; return the head of the copy.

    Uses SQLite's online backup: one moment of the log, even if a station appends meanwhile. Raises
    CannotRecord, also if the file already exists.
    """
    if to.exists():
        raise CannotRecord(say("log.backup_there", path=str(to)))
    try:
        with in_place_of(to, OWNERS_ALONE) as (fresh, descriptor):  # it contains initials
            os.close(descriptor)
            try:
                with guarded(to):
                    head = _copied(store, fresh)
            except CannotRecord as fault:  # the disk that fails is the copy's, not the log's
                why = fault.message.values["why"]
                raise CannotRecord(say("log.cannot_record", path=str(to), why=why)) from fault
            _put_on_disk(fresh)
    except OSError as error:
        raise fault_of_system(error, to) from error
    return head


def _copied(store: Store, fresh: Path) -> LogHead:
    copy = sqlite3.connect(fresh, isolation_level=None)
    try:
        store.copy_into(copy, ALL_PAGES)
        copy.execute("PRAGMA journal_mode = DELETE")  # one file, nothing beside it
        last = copy.execute("SELECT seq, digest FROM events ORDER BY seq DESC LIMIT 1").fetchone()
        return LogHead(*(last or (0, root(store.station))))
    finally:
        copy.close()


def _put_on_disk(path: Path) -> None:
    with path.open("rb") as file:
        os.fsync(file.fileno())


STICKS = (Path("/media"), Path("/run/media"))  # where desktops mount sticks, by user and name


def places() -> tuple[Path, ...]:
    """Return folders outside the log's to keep files in: sticks, then the system's temporary one.

    Files in the system's temporary folder may be lost when the machine restarts.
    """
    from tempfile import gettempdir  # seldom needed

    found = [folder for root in STICKS for folder in matching(root, "*/*") if folder.is_mount()]
    with suppress(OSError):  # it is no place if it takes no file, as on a full disk
        found.append(Path(gettempdir()))
    return tuple(found)


def on_a_stick(file: Path) -> bool:
    """Return whether a kept file is on a stick."""
    return any(root in file.parents for root in STICKS)


def new_file(path: Path, folder: Path | None = None) -> Path:
    """Return a free name in `folder`; None means beside `path`, or elsewhere if that is gone."""
    if folder is None:
        folder = path.parent if path.parent.is_dir() else (path.parent, *places())[-1]
    stamp = time.strftime("%Y-%m-%d-%H%M%S")
    nth, file = 1, folder / f"{path.name}.kept-{stamp}"
    while file.exists() or file.is_symlink():
        nth += 1
        file = folder / f"{path.name}.kept-{stamp}-{nth}"
    return file


def keep(store: Store) -> Store:
    """Return a new log, open for writing, with everything still readable in `store`.

    If `store` cannot be copied the new log is empty, but can still take the events in memory.
    Raises CannotRecord.
    """
    try:
        file = new_file(store.path)
        back_up(store, file)
        return _opened(file)
    except LogFault:
        return _opened(new_file(store.path))


def keep_in(folder: Path, store: Store) -> Store:
    """Return a new log in `folder` with all of `store`, whole or not at all, open for writing.

    Raises CannotRecord.
    """
    file = new_file(store.path, folder)
    back_up(store, file)
    return _opened(file)


def _opened(file: Path) -> Store:
    connection = connect(file)
    with closed_on_error(connection):
        connection.execute("PRAGMA journal_mode = DELETE")  # one file, nothing beside it
        return Store(file, connection)


def written_log(path: Path, station: str, rows: Iterable[StoredRow]) -> Store:
    """Return a new log at `path` for the station with this id, with rows kept elsewhere.

    Raises CannotRecord.
    """
    connection = connect(path)
    with closed_on_error(connection), guarded(path):
        connection.execute("BEGIN")
        connection.execute("UPDATE identity SET station = ?", [station])
        cells = ((each.seq, *each.row, each.sum, each.digest) for each in rows)
        connection.executemany(f"INSERT INTO events VALUES ({', '.join('?' * 9)})", cells)
        connection.execute("COMMIT")
        return Store(path, connection)


def take_up(path: Path) -> Message | None:
    """Replace the log by a kept file if the log is gone or ends earlier.

    Returns a message about it or about a kept file that stays, or None if there is none.

    A different log at `path`, or one that has gone on separately, stays, and so does the kept file.
    A kept file with nothing new is deleted. Raises Busy, CannotRecord.
    """
    found, elsewhere = _kept_files(path, path.parent), _kept_elsewhere(path)
    if not found and not elsewhere:
        return None
    lock = StationLock(path)
    lock.take()
    try:
        return _taken_up(path, found) or _taken_from_elsewhere(path, elsewhere)
    except OSError as error:
        raise fault_of_system(error, path) from error
    finally:
        lock.give()


def _kept_files(path: Path, folder: Path) -> list[Path]:
    """Return the files kept of the log in a folder, the latest first."""
    files = matching(folder, f"{glob.escape(path.name)}.kept-*")
    return [each for each in reversed(files) if not each.name.endswith(TAILS)]


def _kept_elsewhere(path: Path) -> list[Path]:
    """Return files kept of this log in other places; other logs of its name may be there too."""
    found = [
        copy for place in places() if place != path.parent for copy in _kept_files(path, place)
    ]
    return [each for each in found if _is_ours(each) and _same_station(path, each)]


def _is_ours(copy: Path) -> bool:
    """Whether the file is this user's: anybody can write to a temporary folder."""
    return not hasattr(os, "getuid") or copy.lstat().st_uid == os.getuid()


def _same_station(path: Path, copy: Path) -> bool:
    try:
        with Store.read_only(path) as one, Store.read_only(copy) as other:
            return one.station == other.station
    except LogFault:
        return False


def _taken_from_elsewhere(path: Path, found: list[Path]) -> Message | None:
    """Copy a file that continues the log next to it first: only there can it replace the log."""
    for copy in found:
        _undo_torn(copy)
        if drop(path, copy):
            continue
        if not _begins_with(path, copy):
            return _left_beside(path, copy)
        with in_place_of(new_file(path, path.parent), OWNERS_ALONE) as (fresh, descriptor):
            os.close(descriptor)
            shutil.copyfile(copy, fresh)
            _put_on_disk(fresh)
        message = _taken_up(path, _kept_files(path, path.parent)[:1])
        _delete(copy)
        if message is not None:
            return say("log.taken_from", **{**message.values, "kept": str(copy)})
    return None


def _taken_up(path: Path, found: list[Path]) -> Message | None:
    for copy in found:
        _undo_torn(copy)
        if _continues(path, copy) if path.exists() else _is_log(copy):
            folder = files.new_folder(path, time.time())
            files.replace(path, folder, copy)
            return say("log.taken_up", path=str(path), kept=copy.name, aside=str(folder))
        if not drop(path, copy):
            return _left_beside(path, copy)
    return None


def _left_beside(path: Path, copy: Path) -> Message:
    """Return a message on what `copy` has that the log at `path`, a separate one, lacks."""
    with suppress(LogFault), Store.read_only(path) as one, Store.read_only(copy) as other:
        if one.station == other.station:
            last_shared = _last_shared_event(one, other)
            [since] = next(other.rows("SELECT min(wall) FROM events WHERE seq > ?", last_shared))
            when = time.strftime("%Y-%m-%d %H:%M", time.localtime(since))
            count = other.last - last_shared
            return say("log.kept_apart", kept=str(copy), count=count, since=when)
    return say("log.kept_beside", path=str(path), kept=str(copy))


def _last_shared_event(one: Store, other: Store) -> int:
    """Return the number of the last event that both logs share."""
    low, high = 0, min(one.last, other.last)
    while low < high:
        seq = (low + high + 1) // 2
        if one.head_at(seq) == other.head_at(seq):
            low = seq
        else:
            high = seq - 1
    return low


def _undo_torn(copy: Path) -> None:
    """Let SQLite roll back a killed process's half write; a read-only opening cannot do that."""
    journal = files.companion_file(copy, JOURNAL)
    if journal.exists():
        with suppress(sqlite3.Error, UnicodeDecodeError), closing(sqlite3.connect(copy)) as opened:
            opened.execute("SELECT count(*) FROM sqlite_schema").fetchone()
            journal.unlink(missing_ok=True)  # a journal that SQLite leaves had nothing to undo


def drop(path: Path, copy: Path) -> bool:
    """Delete `copy` if the log at `path` has all its events; return whether it has."""
    has_all = _begins_with(copy, path)
    if has_all:
        _delete(copy)
    return has_all


def _delete(copy: Path) -> None:
    """Delete the file if possible: a read-only stick must not stop the station."""
    with suppress(OSError):
        copy.unlink()


def _continues(path: Path, copy: Path) -> bool:
    """Whether `copy` has all events of the log at `path`, or that log is still empty."""
    return _is_log(copy) and (_is_empty(path) or _begins_with(path, copy))


def _is_log(copy: Path) -> bool:
    """Whether the file is a log with events, not just named like one."""
    try:
        with Store.read_only(copy) as store:
            return store.last > 0
    except LogFault:
        return False


def _is_empty(path: Path) -> bool:
    """Whether the log lost its tail before anything was folded into the file."""
    try:
        Store.read_only(path).close()
    except LogFault as fault:
        return fault.message.id == "log.empty"
    return False


def _begins_with(short: Path, long: Path) -> bool:
    """Whether the log `long` begins with all of the log `short`, judged by the digests."""
    try:
        with Store.read_only(short) as one, Store.read_only(long) as other:
            return one.station == other.station and other.head_at(one.last) == one.head
    except LogFault:
        return False
