"""Reads the records of all stations from the shop's server, for reports, by the same statements.

A record whose facts have another version, or that joined again as a new generation, is rebuilt from
its events in a temporary file.
"""

from collections.abc import Collection, Iterable, Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager, nullcontext, suppress
from functools import cached_property
from pathlib import Path
from select import select
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple

from psycopg import IsolationLevel
from psycopg.sql import SQL

from kiosk.catalog.base import Message
from kiosk.catalog.model import Database
from kiosk.log.facts import VERSION, FactSource, Progress, quiet, ready
from kiosk.log.record import StationActivity, StationLook
from kiosk.log.rescue import written_log
from kiosk.log.store import LogFault, LogHead, NumberedEvent, StoredRow, codec, event_of
from kiosk.run.state import Event
from kiosk.shop.plans import orders_apart
from kiosk.shop.record_queries import RecordsQuery, listing
from kiosk.shop.server import Server, ShopFault, connect, guarded

KEPT = ["record", "name", "station", "generation", "after", "digest", "events", "told", "version"]
DOING = StationActivity._fields
RECORDS = f"""SELECT {", ".join(KEPT)}
FROM office.station WHERE NOT simulated AND events IS NOT NULL ORDER BY name, since, generation"""
NOW = f"""SELECT DISTINCT ON (s.name) extract(epoch FROM clock_timestamp())::float8
    - (n.wall - s.ahead), {", ".join(f"s.{c}" for c in KEPT)}, {", ".join(f"n.{c}" for c in DOING)}
FROM office.station AS s JOIN office.now AS n USING (record)
WHERE %(asked)s::bigint[] IS NULL OR s.record = ANY (%(asked)s) ORDER BY s.name, s.sent DESC"""
UNTAKEN = "SELECT job, line, number, size FROM office.untaken ORDER BY job, batch"
HAS = "SELECT digest FROM office.events WHERE record = %s AND seq = %s"
EVENTS = """SELECT seq, kind, version, boot, clock, wall, payload, sum, digest FROM office.events
WHERE record = %s AND seq > %s AND seq <= %s ORDER BY seq"""
_SELECT = """SELECT seq, kind, version, boot, clock, wall, payload, sum FROM events
WHERE seq BETWEEN ? AND ? ORDER BY seq"""
NO_JIT = "SET LOCAL jit = off"  # costs more time than it saves
PAGE = 5_000  # events in memory at a time


class RecordEntry(NamedTuple):
    """The server's entry for one record: its own events begin after `after`."""

    record: int
    name: str
    station: str
    generation: int
    after: int
    digest: bytes
    events: int
    told: int | None
    version: int | None

    @property
    def display_name(self) -> str:
        """Name for people; a generation after the first adds its number."""
        return self.name if self.generation == 1 else f"{self.name} ({self.generation})"


class ShopRecord:
    """One record at the server, as of the last event with facts; a FactSource."""

    def __init__(self, office: RecordsQuery, entry: RecordEntry) -> None:
        self._office, self._kept = office, entry
        self.station, self.last = entry.station, entry.told or 0
        self.name = self.full_name = entry.display_name
        self._path = Path(entry.display_name)  # named in faults
        self.lost: tuple[int, ...] = ()
        self.since = 0
        self.untaken = office.untaken
        self._ended = self.rows("SELECT digest FROM events WHERE seq = ?", self.last)

    @cached_property
    def head(self) -> LogHead:
        """The end of its chain."""
        return LogHead(self.last, next(self._ended, (self._kept.digest,))[0])

    def rows(self, sql: str, *values: object) -> Iterator[Any]:
        """Return the rows of a statement for the record's own file."""
        return self._office.rows(self._kept.record, sql, *values)

    def listed(self, sql: str, *values: object) -> Iterator[Any]:
        """Return the rows grouped by all but the last column, whose values become a list."""
        return self.rows(listing(sql), *values)

    def events(self, first: int = 1, last: int | None = None) -> Iterator[NumberedEvent]:
        """Return events in order. Raises Damaged or Newer."""
        rows = self.rows(_SELECT, first, self.last if last is None else last)
        return (
            NumberedEvent(seq, self.event(seq, codec.EventRow(*row), n)) for seq, *row, n in rows
        )

    def event(self, seq: int, row: codec.EventRow, total: int) -> Event:
        """Return the event of a row, verifying its checksum. Raises Damaged or Newer."""
        return event_of(self._path, seq, row, total)

    def must_be_whole(self, first: int, last: int) -> None:
        """Do nothing: each event was verified on arrival, and the server changes none."""


class ServerBoardSource:
    """The shop's server as the board uses it; `faults` are the exceptions of reading it."""

    faults: tuple[type[Exception], ...] = (ShopFault, LogFault)

    def __init__(self, database: Database) -> None:
        self._database = database

    def records(self) -> AbstractContextManager[list[FactSource]]:
        """Open every station's record, all as of one moment."""
        return records(self._database)

    @contextmanager
    def watched(self) -> "Iterator[ServerWatch]":
        """Open a ServerWatch on the stations. Raises ShopFault."""
        with connect(self._database) as server, guarded():
            server.isolation_level, server.read_only = IsolationLevel.REPEATABLE_READ, True
            yield ServerWatch(server)


class ServerWatch:
    """Learns from the server which stations have sent something, and reads it."""

    def __init__(self, server: Server) -> None:
        self._server = server
        self._heard: set[str] = set()
        server.execute("LISTEN press_sent")
        server.add_notify_handler(lambda notice: self._heard.add(notice.payload))

    @contextmanager
    def looks(self, changed: Collection[str] | None) -> Iterator[list[StationLook]]:
        """Open the stations with these keys (None: all), as of one moment."""
        with guarded(), self._server.transaction(), self._server.pipeline():
            keys = None if changed is None else [int(key) for key in changed]
            rows = self._server.execute(NOW, {"asked": keys})
            untaken = self._server.execute(UNTAKEN)
            office, found = RecordsQuery(self._server, untaken), list[StationLook]()
            for passed, *row in rows.fetchall():
                entry, activity = RecordEntry(*row[:9]), StationActivity.of_row(*row[9:])
                source = ShopRecord(office, entry)
                found.append(
                    StationLook(
                        str(entry.record), entry.display_name, source, activity, max(0.0, passed)
                    )
                )
            yield found

    def apart(self) -> dict[str, tuple[Message, ...]]:
        """Return messages on each order pressed by several plans, keyed by job."""
        return {each.job: tuple(each.messages()) for each in orders_apart(self._server)}

    def wait(self, seconds: float) -> set[str]:
        """Wait up to `seconds`; return the keys of the stations that sent something."""
        with guarded():
            if not self._heard:
                select([self._server.fileno()], [], [], seconds)
                self._server.execute("SELECT 1")  # its answer brings the notifications
        changed, self._heard = self._heard, set()
        return changed


@contextmanager
def records(database: Database, progress: Progress = quiet) -> Iterator[list[FactSource]]:
    """Open every station's record at one moment, by name and generation, without simulations.

    Raises ShopFault, Damaged, Newer.
    """
    with ExitStack() as stack:
        server = stack.enter_context(_reader(database))
        with guarded():
            with server.pipeline():
                server.execute(NO_JIT)
                moment = server.execute("SELECT pg_export_snapshot()")
            with server.pipeline():
                entries, untaken = server.execute(RECORDS), server.execute(UNTAKEN)
                second_session = _beside(
                    stack, database, *moment
                )  # while the server works on these
            office, all_entries = (
                RecordsQuery(server, untaken, second_session),
                [RecordEntry(*row) for row in entries],
            )
        found: list[FactSource] = []
        for entry in all_entries:
            if entry.generation == 1 and entry.version in (VERSION, None):
                found.append(ShopRecord(office, entry))
            else:
                folder = Path(stack.enter_context(TemporaryDirectory()))
                rows = _rows(server, entry, all_entries)
                store = stack.enter_context(
                    written_log(folder / f"{entry.display_name}.sqlite3", entry.station, rows)
                )
                stack.enter_context(store.reading())
                ready(store, progress)
                store.since, store.untaken = entry.after, office.untaken
                found.append(store)
        with (
            server.pipeline(),
            second_session.server.pipeline() if second_session else nullcontext(),
        ):
            yield found


@contextmanager
def _reader(database: Database) -> Iterator[Server]:
    """Sign in for reading as of one moment, set by the first statement."""
    with connect(database) as server:
        server.isolation_level, server.read_only = IsolationLevel.REPEATABLE_READ, True
        server.autocommit = False
        yield server


def _beside(stack: ExitStack, database: Database, moment: tuple[str]) -> RecordsQuery | None:
    """Sign in a second time, to the same moment; None if the server does not allow it."""
    with suppress(ShopFault), ExitStack() as own:
        server = own.enter_context(_reader(database))
        with server.pipeline():
            server.execute(SQL("SET TRANSACTION SNAPSHOT {}").format(*moment))
            server.execute(NO_JIT)
        stack.enter_context(own.pop_all())
        return RecordsQuery(server)
    return None


def _rows(
    server: Server, entry: RecordEntry, entries: Iterable[RecordEntry]
) -> Iterator[StoredRow]:
    """Yield a record's events from the first; those before it parted come from its predecessor."""
    parts, last = [(entry, entry.events)], entry.after
    while last:
        entry = _forerunner(server, entry, entries)
        parts.append((entry, last))
        last = min(last, entry.after)
    for part, end in reversed(parts):
        with guarded(), server.cursor("events") as cursor:
            cursor.itersize = PAGE
            for seq, *row, total, digest in cursor.execute(EVENTS, (part.record, part.after, end)):
                yield StoredRow(seq, codec.EventRow(*row), total, digest)


def _forerunner(server: Server, entry: RecordEntry, entries: Iterable[RecordEntry]) -> RecordEntry:
    """Return the generation with the event after which `entry` begins, or that begins there too."""
    earlier = [e for e in entries if e.station == entry.station and e.generation < entry.generation]
    for each in earlier:
        with guarded():
            if server.execute(HAS, (each.record, entry.after)).fetchone() == (entry.digest,):
                return each
    return next(
        each for each in earlier if (each.after, each.digest) == (entry.after, entry.digest)
    )
