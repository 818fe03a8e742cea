"""The tables of facts: typed rows derived from the events, rebuilt when their version changes.

Nothing here is the record itself: all of it can be derived again from the events. `mark` has the
version of the tables; `tally` has the last event processed, as every event is counted there. Times
are seconds; `wall` is seconds since 1970. In rows that change later, `told` is the event that last
changed them; `gone` lists the rows that were deleted.
"""

from collections.abc import Generator, Iterable, Iterator, Mapping
from math import fmod
from typing import Any, NamedTuple, Protocol, TypeVar
from zlib import crc32

from kiosk.log.store import LogHead, NumberedEvent, Store, codec
from kiosk.run.state import Event

VERSION = 10
"""Increase it with every change to the rows written: the tables are then rebuilt."""


class FactSource(Protocol):
    """A source of facts and the events behind them: a station's file, or a copy of its rows.

    `name` is for people, `full_name` distinguishes two of the same name. Shifts that ended up to
    event `since` belong to another record; `lost` are events left out as damaged. `untaken` are the
    garments of shared orders that no station has taken yet, by job: line, number, size.
    """

    since: int
    untaken: Mapping[str, tuple[tuple[str, str, str], ...]]

    @property
    def name(self) -> str: ...  # noqa: D102 - the class says it
    @property
    def full_name(self) -> str: ...  # noqa: D102
    @property
    def station(self) -> str: ...  # noqa: D102
    @property
    def head(self) -> LogHead: ...  # noqa: D102
    @property
    def last(self) -> int: ...  # noqa: D102
    @property
    def lost(self) -> tuple[int, ...]: ...  # noqa: D102

    def rows(self, sql: str, *values: object) -> Iterator[Any]:
        """Return the rows of a statement valid in both SQLite and PostgreSQL.

        Make all queries of a step before reading rows of any: a server then gets them in one go.
        """

    def listed(self, sql: str, *values: object) -> Iterator[Any]:
        """Return the rows grouped by all but the last column, whose values become a list.

        Groups keep the order of their first row. The statement lists rows of stints by event:
        `SELECT … FROM … ORDER BY stint, seq`.
        """

    def events(self, first: int = 1, last: int | None = None) -> Iterator[NumberedEvent]:
        """Yield events in order."""

    def event(self, seq: int, row: codec.EventRow, total: int) -> Event:
        """Decode the event of a row."""

    def must_be_whole(self, first: int, last: int) -> None:
        """Raise Damaged if the row of an event differs from what was written."""


T = TypeVar("T")
K = TypeVar("K")
Reading = Generator[None, None, T]
"""A computation that returns a T; it yields after making all queries possible so far."""


def abreast(readings: Mapping[K, Reading[T]]) -> Reading[dict[K, T]]:
    """Advance all of `readings` in turns, so that all make their queries before any reads on."""
    going, found = dict(readings), dict[K, T]()
    while going:
        for key, reading in list(going.items()):
            try:
                next(reading)
            except StopIteration as end:
                found[key] = end.value
                del going[key]
        yield
    return {key: found[key] for key in readings}


def read_through(reading: Reading[T]) -> T:
    """Run a reading to its end and return its result."""
    try:
        while True:
            next(reading)
    except StopIteration as end:
        result: T = end.value
        return result


def together(readings: Iterable[Reading[T]]) -> list[T]:
    """Return the results of several readings, in their order."""
    return list(read_through(abreast(dict(enumerate(readings)))).values())


_TICKET = "job TEXT NOT NULL, ticket TEXT NOT NULL, line TEXT NOT NULL, passage INTEGER NOT NULL, \
copy INTEGER NOT NULL"
_AT = "stint INTEGER NOT NULL, seq INTEGER NOT NULL"
_KEY = "PRIMARY KEY (stint, seq)"

TABLES = {
    "mark": "only INTEGER PRIMARY KEY CHECK (only = 1), version INTEGER NOT NULL",
    # From a sign-on to the hand-over; `last` is NULL until then.
    "shift": """shift INTEGER PRIMARY KEY, first INTEGER NOT NULL, last INTEGER,
        boot TEXT NOT NULL, clock REAL NOT NULL, wall REAL NOT NULL,
        end_boot TEXT, end_clock REAL, end_wall REAL""",
    # One operator at one job ("" for none); `began` and `ended` count from the shift's start.
    "stint": """stint INTEGER PRIMARY KEY, shift INTEGER NOT NULL, operator TEXT NOT NULL,
        job TEXT NOT NULL, press TEXT NOT NULL, first INTEGER NOT NULL, last INTEGER,
        began REAL NOT NULL, ended REAL""",
    # Events of one kind in a stint (0: outside any), the total seconds before each and how many of
    # these were idle; the last such event, the seconds since the shift's start at that event, and
    # the seal of all events of the stint up to it.
    "tally": """stint INTEGER NOT NULL, kind TEXT NOT NULL, many INTEGER NOT NULL,
        seconds REAL NOT NULL, idle REAL NOT NULL, last INTEGER NOT NULL, gone REAL NOT NULL,
        texts INTEGER NOT NULL, numbers INTEGER NOT NULL, PRIMARY KEY (stint, kind)""",
    # `begun` is the part of the start record that reports read, as JSON.
    "job": """job TEXT PRIMARY KEY, seq INTEGER NOT NULL, title TEXT NOT NULL,
        recipe TEXT NOT NULL, fabric TEXT NOT NULL, press TEXT NOT NULL, garments INTEGER NOT NULL,
        due TEXT NOT NULL, done INTEGER, begun TEXT NOT NULL""",
    # One row per ticket, as of its last event; what an earlier result found stays.
    "garment": f"""{_TICKET}, number TEXT NOT NULL, size TEXT NOT NULL, panel TEXT NOT NULL,
        stage TEXT NOT NULL, finals INTEGER NOT NULL, represses INTEGER NOT NULL, opened REAL,
        opened_seen TEXT NOT NULL, marks TEXT NOT NULL, replaced_by INTEGER NOT NULL,
        shift INTEGER NOT NULL, operator TEXT NOT NULL, ended REAL, ended_at INTEGER,
        defect TEXT NOT NULL, cause TEXT NOT NULL, piece TEXT NOT NULL, early REAL,
        told INTEGER NOT NULL, PRIMARY KEY (job, ticket)""",
    # `over` the set time (below 0: less heat); `rang` and `cooling` on the clock of `boot`.
    "closing": f"""{_AT}, {_TICKET}, press TEXT NOT NULL, step INTEGER NOT NULL,
        phase TEXT NOT NULL, closed_seen TEXT NOT NULL, opened_seen TEXT NOT NULL,
        set_seconds REAL, over REAL, asked INTEGER, shown INTEGER, wall REAL NOT NULL,
        boot TEXT NOT NULL, rang REAL, cooling REAL, told INTEGER NOT NULL, {_KEY}""",
    "peel": f"""{_AT}, {_TICKET}, waited REAL NOT NULL, before INTEGER NOT NULL, early REAL,
        {_KEY}""",
    # Hand time of one move, steps `first` to `step` - 1, from the preceding event to its tap.
    "hands": f"""{_AT}, {_TICKET}, first INTEGER NOT NULL, step INTEGER NOT NULL,
        seconds REAL NOT NULL, {_KEY}""",
    '"check"': """seq INTEGER PRIMARY KEY, stint INTEGER NOT NULL, press TEXT NOT NULL,
        temperature INTEGER NOT NULL, unit TEXT NOT NULL, "offset" REAL NOT NULL,
        spread REAL NOT NULL, offset_most REAL NOT NULL, spread_most REAL NOT NULL,
        passed INTEGER NOT NULL""",
    "ruling": f"""{_AT}, job TEXT NOT NULL, ticket TEXT NOT NULL, what TEXT NOT NULL,
        who TEXT NOT NULL, why TEXT NOT NULL, {_KEY}""",
    "setting": f"""{_AT}, job TEXT NOT NULL, press TEXT NOT NULL, shown INTEGER NOT NULL,
        asked INTEGER NOT NULL, fits INTEGER NOT NULL, {_KEY}""",
    "lot": f"""{_AT}, material TEXT NOT NULL, job TEXT NOT NULL, lot TEXT NOT NULL,
        PRIMARY KEY (stint, seq, material)""",
    # Events that a report reads individually; stint 0 outside any.
    "noted": f"{_AT}, kind TEXT NOT NULL, {_KEY}",
    # Deleted rows of closings, peels and garments; `was` is the row's event, 0 for a garment.
    "gone": """seq INTEGER NOT NULL, fact TEXT NOT NULL, job TEXT NOT NULL, ticket TEXT NOT NULL,
        was INTEGER NOT NULL, PRIMARY KEY (seq, fact, job, ticket)""",
    "jump": "seq INTEGER PRIMARY KEY, shift INTEGER NOT NULL, seconds REAL NOT NULL",
}
_INDEXES = {
    "garment_shift": "garment (shift)",
    "garment_told": "garment (told)",
    "closing_told": "closing (told)",
    "closing_ticket": "closing (job, ticket)",
    "stint_shift": "stint (shift)",
}


class Statement(NamedTuple):
    """A statement with its values, run in the transaction of the event that caused it."""

    sql: str
    values: tuple[object, ...] = ()


def insert(table: str, *values: object) -> Statement:
    """Return the statement that inserts one row into a table."""
    return Statement(f"INSERT INTO {table} VALUES ({', '.join('?' * len(values))})", values)


_PARTS, _PRIME, _MOST = 2.0**31, 2**31 - 1, 2.0**63  # parts of a second; keep the sum short
_SECONDS = "CAST({0} * 2147483648.0 AS INTEGER) % 2147483647"
SEALED = f"""SELECT group_concat(kind || boot || payload, ''),
    sum((version + sum) % 2147483647 + {_SECONDS.format("clock")} + {_SECONDS.format("wall")})
FROM events WHERE seq BETWEEN ? AND ?"""
"""The contents of a seal, computed by SQLite without Python touching each row."""


class Seal(NamedTuple):
    """A checksum over event rows: CRC-32 of their joined texts, and the sum of their numbers.

    Equal seals mean equal rows, with times to half a nanosecond.
    """

    texts: int = 0
    numbers: int = 0

    def also(self, row: codec.EventRow, total: int) -> "Seal":
        """Return the seal with one more row; `total` is that row's checksum."""
        numbers = (row.version + total) % _PRIME
        for seconds in (row.clock * _PARTS, row.wall * _PARTS):
            numbers += int(fmod(seconds, _PRIME)) if abs(seconds) < _MOST else 0
        text = (row.kind + row.boot + row.payload).encode("utf-8", "surrogateescape")
        return Seal(crc32(text, self.texts), self.numbers + numbers)

    def over(self, texts: bytes | None, numbers: int | None) -> "Seal":
        """Return the seal extended by rows whose texts and numbers SEALED returned."""
        return Seal(crc32(texts or b"", self.texts), self.numbers + (numbers or 0))


class FactMark(NamedTuple):
    """Position in the log: facts are derived up to event `seq`, within `shift` and `stint`.

    `stint` is 0 outside any; `gone` are the shift's seconds so far; `seal` covers the events of
    this stint.
    """

    seq: int = 0
    shift: int = 0
    stint: int = 0
    gone: float = 0.0
    seal: Seal = Seal()


def statements(schema: str) -> Iterator[Statement]:
    """Yield statements that create all tables empty, in main, or in temp for a read-only log."""
    for name, columns in TABLES.items():
        rowid = "" if "INTEGER PRIMARY KEY" in columns else ", WITHOUT ROWID"
        yield Statement(f"DROP TABLE IF EXISTS {schema}.{name}")
        yield Statement(f"CREATE TABLE {schema}.{name} ({columns}) STRICT{rowid}")
    for name, place in _INDEXES.items():
        yield Statement(f"CREATE INDEX {schema}.{name} ON {place}")
    yield Statement(f"INSERT INTO {schema}.mark VALUES (1, {VERSION})")


_NEW = "seq > :since"
_OF_STINT = "(stint >= :stint OR stint = 0) AND seq > :since"
_CHANGED = {
    "gone": _NEW,
    "shift": "first > :since OR last > :since",
    "stint": "stint >= :stint",
    "tally": "last > :since",
    "job": "seq > :since OR done > :since OR done IS NULL",  # a further batch changes its count
    "garment": "told > :since",
    "closing": "told > :since",
    **dict.fromkeys(("peel", "hands", "ruling", "setting", "lot", "noted"), _OF_STINT),
    **dict.fromkeys(('"check"', "jump"), _NEW),
    "mark": "true",
}
"""Which rows of each table may have changed since event `since`. A stint is numbered by its first
event; `stint` is the one in progress at `since`.
"""


SENT = {
    "tally": "stint, kind, many, seconds, idle, last, gone",
    "job": "job, seq, title, recipe, fabric, press, garments, due, done",
}
"""The columns sent to other readers than this machine's reports, for tables not sent whole."""


Rows = Generator[tuple[object, ...], None, None]


def changed(store: Store, since: int) -> Iterator[tuple[str, Rows]]:
    """Yield each table with the rows that events after `since` added or changed, `gone` first.

    The facts must be `ready`. Some of the rows may be unchanged. Close any generator not read to
    its end.
    """
    (stint,) = next(store.rows("SELECT coalesce(max(stint), 0) FROM stint WHERE stint <= ?", since))
    for table, template in _CHANGED.items():
        condition = template.replace(":since", str(since)).replace(":stint", str(stint))
        yield table, _rows(store, f"SELECT {SENT.get(table, '*')} FROM {table} WHERE {condition}")


def _rows(store: Store, query: str) -> Rows:
    yield from store.rows(query)


def key_of(store: Store, table: str) -> tuple[str, ...]:
    """Return the columns of a table's primary key."""
    rows = store.rows(
        "SELECT name FROM pragma_table_info(?) WHERE pk ORDER BY pk", table.strip('"')
    )
    return tuple(name for (name,) in rows)
