"""Sends a station's record to the shop's server: each event once, starting where its rows end.

The station keeps no position. Before each batch the server's rows show what is there, and the
digest of the last one must match the record's.
"""

import random
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from itertools import chain
from pathlib import Path
from typing import Any, NamedTuple

from psycopg import sql

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import Database
from kiosk.log import facts
from kiosk.log.record import Follower, StationActivity
from kiosk.log.store import MOVED, LogHead, Store, inode
from kiosk.shop.joining import ENDS, Joining, UncopiedPart
from kiosk.shop.server import Away, Server, connect, first_row, guarded, patiently

BATCH = 5_000  # events in one transaction: after a lost connection a batch is sent again
FIRST_PAUSE, LONGEST_PAUSE = 1.0, 300.0  # seconds, doubled while the server is away
LOOK_SECONDS = 0.25  # interval for checking a followed record
IDLE_LOOKS = 240  # looks until the server is checked even without news: it may have been restored
ALL = "events"
TYPES = ("int8", "int8", "bytea", "int4", "bytea", "float8", "float8", "bytea", "int8", "bytea")
"""Types of an event's columns, sent in binary to avoid converting digits. Text is sent as the bytes
stored in the record."""

END = f"SELECT r.after, {ENDS} WHERE record = %s"
BETWEEN = "CREATE TEMP TABLE IF NOT EXISTS {new} (LIKE {to}) ON COMMIT DELETE ROWS"
COPY = "COPY {new} FROM STDIN"
OLD = "DELETE FROM {to} AS t USING {new} AS n WHERE {same}"
TOLD = """SELECT version, (SELECT max(last) FROM shop.tally AS t WHERE t.record = m.record
    AND stint IN (0, (SELECT max(stint) FROM shop.tally AS n WHERE n.record = m.record)))
FROM shop.mark AS m WHERE record = %s"""
SENDS = """UPDATE shop.records SET sent = now(), last = %s, program = %s,
ahead = %s::float8 - extract(epoch FROM clock_timestamp())::float8 WHERE record = %s"""


class Sent(NamedTuple):
    """Result of sending: the number of events sent, and the number of the last one."""

    events: int
    last: int


class Sender:
    """Sends one record over one connection; `version` is this program's, `clock` the station's."""

    def __init__(
        self, store: Store, server: Server, version: str = "", batch: int = BATCH,
        clock: Callable[[], float] = time.time,
    ) -> None:  # fmt: skip
        self._store, self._server, self._clock = store, server, clock
        self._version, self._most = version, batch
        self._joining = Joining(store, server)
        self._record: int | None = None
        self._sent = 0  # events
        self._follower = Follower(store)

    def send(self, new_generation: bool = False) -> Sent:
        """Send all that the shop does not have; return how much was sent.

        With `new_generation` a record that parted from the shop's joins again from there on. Raises
        RecordsDiffer, Away or another ShopFault, or the record's LogFault.
        """
        self.join(new_generation)
        before = self._sent
        while self.send_some():
            pass
        return Sent(self._sent - before, self._store.last)

    def join(self, new_generation: bool = False) -> int:
        """Return the shop's number for this record; a new record joins."""
        if self._record is None:
            self._record = self._joining.joined(new_generation)
        return self._record

    @property
    def alone(self) -> UncopiedPart:
        """The part of the record that no copy has. Raises as `send` does."""
        return self._joining.alone(self.join())

    def send_some(self) -> bool:
        """Send one batch; return whether there is more."""
        record = self.join()
        with guarded(), self._server.transaction():
            with self._store.reading():
                sends = (self._store.last, self._version, self._clock(), record)
            self._server.execute(SENDS, sends)  # locks the row against other senders
            with self._store.reading():  # read now: another sender may have sent more meanwhile
                count, more = self._batch(record)
        self._sent += count
        return more

    def _batch(self, record: int) -> tuple[int, bool]:
        """Send the next events, and the facts after the last; return how many, and whether more."""
        store = self._store
        after, seq, digest = first_row(self._server, END, record)
        if store.head_at(seq) != LogHead(seq, digest):
            self._record = None
            raise self._joining.parted(LogHead(seq, digest))
        last = min(seq + self._most, store.last)
        if seq < last:
            self._copy(ALL, record, store.chained(LogHead(seq, digest), last))
        if last == store.last:
            self._facts(record, after)
        return last - seq, last < store.last

    def _facts(self, record: int, after: int) -> None:
        """Send the fact rows changed since the last sending, or all if their version differs."""
        if facts.far_behind(self._store):
            return  # the station derives them first, in the background
        facts.ready(self._store)
        told_row = first_row(self._server, TOLD, record)
        from_seq = (told_row[1] if told_row and told_row[0] == facts.VERSION else None) or after
        if told_row and told_row[1] == self._store.last and told_row[0] == facts.VERSION:
            return
        self._now(record)
        for table, rows in facts.changed(self._store, from_seq):
            if told_row and told_row[0] != facts.VERSION:
                self._server.execute(f"DELETE FROM shop.{table} WHERE record = %s", [record])
            with closing(rows):
                if (first := next(rows, None)) is not None:
                    key = facts.key_of(self._store, table)
                    self._copy(table, record, chain([first], rows), key)

    def _now(self, record: int) -> None:
        """Send the station's current activity, for the board."""
        activity = self._follower.activity()
        if activity is not None:
            self._server.execute(NOW, (record, *activity.as_row()))

    def _copy(
        self, table: str, record: int, rows: Iterator[tuple[Any, ...]], key: tuple[str, ...] = ()
    ) -> None:
        """Insert rows into a table by COPY, after deleting those of this record with the same key.

        PostgreSQL cannot COPY into a table with row-level security, so a temporary table is used.
        """
        name = table.strip('"')
        parts: dict[str, sql.Composable] = {
            "to": sql.Identifier("shop", name), "new": sql.Identifier(f"new_{name}"),
        }  # fmt: skip
        same = (sql.SQL("t.{0} = n.{0}").format(sql.Identifier(k)) for k in ("record", *key))
        parts["same"] = sql.SQL(" AND ").join(same)
        self._server.execute(sql.SQL(BETWEEN).format(**parts))
        how = sql.SQL(f"{COPY} (FORMAT BINARY)" if table == ALL else COPY)
        with self._server.cursor().copy(how.format(**parts)) as copy:
            if table == ALL:
                copy.set_types(TYPES)
            for row in rows:
                copy.write_row((record, *row))
        for statement in GONE if name == "gone" else ():
            self._server.execute(statement)
        if key:
            self._server.execute(sql.SQL(OLD).format(**parts))
        self._server.execute(sql.SQL("INSERT INTO {to} SELECT * FROM {new}").format(**parts))


_WAS = {"garment": "t.job = n.job AND t.ticket = n.ticket", "closing": "t.seq = n.was",
        "peel": "t.seq = n.was"}  # fmt: skip
GONE = tuple(
    f"DELETE FROM shop.{fact} AS t USING new_gone AS n WHERE n.fact = '{fact}' "
    f"AND t.record = n.record AND {same}" for fact, same in _WAS.items()
)  # fmt: skip


_VALUES = ", ".join(f"EXCLUDED.{name}" for name in StationActivity._fields)
NOW = f"""INSERT INTO shop.now VALUES ({", ".join(["%s"] * (1 + len(StationActivity._fields)))})
ON CONFLICT (record) DO UPDATE SET ({", ".join(StationActivity._fields)}) = ROW ({_VALUES})"""


def ship(log: Path, database: Database, new_generation: bool = False, version: str = "") -> Sent:
    """Send what the shop lacks of the record at `log`, even while a station uses it.

    Raises ShopFault (RecordsDiffer, Away) or the record's LogFault.
    """
    with Store.read_only(log) as store, connect(database) as server:
        return Sender(store, server, version).send(new_generation)


Tell = Callable[[Message], None]
Wait = Callable[[float], None]


def follow(
    log: Path, database: Database, tell: Tell, new_generation: bool = False, version: str = "",
    wait: Wait = time.sleep,
) -> None:  # fmt: skip
    """Send new events of the record at `log` forever; pauses grow while sending fails.

    Raises faults that waiting cannot fix: Refused, ShopFault, the record's LogFault.
    """
    pause = FIRST_PAUSE
    while True:
        try:
            for sent in _as_it_comes(log, database, tell, new_generation, version, wait):
                pause, new_generation = FIRST_PAUSE, False
                if sent.events:
                    tell(say("command.ship.sent", count=sent.events, last=sent.last))
        except Away as away:
            tell(away.message)
            wait(pause * random.uniform(0.5, 1.0))
            pause = min(2 * pause, LONGEST_PAUSE)


def _as_it_comes(
    log: Path, database: Database, tell: Tell, new_generation: bool, version: str, wait: Wait
) -> Iterator[Sent]:
    """Yield the result of each sending when there may be news, until the file is replaced."""
    with Store.read_only(log) as store, connect(database) as server:
        sender, file = Sender(store, server, version), inode(log)
        while inode(log) == file:
            now = next(store.rows(MOVED))
            with patiently(tell):
                sent = sender.send(new_generation)
            yield sent
            for _ in range(IDLE_LOOKS):
                if next(store.rows(MOVED)) != now or inode(log) != file:
                    break
                wait(LOOK_SECONDS)
