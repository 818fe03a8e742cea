"""Faults of a log: each message says what is wrong, where, and what would be right."""

import shutil
import sqlite3
from pathlib import Path

from kiosk.catalog.base import Message, say


class LogFault(Exception):
    """A fault of the log; `message` is for a person."""

    def __init__(self, message: Message) -> None:
        super().__init__(message.id, dict(message.values))
        self.message = message


class CannotRecord(LogFault):
    """Nothing can be written now: disk full or failing, folder read-only, or file locked."""


class Displaced(CannotRecord):
    """The log's files are no longer at their paths: nobody would find what is written."""


class Damaged(LogFault):
    """The file is a log, but parts of it cannot be read."""


class Busy(LogFault):
    """Another station is using this log."""


class WrongLog(LogFault):
    """A station was given a simulation's log, or the reverse."""


class NotALog(LogFault):
    """The file is something else; it is left unchanged."""


class Newer(LogFault):
    """The log was written by a newer program than this one."""


# Primary result codes of SQLite (sqlite.org/rescode.html) and the reason for each.
_DAMAGE = frozenset({sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB})
_WHY = {
    sqlite3.SQLITE_FULL: say("log.why.full"),
    sqlite3.SQLITE_READONLY: say("log.why.read_only"),
    sqlite3.SQLITE_PERM: say("log.why.read_only"),
    sqlite3.SQLITE_AUTH: say("log.why.read_only"),
    sqlite3.SQLITE_CANTOPEN: say("log.why.cannot_open"),
    sqlite3.SQLITE_BUSY: say("log.why.held"),
    sqlite3.SQLITE_LOCKED: say("log.why.held"),
}


SqliteError = sqlite3.Error | UnicodeDecodeError
"""What SQLite raises: the second if its message quotes damaged text that Python cannot decode."""


def fault_of(error: SqliteError, path: Path) -> LogFault:
    """Return the typed fault for an error of SQLite on the log at `path`."""
    if isinstance(error, UnicodeDecodeError):
        found = error.object.decode("utf-8", "replace")
        return Damaged(say("log.damaged", path=str(path), found=found))
    whole = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR)
    code = whole & 0xFF
    if code in _DAMAGE or isinstance(error, sqlite3.DataError) or _is_of_content(error):
        return Damaged(say("log.damaged", path=str(path), found=str(error)))
    why = _WHY.get(code, say("log.why.disk"))
    if whole == sqlite3.SQLITE_IOERR_SHMSIZE or (code == sqlite3.SQLITE_IOERR and _is_full(path)):
        why = say("log.why.full")  # no room for the tail's index: SQLite calls it a disk error
    return CannotRecord(say("log.cannot_record", path=str(path), why=why))


def _is_full(path: Path) -> bool:
    """Whether there is less free space than a tail's index takes, 32 kB."""
    try:
        return shutil.disk_usage(path.parent).free < 32_768
    except OSError:
        return False


def _is_of_content(error: sqlite3.Error) -> bool:
    """Whether it is bad JSON, bad UTF-8 or a missing table or column: these have no own codes."""
    return any(
        each in str(error)
        for each in ("malformed JSON", "decode to UTF-8", "no such table", "no such column")
    )


def fault_of_system(error: OSError, path: Path) -> CannotRecord:
    """Return the typed fault for a file system error at `path`."""
    import errno  # only needed here

    full = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
    closed = {errno.EACCES, errno.EPERM, errno.EROFS}
    why = (
        say("log.why.full")
        if error.errno in full
        else say("log.why.read_only")
        if error.errno in closed
        else say("log.why.cannot_open")
    )
    return CannotRecord(say("log.cannot_record", path=str(path), why=why))
