"""The append-only store of a station's events: SQLite, one file, on a local disk."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Any, NamedTuple, Self

from kiosk.catalog.message import say
from kiosk.log import codec
from kiosk.log.aside import unfinished
from kiosk.log.connection import connect, connect_read_only, guarded
from kiosk.log.errors import Damaged, Newer, WrongLog, fault_of_system
from kiosk.log.lock import StationLock
from kiosk.run.events import Event, StationStarted

_INSERT = "INSERT INTO events VALUES (?, ?, ?, ?, ?, ?, ?, ?)"
_SELECT = "SELECT seq, kind, version, boot, clock, wall, payload, sum FROM events"


class Recorded(NamedTuple):
    """An event with its number in the log."""

    seq: int
    event: Event


class Checkpoint(NamedTuple):
    """The state after event `seq` as JSON, made by the program `code`; `sum` guards the three."""

    seq: int
    code: str
    state: str
    sum: str


class Store:
    """One log, open. Get one from `open` (a station, alone on it) or `read_only` (a reader)."""

    def __init__(
        self, path: Path, connection: sqlite3.Connection, lock: StationLock | None = None
    ) -> None:
        self.path = path
        self._connection = connection
        self._lock = lock
        self.last: int = self._one("SELECT coalesce(max(seq), 0) FROM events")[0]

    @classmethod
    def open(cls, path: Path, simulated: bool | None = False) -> Self:
        """Open the log at `path` for a station, new if there is none.

        `simulated` says which kind of log is wanted (None: either). Raises Busy, Damaged,
        WrongLog, NotALog, Newer, CannotRecord; nothing is changed then.
        """
        try:
            path = path.resolve()  # one file, one lock, by whatever name it is called
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise fault_of_system(error, path) from error
        lock = StationLock(path)
        lock.take()
        try:
            unfinished(path)
            return cls._opened(path, connect(path), lock, simulated)
        except BaseException:
            lock.give()
            raise

    @classmethod
    def read_only(cls, path: Path) -> Self:
        """Open the log at `path` for reading, also while a station works on it.

        Raises CannotRecord (cannot be opened), Damaged, NotALog, Newer.
        """
        return cls._opened(path, connect_read_only(path), None, None)

    @classmethod
    def _opened(
        cls,
        path: Path,
        connection: sqlite3.Connection,
        lock: StationLock | None,
        simulated: bool | None,
    ) -> Self:
        try:
            with guarded(path):
                store = cls(path, connection, lock)
            store._must_be(simulated)
        except BaseException:
            connection.close()
            raise
        return store

    def _must_be(self, simulated: bool | None) -> None:
        first = next(self.events(last=1), None)
        if simulated is None or first is None or not isinstance(first.event, StationStarted):
            return
        if first.event.simulated is not simulated:
            wrong = "log.is_simulated" if first.event.simulated else "log.not_simulated"
            raise WrongLog(say(wrong, path=str(self.path)))

    def append(self, events: Sequence[Event]) -> int:
        """Put `events` on disk in one commit, in order; return the number of the last.

        Raises CannotRecord or Damaged; then none of them is in the log.
        """
        rows = [
            (seq, *row, row.sum(seq))
            for seq, row in enumerate(map(codec.encode, events), self.last + 1)
        ]
        with self.writing():
            self._connection.executemany(_INSERT, rows)
        self.last += len(rows)
        return self.last

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """One transaction: all of it or none. Raises CannotRecord or Damaged."""
        with guarded(self.path):
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                yield self._connection
                self._connection.execute("COMMIT")
            except BaseException:
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")
                raise

    @contextmanager
    def reading(self) -> Iterator[None]:
        """One moment of the log for several reads, whatever a station appends meanwhile."""
        with guarded(self.path):
            self._connection.execute("BEGIN")
            try:
                self.last = self._one("SELECT coalesce(max(seq), 0) FROM events")[0]
                yield
            finally:
                self._connection.execute("ROLLBACK")

    def events(self, first: int = 1, last: int | None = None) -> Iterator[Recorded]:
        """Yield the events from number `first` to `last` (None: to the end), in order.

        Raises Damaged at a row that cannot be read or has rotted, Newer at one that only a
        newer program knows.
        """
        end = self.last if last is None else last
        for seq, *row, total in self.rows(f"{_SELECT} WHERE seq BETWEEN ? AND ?", first, end):
            yield Recorded(seq, self.event(seq, codec.Row(*row), total))

    def event(self, seq: int, row: codec.Row, total: int) -> Event:
        """Return the event of a row that was read. Raises Damaged or Newer."""
        if row.sum(seq) != total:
            raise Damaged(say("log.rotten", path=str(self.path), seq=seq))
        try:
            return codec.decode(row)
        except codec.FromNewer as error:
            raise Newer(say("log.newer", path=str(self.path), found=str(error))) from error
        except codec.Unreadable as error:
            raise Damaged(say("log.rotten", path=str(self.path), seq=seq)) from error

    def rows(self, sql: str, *values: object) -> Iterator[Any]:
        """Yield the rows of a query. Raises Damaged or CannotRecord."""
        with guarded(self.path):
            yield from self._connection.execute(sql, values)

    def _one(self, sql: str) -> Any:
        return self._connection.execute(sql).fetchone()

    def copy_into(self, other: sqlite3.Connection, pages: int) -> None:
        """Copy the whole log into an empty database, `pages` at a time."""
        with guarded(self.path):
            self._connection.backup(other, pages=pages)

    def checkpoint(self) -> Checkpoint | None:
        """Return the stored checkpoint, whatever it is worth, or None."""
        row = next(self.rows("SELECT seq, code, state, sum FROM checkpoint"), None)
        return None if row is None else Checkpoint(*row)

    def close(self) -> None:
        """Close the file and let another station have it."""
        self._connection.close()
        if self._lock is not None:
            self._lock.give()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()
