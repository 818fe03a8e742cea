"""Rows of tickets, fresh to a log's last event, and the cycles that they tell of."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from functools import partial
from itertools import pairwise

from kiosk.log.facts.shifts import begun, shifts
from kiosk.log.record import TicketRow, no_row, recover, recovery, stored_row
from kiosk.log.store.store import Store
from kiosk.plan.model import Plan
from kiosk.plan.time import procedure

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
    stored = no_row if whole else partial(stored_row, store)
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


def ticket_rows(store: Store) -> tuple[TicketRow, ...]:
    """Return the rows of all tickets as of the last event, by job and ticket.

    Raises Damaged, Newer or CannotRecord.
    """
    found = recover(store)
    rows = {} if found.since == 0 else {(r.job, r.ticket): r for r in recovery.stored_rows(store)}
    for key in found.tail.gone(found.state):
        rows.pop(key, None)
    for row in list(found.tail.rows(found.state, rows.get)):
        rows[row.job, row.ticket] = row
    return tuple(rows[key] for key in sorted(rows))


def rows_of_jobs(store: Store, jobs: Iterable[str]) -> Iterator[TicketRow]:
    """Yield the rows of the tickets of some jobs as of the last event, by job and ticket.

    Call it within `store.reading()`. Raises Damaged, Newer or CannotRecord.
    """
    query = f"SELECT * FROM {fresh_tickets(store)} WHERE job = ? ORDER BY ticket"
    for job in jobs:
        for columns in store.rows(query, job):
            yield TicketRow.of_columns(*columns)


LONGEST_SECONDS = 1200.0
"""A longer time from tone to tone is a break, not a cycle."""
SHIFTS_BACK = 30
"""Older shifts tell less of today's hands, and a log grows for years."""


def cycles(store: Store) -> Mapping[str, tuple[float, ...]]:
    """Return the seconds of past cycles by procedure (`kiosk.plan.past.procedure`).

    A cycle is the time from the last tone of one garment to that of the next in the same run
    of a job and the same shift; those of the last SHIFTS_BACK shifts. Raises Damaged, Newer
    or CannotRecord.
    """
    with store.reading():
        rows = tuple(_rows(store))
        plans = {job: of_job.plan for job in _jobs(rows) if (of_job := begun(store, job))}
    lots: dict[tuple[str, int, int], list[float]] = defaultdict(list)
    for row in rows:
        plan = plans.get(row.job)
        run = None if plan is None else _run_ending_with(plan, row.passage)
        if run is not None and row.opened is not None and not row.represses:
            lots[row.job, run, row.shift].append(row.opened)
    found: dict[str, list[float]] = defaultdict(list)
    for (job, run, _), tones in lots.items():
        took = [b - a for a, b in pairwise(sorted(tones)) if 0 < b - a <= LONGEST_SECONDS]
        found[procedure(plans[job], run)] += took
    return {key: tuple(seconds) for key, seconds in found.items()}


def _rows(store: Store) -> Iterator[TicketRow]:
    """A ticket that has a tone and no result yet belongs to no shift so far."""
    since = len(shifts(store)) - SHIFTS_BACK
    query = f"SELECT * FROM {fresh_tickets(store)} WHERE shift > ?"
    for columns in store.rows(query, max(0, since)):
        yield TicketRow.of_columns(*columns)


def _jobs(rows: tuple[TicketRow, ...]) -> Iterator[str]:
    yield from dict.fromkeys(row.job for row in rows)


def _run_ending_with(plan: Plan, passage: int) -> int | None:
    """Where a run has several passes, a garment is through it with the last one's tone."""
    return next((n for n, run in enumerate(plan.runs) if run and run[-1] == passage), None)
