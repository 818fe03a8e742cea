"""A log's schema as named steps, each applied once; its first and last digest."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Callable, Mapping
from hashlib import sha256
from typing import NamedTuple, Self

from kiosk.log.store import codec
from kiosk.log.store.codec import EventRow

SHORTEST = 8
"""Minimum number of hexadecimal digits in a written digest: fewer could match by chance."""
_GROUPS = 4  # of four digits each: what a person writes down, 64 bits
_WRITTEN = re.compile(rf"(\d{{1,18}}):([0-9a-f]{{{SHORTEST},64}})")


class NoHead(ValueError):
    """A text that does not name an event and its digest."""


class LogHead(NamedTuple):
    """An event's number and its digest, which covers the log up to that event.

    A head that was written down may have only the beginning of the digest.
    """

    seq: int
    digest: bytes

    @property
    def full(self) -> str:
        """The number and the whole digest, `1234:9f3a…`, for programs."""
        return f"{self.seq}:{self.digest.hex()}"

    @property
    def short(self) -> str:
        """The number and the digest's beginning in groups, for people."""
        text = self.digest.hex()
        return f"{self.seq}:" + "-".join(text[n * 4 : n * 4 + 4] for n in range(_GROUPS))

    @classmethod
    def read(cls, text: str) -> Self:
        """Return the head in `text`, ignoring spaces and dashes. Raises NoHead."""
        found = _WRITTEN.fullmatch(re.sub(r"[\s-]", "", text.lower()) if text[:1] != "-" else "")
        if found is None:
            raise NoHead(text)
        digits = found[2]
        return cls(int(found[1]), bytes.fromhex(digits[: len(digits) // 2 * 2]))

    def is_as(self, written: LogHead) -> bool:
        """Whether a written-down head, shortened or not, matches this one."""
        return self.seq == written.seq and self.digest.startswith(written.digest)


def root(station: str) -> bytes:
    """Return the digest that precedes the first event's: that of the log's id."""
    return sha256(station.encode()).digest()


APPLICATION = 0x50726573  # "Pres": distinguishes a log from any other SQLite file

_EVENTS = """
CREATE TABLE events (
    seq INTEGER PRIMARY KEY, kind TEXT NOT NULL, version INTEGER NOT NULL,
    boot TEXT NOT NULL, clock REAL NOT NULL, wall REAL NOT NULL,
    payload TEXT NOT NULL, sum INTEGER NOT NULL
) STRICT;
CREATE TRIGGER events_are_never_changed BEFORE UPDATE ON events
    BEGIN SELECT RAISE(ABORT, 'the log is only ever added to'); END;
CREATE TRIGGER events_are_never_deleted BEFORE DELETE ON events
    BEGIN SELECT RAISE(ABORT, 'the log is only ever added to'); END;
CREATE TRIGGER events_come_in_order BEFORE INSERT ON events
    WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM events)
    BEGIN SELECT RAISE(ABORT, 'the next event has the next number'); END;
CREATE INDEX turns ON events (seq)
    WHERE kind IN ('station-started', 'signed-on', 'handed-over', 'job-started');
"""

# Both can be rebuilt from the events at any time. `checkpoint` has at most one row: the state after
# event `seq` as made by the program `code`; `tickets` is as of that same event.
_CHECKPOINT = """
CREATE TABLE checkpoint (
    only INTEGER PRIMARY KEY CHECK (only = 1), seq INTEGER NOT NULL, code TEXT NOT NULL,
    state TEXT NOT NULL, sum TEXT NOT NULL
) STRICT;
CREATE TABLE tickets (
    job TEXT NOT NULL, ticket TEXT NOT NULL, line TEXT NOT NULL, number TEXT NOT NULL,
    size TEXT NOT NULL, panel TEXT NOT NULL, passage INTEGER NOT NULL, copy INTEGER NOT NULL,
    stage TEXT NOT NULL, finals INTEGER NOT NULL, represses INTEGER NOT NULL,
    opened REAL, opened_seen TEXT NOT NULL, marks TEXT NOT NULL,
    shift INTEGER NOT NULL, operator TEXT NOT NULL, ended REAL,
    defect TEXT NOT NULL, cause TEXT NOT NULL, piece TEXT NOT NULL, early REAL,
    PRIMARY KEY (job, ticket)
) STRICT, WITHOUT ROWID;
"""


class Checkpoint(NamedTuple):
    """The state after event `seq` as JSON, made by the program `code`; `sum` covers all three."""

    seq: int
    code: str
    state: str
    sum: str


# Events saved from a damaged log that came after an unreadable part.
_SALVAGED = """
CREATE TABLE salvaged (seq INTEGER PRIMARY KEY, was INTEGER NOT NULL) STRICT;
"""

# With these a report finds its part of a log of any length. A start record begins with its job.
_REPORTS = """
CREATE INDEX job_starts ON events (substr(payload, 1, 300)) WHERE kind = 'job-started';
CREATE INDEX checks ON events (seq) WHERE kind = 'press-verified';
CREATE INDEX ticket_shifts ON tickets (shift);
"""

# The id of the station's log: random, made once. The chain of events begins with it.
_IDENTITY = """
CREATE TABLE identity (only INTEGER PRIMARY KEY CHECK (only = 1), station TEXT NOT NULL) STRICT;
INSERT INTO identity VALUES (1, 'station-' || lower(hex(randomblob(16))));
"""

# In a copy of a log without an id: no random one may pass for the log's own.
_NO_IDENTITY = f"{_IDENTITY.partition('INSERT')[0]} INSERT INTO identity VALUES (1, '');"

_NEVER_CHANGED = """
CREATE TRIGGER events_are_never_changed BEFORE UPDATE ON events
    BEGIN SELECT RAISE(ABORT, 'the log is only ever added to'); END
"""

_UNCHAINED = """
SELECT seq, kind, version, boot, clock, wall, payload FROM events WHERE seq > ?
ORDER BY seq LIMIT ?
"""

_BATCH = 10_000  # events chained at a time: years of events must not be held in memory


def _chain(connection: sqlite3.Connection) -> None:
    """Add a digest to each event; an older program's events are chained as they are."""
    connection.execute("ALTER TABLE events ADD COLUMN digest BLOB NOT NULL DEFAULT x''")
    connection.execute("DROP TRIGGER events_are_never_changed")
    (station,) = connection.execute("SELECT station FROM identity").fetchone()
    digest, last = root(station), 0
    while found := connection.execute(_UNCHAINED, (last, _BATCH)).fetchall():
        links = []
        for last, *row in found:  # `last` carries over to the next batch
            digest = codec.link(digest, last, EventRow(*row))
            links.append((digest, last))
        connection.executemany("UPDATE events SET digest = ? WHERE seq = ?", links)
    connection.execute(_NEVER_CHANGED)


# Reports now read facts (`log/facts/tables.py`) and no longer use these.
_FACTS = """
DROP TABLE tickets; DROP INDEX turns; DROP INDEX job_starts; DROP INDEX checks;
"""

Step = str | Callable[[sqlite3.Connection], None]
MIGRATIONS: Mapping[str, Step] = {
    "events": f"PRAGMA application_id = {APPLICATION}; {_EVENTS}",
    "checkpoint and tickets": _CHECKPOINT,
    "salvaged": _SALVAGED,
    "indexes for reports": _REPORTS,
    "identity": _IDENTITY,
    "chain": _chain,
    "facts": _FACTS,
}

FOR_A_COPY: Mapping[str, Step] = {**MIGRATIONS, "identity": _NO_IDENTITY}
"""The steps for a copy that is only read."""

_DONE = "CREATE TABLE IF NOT EXISTS migrations (name TEXT PRIMARY KEY, nth INTEGER) STRICT"


def applied(connection: sqlite3.Connection) -> frozenset[str]:
    """Return the names of the steps already applied to this file."""
    if not connection.execute(
        "SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = 'migrations'"
    ).fetchone():
        return frozenset()
    return frozenset(name for (name,) in connection.execute("SELECT name FROM migrations"))


def migrate(connection: sqlite3.Connection, steps: Mapping[str, Step] = MIGRATIONS) -> None:
    """Apply the steps that this file does not have yet, in order."""
    applied_steps = applied(connection)
    for name, step in steps.items():
        if name not in applied_steps:
            _apply_step(connection, name, step)


def _apply_step(connection: sqlite3.Connection, name: str, step: Step) -> None:
    try:
        # One script, because each executescript commits first.
        script = step if isinstance(step, str) else ""
        connection.executescript(f"BEGIN IMMEDIATE; {_DONE}; {script}")
        if not isinstance(step, str):
            step(connection)
        connection.execute("INSERT INTO migrations SELECT ?, count(*) + 1 FROM migrations", [name])
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.rollback()
        raise
