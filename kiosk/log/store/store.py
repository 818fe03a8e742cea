"""The append-only store of a station's events: SQLite, one file, on a local disk."""

import os
import sqlite3
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, Self

from kiosk.catalog.base import readable, say
from kiosk.log.store import codec
from kiosk.log.store.connection import (
    Tell,
    closed_on_error,
    connect,
    connect_read_only,
    connect_unexamined,
    guarded,
    place_for,
)
from kiosk.log.store.errors import Damaged, Displaced, WrongLog, fault_of
from kiosk.log.store.files import PARTS, StationLock, unfinished
from kiosk.log.store.migrations import Checkpoint, LogHead, root
from kiosk.log.store.rows import LoggedEvent, NumberedEvent, StoredRow, chained, event_of, first_bad
from kiosk.run.state import Event, StationStarted

_INSERT = "INSERT INTO events VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"
_SELECT = "SELECT seq, kind, version, boot, clock, wall, payload, sum, digest FROM events"
Statement = tuple[str, tuple[object, ...]]
"""SQL and its values."""

_CHAINED = f"{_SELECT}\nWHERE seq BETWEEN ? AND ?"
_SUMMED = _CHAINED.replace(", digest", "")
AT_ONCE = 250  # rows in memory at a time: larger parts take longer to allocate


class Store:
    """One open log, from `open` (a station, with exclusive use) or `read_only` (a reader)."""

    def __init__(
        self, path: Path, connection: sqlite3.Connection, lock: StationLock | None = None
    ) -> None:
        self.path = path
        self._connection = connection
        self._lock = lock
        self.lost: tuple[int, ...] = ()  # events that a reader leaves out, see `past_damage`
        self.since = 0  # shifts that ended up to this event belong to another record
        self.untaken: Mapping[str, tuple[tuple[str, str, str], ...]] = {}  # only a server knows it
        self.behind = False  # set when facts could not be written with their events
        files = [] if lock is None else [Path(f"{path}{part}") for part in PARTS]
        self._files = {str(file): file.stat() for file in files if file.exists()}
        self.refresh()

    @property
    def name(self) -> str:
        """The log's name, taken from its file."""
        return readable(self.path.stem)

    @property
    def full_name(self) -> str:
        """The log's name preceded by its folder's."""
        return readable(f"{self.path.resolve().parent.name}/{self.path.stem}")

    @property
    def last(self) -> int:
        """The number of the last event on disk, 0 for none."""
        return self.head.seq

    def refresh(self) -> None:
        """Read again which station's log this is and where it ends."""
        one = self._connection.execute
        if (found := one("SELECT station FROM identity").fetchone()) is None:
            raise Damaged(say("log.damaged", path=str(self.path), found="identity"))
        self.station: str = found[0]
        last = one("SELECT seq, digest FROM events ORDER BY seq DESC LIMIT 1").fetchone()
        self.head = LogHead(*(last or (0, root(self.station))))

    @classmethod
    def open(cls, path: Path, simulated: bool | None = False) -> Self:
        """Open the log at `path` for a station, creating it if there is none.

        `simulated` is the kind of log wanted (None: either). Raises Busy, Damaged, WrongLog,
        NotALog, Newer, CannotRecord; nothing is changed then.
        """
        path = place_for(path)
        lock = StationLock(path)
        lock.take()
        try:
            unfinished(path)
            return cls._opened(path, connect(path), lock, simulated)
        except BaseException:
            lock.give()
            raise

    @classmethod
    def read_only(cls, path: Path, older: Tell | None = None) -> Self:
        """Open the log at `path` for reading, even while a station uses it.

        `older` is called with a message if an older program made the log, which is then read too;
        its `station` is "" if it has no id yet. Raises CannotRecord (cannot be opened), Damaged,
        NotALog, Newer.
        """
        return cls._opened(path, connect_read_only(path, older), None, None)

    @classmethod
    def unexamined(cls, path: Path) -> Self:
        """Open the log at `path` for reading, even in the process of the station using it.

        The file is not checked first. Raises CannotRecord, or Damaged if SQLite cannot read it.
        """
        with guarded(path):
            connection = connect_unexamined(path)
        return cls._opened(path, connection, None, None)

    @classmethod
    def _opened(
        cls, path: Path, connection: sqlite3.Connection, lock: StationLock | None,
        simulated: bool | None,
    ) -> Self:  # fmt: skip
        with closed_on_error(connection):
            with guarded(path):
                store = cls(path, connection, lock)
            if simulated is not None and store.simulated not in (None, simulated):
                wrong = "log.not_simulated" if simulated else "log.is_simulated"
                raise WrongLog(say(wrong, path=str(path)))
        return store

    @property
    def simulated(self) -> bool | None:
        """Whether it is a simulation's log; None if it does not say. Raises Damaged, Newer."""
        first = next((each.event for each in self.events(last=1)), None)
        return first.simulated if isinstance(first, StationStarted) else None

    def append(self, events: Sequence[Event], facts: Iterable[Statement] = ()) -> int:
        """Write `events` to disk in one commit, in order; return the number of the last.

        `facts` are written in the same commit; if they do not fit the tables, only the events are
        written and `behind` is set. Raises CannotRecord or Damaged; then none of the events is
        in the log.
        """
        return self.add(map(codec.encode, events), facts)

    def add(self, rows: Iterable[codec.EventRow], facts: Iterable[Statement] = ()) -> int:
        """Write rows of events to disk as `append` does."""
        head, cells = self.head, []
        for row in rows:
            seq = head.seq + 1
            total, digest = codec.summed(head.digest, seq, row)
            head = LogHead(seq, digest)
            cells.append((seq, *row, total, digest))
        with self.writing() as connection:
            connection.executemany(_INSERT, cells)
            connection.execute("SAVEPOINT facts")
            try:
                self.execute(facts)
            except (sqlite3.IntegrityError, sqlite3.OperationalError):
                connection.execute("ROLLBACK TO facts")  # the events matter more
                self.behind = True
            connection.execute("RELEASE facts")
        self.head = head
        return head.seq

    def execute(self, statements: Iterable[Statement]) -> None:
        """Run statements in the open transaction. Raises sqlite3.Error."""
        for statement, values in statements:
            self._connection.execute(statement, values)

    def must_be_in_place(self) -> None:
        """Raise Displaced if a file of this log is gone from its path or has been replaced.

        An open file can still be written to after that: all would seem well, and everything would
        be lost with the process.
        """
        for file, identity in self._files.items():
            with suppress(OSError):
                # Three files at each commit: Path.stat takes twice as long.
                if os.path.samestat(os.stat(file), identity):  # noqa: PTH116
                    continue
            raise Displaced(say("log.displaced", path=file))

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """Open one transaction, committed whole or not at all. Raises CannotRecord or Damaged."""
        try:
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                yield self._connection
                self.must_be_in_place()
                self._connection.execute("COMMIT")
            except BaseException:
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")
                raise
        except sqlite3.Error as error:
            raise fault_of(error, self.path) from error

    @contextmanager
    def reading(self) -> Iterator[None]:
        """Keep one moment of the log for several reads, even if a station appends meanwhile."""
        with guarded(self.path):
            self._connection.execute("BEGIN")
            try:
                self.refresh()
                yield
            finally:
                self._connection.execute("ROLLBACK")

    def head_at(self, seq: int) -> LogHead | None:
        """Return the log's head at event `seq`, or None if there is no such event."""
        if seq == 0:
            return LogHead(0, root(self.station))
        row = next(self.rows("SELECT digest FROM events WHERE seq = ?", seq), None)
        return None if row is None else LogHead(seq, row[0])

    def events(self, first: int = 1, last: int | None = None) -> Iterator[NumberedEvent]:
        """Yield the events from number `first` to `last` (None: to the end), in order.

        Raises Damaged at a row that is unreadable or damaged, Newer at one that only a newer
        program knows.
        """
        for seq, event, *_ in self.entries(first, last):
            yield NumberedEvent(seq, event)

    def entries(self, first: int = 1, last: int | None = None) -> Iterator[LoggedEvent]:
        """Yield the same events with their rows."""
        for seq, row, total, _ in self.stored(first, last):
            yield LoggedEvent(seq, event_of(self.path, seq, row, total), row, total)

    def must_be_whole(self, first: int, last: int) -> None:
        """Raise Damaged if the row of an event from `first` to `last` is not as written."""
        if (bad := first_bad(self.raw_rows(_SUMMED, first, last))) is not None:
            raise Damaged(say("log.rotten", path=str(self.path), seq=bad))

    def chained(self, before: LogHead, last: int) -> Iterator[tuple[Any, ...]]:
        """Yield raw rows after `before`, texts as bytes. Raises Damaged at a break in the chain."""
        return chained(self.path, self.raw_rows(_CHAINED, before.seq + 1, last), before.digest)

    def raw_rows(self, sql: str, first: int, last: int) -> Iterator[Any]:
        """Yield the rows of a query over a range of events, in parts; texts are bytes."""
        for at in range(first, last + 1, AT_ONCE):
            yield from self._raw(sql, at, min(last, at + AT_ONCE - 1))

    def _raw(self, sql: str, first: int, last: int) -> list[Any]:
        """Return one part; nothing else references it, so its memory is free for the next."""
        text, self._connection.text_factory = self._connection.text_factory, bytes
        try:
            with guarded(self.path):
                return self._connection.execute(sql, (first, last)).fetchall()
        finally:
            self._connection.text_factory = text

    def stored(self, first: int = 1, last: int | None = None) -> Iterator[StoredRow]:
        """Yield the rows from number `first` to `last` unchecked, in order.

        Raises Damaged or CannotRecord if SQLite cannot read the file.
        """
        found = self.rows(_CHAINED, first, self.last if last is None else last)
        for seq, *row, total, digest in found:
            yield StoredRow(seq, codec.EventRow(*row), total, digest)

    def event(self, seq: int, row: codec.EventRow, total: int) -> Event:
        """Return the event of a row, verifying its checksum. Raises Damaged or Newer."""
        return event_of(self.path, seq, row, total)

    def rows(self, sql: str, *values: object) -> Iterator[Any]:
        """Yield the rows of a query. Raises Damaged or CannotRecord."""
        with guarded(self.path):
            yield from self._connection.execute(sql, values)

    def listed(self, sql: str, *values: object) -> Iterator[Any]:
        """Yield the rows grouped by all but the last column, whose values become a list."""
        found: dict[tuple[Any, ...], list[Any]] = defaultdict(list)
        with guarded(self.path):
            for row in self._connection.execute(sql, values):
                found[row[:-1]].append(row[-1])
        for key, last in found.items():
            yield *key, last

    def copy_into(self, other: sqlite3.Connection, pages: int) -> None:
        """Copy the whole log into an empty database, `pages` at a time."""
        with guarded(self.path):
            self._connection.backup(other, pages=pages)

    def checkpoint(self) -> Checkpoint | None:
        """Return the stored checkpoint unchecked, or None."""
        row = next(self.rows("SELECT seq, code, state, sum FROM checkpoint"), None)
        return None if row is None else Checkpoint(*row)

    def close(self) -> None:
        """Close the file and release it for other stations."""
        self._connection.close()
        if self._lock is not None:
            self._lock.give()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()
