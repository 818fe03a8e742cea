"""Sends a station's record to the shop's server: each event once, where the server's rows end.

No mark is kept at the station: before each batch the server's own rows say what is there, and the
digest of the last one must be the record's.
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
from kiosk.log.record import Doing, Follower
from kiosk.log.store import MOVED, Head, Store, inode
from kiosk.shop.joining import ENDS, Alone, Joining
from kiosk.shop.server import Away, Server, connect, guarded, one, patiently

BATCH = 5_000  # events in one transaction: what a bad line loses is sent again
FIRST_PAUSE, LONGEST_PAUSE = 1.0, 300.0  # seconds, doubled while the server is away
LOOK_SECONDS = 0.25  # how often a record that is followed is looked at
ANEW_LOOKS = 240  # until the server is looked at though nothing is new here: it may be set back
ALL = "events"
TYPES = ("int8", "int8", "bytea", "int4", "bytea", "float8", "float8", "bytea", "int8", "bytea")
"""Of the columns of an event, which are sent in binary: neither side writes or reads digits. Text
goes as the bytes that it is in the record."""

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
    """What went to the shop: so many events, up to number `last`."""

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
        """Send all that the shop has not; return what that was.

        `new_generation`: a record that parted from the shop's joins it again from there on.
        Raises Refused, Away, ShopFault, or the record's LogFault.
        """
        self.join(new_generation)
        before = self._sent
        while self.send_some():
            pass
        return Sent(self._sent - before, self._store.last)

    def join(self, new_generation: bool = False) -> int:
        """Return the number under which the shop has this record, which joins where it is new."""
        if self._record is None:
            self._record = self._joining.joined(new_generation)
        return self._record

    @property
    def alone(self) -> Alone:
        """What of the record no copy has. Raises as `send` does."""
        return self._joining.alone(self.join())

    def send_some(self) -> bool:
        """Send one batch; return whether there is more."""
        record = self.join()
        with guarded(), self._server.transaction():
            with self._store.reading():
                sends = (self._store.last, self._version, self._clock(), record)
            self._server.execute(SENDS, sends)  # and nobody else meanwhile
            with self._store.reading():  # of now: who sent meanwhile may have sent more
                many, more = self._batch(record)
        self._sent += many
        return more

    def _batch(self, record: int) -> tuple[int, bool]:
        """Send the next events, the facts with the last of them; return how many, and if more."""
        store = self._store
        after, seq, digest = one(self._server, END, record)
        if store.head_at(seq) != Head(seq, digest):
            self._record = None
            raise self._joining.parted(Head(seq, digest))
        last = min(seq + self._most, store.last)
        if seq < last:
            self._copy(ALL, record, store.chained(Head(seq, digest), last))
        if last == store.last:
            self._facts(record, after)
        return last - seq, last < store.last

    def _facts(self, record: int, after: int) -> None:
        """Replace the rows that changed since those that are there, or all of another version."""
        if facts.far_behind(self._store):
            return  # its station tells them first, beside its work
        facts.ready(self._store)
        there = one(self._server, TOLD, record)
        told = (there[1] if there and there[0] == facts.VERSION else None) or after
        if there and there[1] == self._store.last and there[0] == facts.VERSION:
            return
        self._now(record)
        for table, rows in facts.changed(self._store, told):
            if there and there[0] != facts.VERSION:
                self._server.execute(f"DELETE FROM shop.{table} WHERE record = %s", [record])
            with closing(rows):
                if (first := next(rows, None)) is not None:
                    key = facts.key_of(self._store, table)
                    self._copy(table, record, chain([first], rows), key)

    def _now(self, record: int) -> None:
        """Say what the station is in the middle of, for the board."""
        doing = self._follower.doing()
        if doing is not None:
            self._server.execute(NOW, (record, *doing.as_row()))

    def _copy(
        self, table: str, record: int, rows: Iterator[tuple[Any, ...]], key: tuple[str, ...] = ()
    ) -> None:
        """Put rows into a table by COPY; those with the same key, of the same record, go first.

        PostgreSQL does not COPY into a table with row-level security: a temporary one is between.
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


_VALUES = ", ".join(f"EXCLUDED.{name}" for name in Doing._fields)
NOW = f"""INSERT INTO shop.now VALUES ({", ".join(["%s"] * (1 + len(Doing._fields)))})
ON CONFLICT (record) DO UPDATE SET ({", ".join(Doing._fields)}) = ROW ({_VALUES})"""


def ship(log: Path, database: Database, new_generation: bool = False, version: str = "") -> Sent:
    """Send what the shop has not of the record at `log`, also while a station works on it.

    Raises ShopFault (Refused, Away) or the record's LogFault.
    """
    with Store.read_only(log) as store, connect(database) as server:
        return Sender(store, server, version).send(new_generation)


Tell = Callable[[Message], None]
Wait = Callable[[float], None]


def follow(
    log: Path, database: Database, tell: Tell, new_generation: bool = False, version: str = "",
    wait: Wait = time.sleep,
) -> None:  # fmt: skip
    """Send what the record at `log` gets as it comes, for ever; pauses grow while that fails.

    Raises what waiting does not mend: Refused, ShopFault, the record's LogFault.
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
    """Yield what was sent each time something may be new, until the file is another one."""
    with Store.read_only(log) as store, connect(database) as server:
        sender, file = Sender(store, server, version), inode(log)
        while inode(log) == file:
            now = next(store.rows(MOVED))
            with patiently(tell):
                sent = sender.send(new_generation)
            yield sent
            for _ in range(ANEW_LOOKS):
                if next(store.rows(MOVED)) != now or inode(log) != file:
                    break
                wait(LOOK_SECONDS)
