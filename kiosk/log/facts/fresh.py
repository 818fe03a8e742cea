"""The rows of tickets as of the last event, for SQL: the stored ones where these are fresh."""

from __future__ import annotations

from kiosk.log.record.recovery import recover
from kiosk.log.record.tickets import TicketRow
from kiosk.log.store.store import Store

STORED = "main.tickets"
_FRESH = "fresh_tickets"
_MAKE = (
    "CREATE TEMP TABLE fresh AS SELECT * FROM main.tickets LIMIT 0",
    "CREATE TEMP TABLE gone (job TEXT, ticket TEXT, PRIMARY KEY (job, ticket)) WITHOUT ROWID",
    f"""CREATE TEMP VIEW {_FRESH} AS SELECT * FROM main.tickets AS t WHERE NOT EXISTS (
        SELECT 1 FROM temp.gone AS g WHERE g.job = t.job AND g.ticket = t.ticket)
        UNION ALL SELECT * FROM temp.fresh""",
)
_MADE = f"SELECT 1 FROM sqlite_temp_schema WHERE name = '{_FRESH}'"


def fresh_tickets(store: Store) -> str:
    """Return the table to read tickets from. Raises Damaged, Newer or CannotRecord.

    After a hand-over it is the stored one; within a shift what happened since the last
    checkpoint is laid over it. Call it within `store.reading()`: it is gone afterwards.
    """
    if _stored_until(store) >= store.last:
        return STORED
    if next(store.rows(_MADE), None) is not None:  # earlier in the same reading
        return f"temp.{_FRESH}"
    found = recover(store)
    whole = found.since == 0
    for statement in _MAKE:
        next(store.rows(statement), None)
    if whole:  # no checkpoint holds good: nothing that is stored does
        next(store.rows("INSERT INTO temp.gone SELECT job, ticket FROM main.tickets"), None)
    for job, ticket in found.tail.gone(found.state):
        _gone(store, job, ticket)
    stored = _unknown if whole else lambda key: _row(store, key)
    for row in list(found.tail.rows(found.state, stored)):
        columns = row.columns()
        _gone(store, row.job, row.ticket)
        marks = ", ".join("?" * len(columns))
        next(store.rows(f"INSERT INTO temp.fresh VALUES ({marks})", *columns), None)
    return f"temp.{_FRESH}"


def _gone(store: Store, job: str, ticket: str) -> None:
    next(store.rows("INSERT OR IGNORE INTO temp.gone VALUES (?, ?)", job, ticket), None)


def _stored_until(store: Store) -> int:
    row = next(store.rows("SELECT seq FROM checkpoint"), None)
    return 0 if row is None else int(row[0])


def _unknown(_: tuple[str, str]) -> None:
    return None


def _row(store: Store, key: tuple[str, str]) -> TicketRow | None:
    found = next(store.rows("SELECT * FROM main.tickets WHERE job = ? AND ticket = ?", *key), None)
    return None if found is None else TicketRow.of_columns(*found)
