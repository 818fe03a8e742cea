"""The records of all stations as reports read them: from the shop's server, by the same statements.

A record whose facts this program did not tell, or that joined again as a new generation, is folded
anew out of its events, into a file that lasts as long as the reading.
"""

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, ExitStack, contextmanager
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from select import select
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple

from psycopg import Cursor, IsolationLevel

from kiosk.catalog.model import Database
from kiosk.log.facts import VERSION, Progress, Source, quiet, ready
from kiosk.log.record import Doing, Look
from kiosk.log.rescue import written_log
from kiosk.log.store import Head, LogFault, Recorded, Stored, codec, event_of
from kiosk.run.state import Event
from kiosk.shop.server import Server, ShopFault, connect, guarded

KEPT = ["record", "name", "station", "generation", "after", "digest", "events", "told", "version"]
DOING = Doing._fields
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
PAGE = 5_000  # events in memory at a time


class Kept(NamedTuple):
    """What the server says of one record: its own events begin behind `after`."""

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
    def called(self) -> str:
        """Its name for people; of generations after the first with their number."""
        return self.name if self.generation == 1 else f"{self.name} ({self.generation})"


@dataclass(slots=True)
class Asked:
    """Rows that one record was asked for; None until they have come."""

    record: int
    values: tuple[object, ...]
    rows: list[Any] | None = None


TYPES = {int: "bigint", float: "double precision", str: "text"}
TABLE = re.compile(r'\b(?:FROM|JOIN) ("?[a-z]+"?)')
LISTED = re.compile(r"SELECT ([^()]+), (\w+) (FROM .+)\sORDER BY stint, seq", re.DOTALL)


def of_all(sql: str, asked: Sequence[Asked]) -> tuple[str, list[object]]:
    """Return a statement of a record's own file as one of several records, and its values.

    Its rows have in front the number, from 1, of what was asked. Each table is what the office
    sees of it, that record's part alone. Values that all have in common (what LIMIT has must be
    so) stand for themselves.
    """
    columns: list[list[Any]] = [[each.record for each in asked]]
    heads, values = ["record"], list[object]()
    parts = sql.replace("%", "%%").split("?")
    query = parts[0]
    for nth, part in enumerate(parts[1:]):
        given = [each.values[nth] for each in asked]
        if all(value == given[0] for value in given):
            values.append(given[0])
            query += f"%s{part}"
        else:
            columns.append(given)
            heads.append(f"value{nth}")
            query += f"asked.value{nth}{part}"
    seen = "{0} AS NOT MATERIALIZED (SELECT * FROM office.{0} WHERE record = asked.record)"
    tables = ", ".join(map(seen.format, dict.fromkeys(TABLE.findall(sql))))
    arrays = ", ".join(f"%s::{TYPES[type(column[0])]}[]" for column in columns)
    return (
        f"SELECT asked.nth, told.* FROM unnest({arrays}) WITH ORDINALITY "
        f"AS asked ({', '.join(heads)}, nth) CROSS JOIN LATERAL (WITH {tables} {query}) AS told",
        [*columns, *values],
    )


def listing(sql: str) -> str:
    """Return a statement of stints so that the server lists its last column by the others."""
    return LISTED.sub(
        r"SELECT \1, array_agg(\2 ORDER BY seq) \3 GROUP BY \1 ORDER BY stint, min(seq)", sql
    )


class Office:
    """One moment of the server for several records.

    What all of them are asked for before a row is read goes to the server in one go, and a
    statement once for all records.
    """

    def __init__(self, server: Server) -> None:
        self.server = server
        self._waiting: dict[str, list[Asked]] = {}
        self.untaken: dict[str, tuple[tuple[str, str, str], ...]] = {}
        with guarded():
            for job, *row in server.execute(UNTAKEN):
                self.untaken[job] = (*self.untaken.get(job, ()), (row[0], row[1], row[2]))

    def rows(self, record: int, sql: str, *values: object) -> Iterator[Any]:
        """Return the rows of a statement about `record` alone."""
        asked = Asked(record, values)
        self._waiting.setdefault(sql, []).append(asked)
        return self._read(asked)

    def _read(self, asked: Asked) -> Iterator[Any]:
        if asked.rows is None:
            with guarded():
                self._ask()
        yield from asked.rows or ()

    def _ask(self) -> None:
        waiting, self._waiting = self._waiting, {}
        with self.server.pipeline():
            answers = [self.answer(*of_all(sql, asked)) for sql, asked in waiting.items()]
        for asked, answer in zip(waiting.values(), answers, strict=True):
            by_record: list[list[Any]] = [[] for _ in asked]
            for row in answer.fetchall():
                by_record[row[0] - 1].append(row[1:])
            for each, rows in zip(asked, by_record, strict=True):
                each.rows = rows

    def answer(self, query: str, values: list[object]) -> Cursor[tuple[Any, ...]]:
        """Send one statement; within a pipeline its rows have come when that ends."""
        return self.server.cursor(binary=True).execute(query.encode(), values)


class ShopRecord:
    """One record at the server as of the last event that its facts tell; a Source."""

    def __init__(self, office: Office, kept: Kept) -> None:
        self._office, self._kept = office, kept
        self.station, self.last = kept.station, kept.told or 0
        self.name = self.full_name = kept.called
        self._path = Path(kept.called)  # what a fault calls it
        self.lost: tuple[int, ...] = ()
        self.since = 0
        self.untaken: Mapping[str, tuple[tuple[str, str, str], ...]] = office.untaken
        self._ended = self.rows("SELECT digest FROM events WHERE seq = ?", self.last)

    @cached_property
    def head(self) -> Head:
        """Where its chain ends."""
        return Head(self.last, next(self._ended, (self._kept.digest,))[0])

    def rows(self, sql: str, *values: object) -> Iterator[Any]:
        """Return the rows of a statement of the record's own file."""
        return self._office.rows(self._kept.record, sql, *values)

    def listed(self, sql: str, *values: object) -> Iterator[Any]:
        """Return the same, the last column as a list by the others."""
        return self.rows(listing(sql), *values)

    def events(self, first: int = 1, last: int | None = None) -> Iterator[Recorded]:
        """Return events in order. Raises Damaged or Newer."""
        rows = self.rows(_SELECT, first, self.last if last is None else last)
        return (Recorded(seq, self.event(seq, codec.Row(*row), n)) for seq, *row, n in rows)

    def event(self, seq: int, row: codec.Row, total: int) -> Event:
        """Return the event of a row that was read. Raises Damaged or Newer."""
        return event_of(self._path, seq, row, total)

    def must_be_whole(self, first: int, last: int) -> None:
        """Ask nothing: each event was looked at as it came, and the server changes none."""


class Shop:
    """The shop's server as a board sees it; `faults` are what reading it can raise."""

    faults: tuple[type[Exception], ...] = (ShopFault, LogFault)

    def __init__(self, database: Database) -> None:
        self._database = database

    def records(self) -> AbstractContextManager[list[Source]]:
        """Give every station's record at one moment."""
        return records(self._database)

    @contextmanager
    def watched(self) -> "Iterator[Watch]":
        """Give what follows the stations. Raises ShopFault."""
        with connect(self._database) as server, guarded():
            server.isolation_level, server.read_only = IsolationLevel.REPEATABLE_READ, True
            yield Watch(server)


class Watch:
    """Hears from the server which stations have sent something, and reads what that is."""

    def __init__(self, server: Server) -> None:
        self._server = server
        self._heard: set[str] = set()
        server.execute("LISTEN press_sent")
        server.add_notify_handler(lambda told: self._heard.add(told.payload))

    @contextmanager
    def looks(self, changed: Collection[str] | None) -> Iterator[list[Look]]:
        """Give the stations with these keys, None for all, at one moment."""
        with guarded(), self._server.transaction():
            asked = None if changed is None else [int(key) for key in changed]
            rows = self._server.execute(NOW, {"asked": asked})
            office, found = Office(self._server), list[Look]()
            for passed, *row in rows.fetchall():
                kept, doing = Kept(*row[:9]), Doing.of_row(*row[9:])
                source = ShopRecord(office, kept)
                found.append(Look(str(kept.record), kept.called, source, doing, max(0.0, passed)))
            yield found

    def wait(self, seconds: float) -> set[str]:
        """Return the keys of the stations that sent something, after so many seconds at most."""
        with guarded():
            if not self._heard:
                select([self._server.fileno()], [], [], seconds)
                self._server.execute("SELECT 1")  # and with its answer what was heard
        heard, self._heard = self._heard, set()
        return heard


@contextmanager
def records(database: Database, progress: Progress = quiet) -> Iterator[list[Source]]:
    """Give every station's record at one moment, by name and generation; simulations left out.

    Raises ShopFault, Damaged, Newer.
    """
    with ExitStack() as stack:
        server = stack.enter_context(connect(database))
        with guarded():
            server.isolation_level, server.read_only = IsolationLevel.REPEATABLE_READ, True
            stack.enter_context(server.transaction())
            server.execute("SET LOCAL jit = off")  # it takes longer than what it makes quicker
            every = [Kept(*row) for row in server.execute(RECORDS)]
        office = Office(server)
        found: list[Source] = []
        for kept in every:
            if kept.generation == 1 and kept.version in (VERSION, None):
                found.append(ShopRecord(office, kept))
            else:
                folder = Path(stack.enter_context(TemporaryDirectory()))
                rows = _rows(server, kept, every)
                store = stack.enter_context(
                    written_log(folder / f"{kept.called}.sqlite3", kept.station, rows)
                )
                stack.enter_context(store.reading())
                ready(store, progress)
                store.since, store.untaken = kept.after, office.untaken
                found.append(store)
        yield found


def _rows(server: Server, kept: Kept, every: Iterable[Kept]) -> Iterator[Stored]:
    """The events of a record from the first on: those before it parted are its forerunner's."""
    parts, last = [(kept, kept.events)], kept.after
    while last:
        kept = _forerunner(server, kept, every)
        parts.append((kept, last))
        last = min(last, kept.after)
    for part, end in reversed(parts):
        with guarded(), server.cursor("events") as cursor:
            cursor.itersize = PAGE
            for seq, *row, total, digest in cursor.execute(EVENTS, (part.record, part.after, end)):
                yield Stored(seq, codec.Row(*row), total, digest)


def _forerunner(server: Server, kept: Kept, every: Iterable[Kept]) -> Kept:
    """The generation that has the event after which `kept` begins, or began there as well."""
    earlier = [e for e in every if e.station == kept.station and e.generation < kept.generation]
    for each in earlier:
        with guarded():
            if server.execute(HAS, (each.record, kept.after)).fetchone() == (kept.digest,):
                return each
    return next(each for each in earlier if (each.after, each.digest) == (kept.after, kept.digest))
