"""The files of a log: who holds them, and how one takes another's place."""

import json
import os
import socket
import sqlite3
import time
from contextlib import suppress
from pathlib import Path

from kiosk.catalog.base import Message, read_side_file, say, shown, sync_folder
from kiosk.log.store.errors import Busy, CannotRecord, fault_of, fault_of_system


class StationLock:
    """Held from `take` to `give`; the system frees it when the process dies, however it dies.

    An empty database of SQLite's beside the log, for SQLite's own lock: on every system, by
    paths that may be links, and between two of one process too.
    """

    def __init__(self, log: Path) -> None:
        self._log = log
        self._holder = Path(f"{log}.holder")
        self._file = Path(f"{log}.lock")
        self._held: sqlite3.Connection | None = None

    def take(self) -> None:
        """Take the lock. Raises Busy when another has it, CannotRecord when none can be made."""
        if self._log.is_dir():  # before anything is put beside it
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
        """Give the lock back."""
        if self._held is not None:
            with suppress(OSError):
                self._holder.unlink(missing_ok=True)
            self._held.close()
            self._held = None

    def _emptied(self) -> Path:
        """Return the lock's file; what somebody else put there is gone, it holds nothing of ours.

        A file keeps its place (by another in its place two stations would both have one) and is
        not opened: the lock would go with the closing.
        """
        if self._file.is_fifo():
            self._file.unlink()
        try:
            os.truncate(self._file, 0)
        except FileNotFoundError:
            self._file.touch()
        return self._file

    def _sign(self) -> None:
        """Note who has the log: it is for people, and where it cannot be written the lock holds."""
        since = time.strftime("%Y-%m-%d %H:%M:%S")
        who = {"process": os.getpid(), "host": socket.gethostname(), "since": since}
        with suppress(OSError):  # whatever lies there, a pipe for one, is not written into
            self._holder.unlink(missing_ok=True)
            with self._holder.open("x", encoding="utf-8") as file:
                json.dump(who, file)

    def _who(self) -> Message:
        path = str(self._log)
        try:
            who = read_side_file(self._holder)
            told = {k: shown(str(who[k])) for k in ("process", "host", "since")}
            return say("log.busy", path=path, **told)
        except (OSError, ValueError, KeyError):
            return say("log.busy_unknown", path=path)


def locked(file: Path) -> sqlite3.Connection:
    """Return what holds `file` until it is closed; nothing is written. Raises sqlite3.Error."""
    connection = sqlite3.connect(file, timeout=0, isolation_level=None, check_same_thread=False)
    try:
        connection.execute("PRAGMA journal_mode = MEMORY")  # no file beside it
        connection.execute("BEGIN EXCLUSIVE")
    except sqlite3.Error:
        connection.close()
        raise
    return connection


MOVED = "PRAGMA data_version"  # another number once another connection has written


def inode(log: Path) -> int | None:
    """Return what tells the file at `log` from another that takes its place, None for none."""
    with suppress(OSError):
        return log.stat().st_ino
    return None


PARTS = ("", "-wal", "-shm")  # the file, its tail and the tail's index belong together


def beside(path: Path, part: str) -> Path:
    """Return the file that SQLite keeps beside `path`: its `-wal`, `-shm` or `-journal`."""
    return path.with_name(path.name + part)


def new_log(path: Path) -> Path:
    """Return where the mended log is made; nothing is left there of an earlier attempt."""
    new = _mended(path)
    for part in PARTS:
        beside(new, part).unlink(missing_ok=True)
    return new


def _mended(path: Path) -> Path:
    return path.with_name(path.name + ".mended")


def new_folder(path: Path, wall: float) -> Path:
    """Return a folder for the damaged log, named for the moment, not there yet."""
    stamp = time.strftime("%Y-%m-%d-%H%M%S", time.localtime(wall))
    nth, folder = 1, path.with_name(f"{path.name}.damaged-{stamp}")
    while folder.exists():
        nth += 1
        folder = path.with_name(f"{path.name}.damaged-{stamp}-{nth}")
    return folder


def replace(path: Path, folder: Path, new: Path) -> None:
    """Move the damaged log into `folder` and put `new` in its place.

    Raises CannotRecord where not all of `new` is in its one file: SQLite closes a log without a
    word although it could not fold the tail in (the disk's fault, or somebody reads it).
    """
    for part in ("-wal", "-journal"):
        tail = beside(new, part)
        if tail.exists() and tail.stat().st_size:
            raise CannotRecord(say("log.cannot_record", path=str(path), why=say("log.why.disk")))
    folder.mkdir(exist_ok=True)
    for part in PARTS:  # the file first: while it stands, a tail beside it belongs to it
        file = beside(path, part)
        if file.exists():
            file.rename(folder / file.name)
    new.rename(path)
    sync_folder(path.parent)  # a renaming is on disk once its folder is


def unfinished(path: Path) -> None:
    """Complete a replacing that was killed after the damaged file had moved."""
    new = _mended(path)
    if new.exists() and not path.exists():
        folders = sorted(path.parent.glob(path.name + ".damaged-*"))
        replace(path, folders[-1] if folders else new_folder(path, time.time()), new)
