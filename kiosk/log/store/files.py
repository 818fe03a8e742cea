"""The files of a log: who holds them, and how one replaces another."""

import json
import os
import socket
import sqlite3
import stat
import time
from contextlib import suppress
from pathlib import Path

from kiosk.catalog.base import Message, one_line, read_side_file, say, sync_folder
from kiosk.log.store.errors import Busy, CannotRecord, fault_of, fault_of_system


class StationLock:
    """Held from `take` to `give`; the system frees it when the process dies for any reason.

    It uses SQLite's own lock on an empty database beside the log: that works on every system, for
    paths that are links, and between two stations in one process.
    """

    def __init__(self, log: Path) -> None:
        self._log = log
        self._holder = Path(f"{log}.holder")
        self._file = Path(f"{log}.lock")
        self._held: sqlite3.Connection | None = None

    def take(self) -> None:
        """Take the lock. Raises Busy if another has it, CannotRecord if it cannot be made."""
        if self._log.is_dir():  # before anything is written beside it
            raise CannotRecord(say("log.no_file", path=str(self._log), part=str(self._log)))
        try:
            self._held = locked(self._emptied())
        except OSError as error:
            raise fault_of_system(error, self._log) from error
        except sqlite3.Error as error:
            if error.sqlite_errorcode & 0xFF == sqlite3.SQLITE_BUSY:
                raise Busy(self._who()) from None
            raise fault_of(error, self._log) from error
        self._sign()

    def give(self) -> None:
        """Release the lock."""
        if self._held is not None:
            with suppress(OSError):
                self._holder.unlink(missing_ok=True)
            self._held.close()
            self._held = None

    def _emptied(self) -> Path:
        """Return the lock's file, emptied, as it holds nothing of ours.

        Only a pipe is replaced: with a new file two stations could each lock one. It is not opened,
        because closing it would release the lock.
        """
        if self._file.is_fifo():
            self._file.unlink()
        try:
            os.truncate(self._file, 0)
        except FileNotFoundError:
            self._file.touch()
        return self._file

    def _sign(self) -> None:
        """Record who has the log, for people: the lock holds even if this cannot be written."""
        started = time.strftime("%Y-%m-%d %H:%M:%S")
        holder = {"process": os.getpid(), "host": socket.gethostname(), "since": started}
        with suppress(OSError):  # an existing file, such as a pipe, is not written to
            self._holder.unlink(missing_ok=True)
            with self._holder.open("x", encoding="utf-8") as file:
                json.dump(holder, file)

    def _who(self) -> Message:
        path = str(self._log)
        try:
            content = read_side_file(self._holder)
            holder = {k: one_line(str(content[k])) for k in ("process", "host", "since")}
            return say("log.busy", path=path, **holder)
        except (OSError, ValueError, KeyError):
            return say("log.busy_unknown", path=path)


def locked(file: Path) -> sqlite3.Connection:
    """Return a connection that locks `file` until closed, writing nothing. Raises sqlite3.Error."""
    connection = sqlite3.connect(file, timeout=0, isolation_level=None, check_same_thread=False)
    try:
        connection.execute("PRAGMA journal_mode = MEMORY")  # no file beside it
        connection.execute("BEGIN EXCLUSIVE")
    except sqlite3.Error:
        connection.close()
        raise
    return connection


MOVED = "PRAGMA data_version"  # changes once another connection has written


def inode(log: Path) -> int | None:
    """Return the file's inode, which changes if it is replaced, or None if there is no file."""
    with suppress(OSError):
        return log.stat().st_ino
    return None


PARTS = ("", "-wal", "-shm")  # the file, its tail and the tail's index belong together


def companion_file(path: Path, part: str) -> Path:
    """Return the file that SQLite keeps beside `path`: its `-wal`, `-shm` or `-journal`."""
    return path.with_name(path.name + part)


def new_log(path: Path) -> Path:
    """Return the path for making a mended log, removing leftovers of an earlier attempt."""
    new = _mended(path)
    for part in PARTS:
        companion_file(new, part).unlink(missing_ok=True)
    return new


def _mended(path: Path) -> Path:
    return path.with_name(path.name + ".mended")


def new_folder(path: Path, wall: float) -> Path:
    """Return an unused folder name for the damaged log, with the time in it."""
    stamp = time.strftime("%Y-%m-%d-%H%M%S", time.localtime(wall))
    nth, folder = 1, path.with_name(f"{path.name}.damaged-{stamp}")
    while folder.exists():
        nth += 1
        folder = path.with_name(f"{path.name}.damaged-{stamp}-{nth}")
    return folder


def replace(path: Path, folder: Path, new: Path) -> None:
    """Move the damaged log into `folder` and put `new` in its place, readable by the same people.

    Raises CannotRecord unless all of `new` is in its one file: SQLite closes a log without an error
    even if it could not fold the tail in (a disk error, or a reader).
    """
    for part in ("-wal", "-journal"):
        tail = companion_file(new, part)
        if tail.exists() and tail.stat().st_size:
            raise CannotRecord(say("log.cannot_record", path=str(path), why=say("log.why.disk")))
    with suppress(OSError):  # no file is there, or its disk knows no rights
        new.chmod(stat.S_IMODE(path.stat().st_mode))
    folder.mkdir(exist_ok=True)
    for part in PARTS:  # the file first: while it is there, a tail beside it belongs to it
        file = companion_file(path, part)
        if file.exists():
            file.rename(folder / file.name)
    new.rename(path)
    sync_folder(path.parent)  # a rename is on disk only once its folder is synced


def unfinished(path: Path) -> None:
    """Complete a replacement that was killed after the damaged file had been moved."""
    new = _mended(path)
    if new.exists() and not path.exists():
        folders = sorted(path.parent.glob(path.name + ".damaged-*"))
        replace(path, folders[-1] if folders else new_folder(path, time.time()), new)
