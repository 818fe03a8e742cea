"""What reports read of a log, fresh to its last event: shifts, rows of tickets."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from itertools import pairwise

from kiosk.log.facts.fresh import fresh_tickets
from kiosk.log.facts.read import begun, shifts
from kiosk.log.facts.shift import Shift
from kiosk.log.record import checkpoints
from kiosk.log.record.recovery import recover
from kiosk.log.record.tickets import TicketRow
from kiosk.log.store.store import Store
from kiosk.plan.model import Plan
from kiosk.plan.time import procedure

__all__ = ["Shift", "last_shift", "rows_of_jobs", "salvaged", "shifts", "ticket_rows"]


def last_shift(store: Store) -> Shift | None:
    """Return the shift that goes on or ended last, None where nobody ever signed on."""
    found = shifts(store)
    return found[-1] if found else None


def ticket_rows(store: Store) -> tuple[TicketRow, ...]:
    """Return the rows of all tickets as of the last event, by job and ticket.

    Raises Damaged, Newer or CannotRecord.
    """
    found = recover(store)
    rows = (
        {} if found.since == 0 else {(r.job, r.ticket): r for r in checkpoints.stored_rows(store)}
    )
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


def salvaged(store: Store) -> dict[int, int]:
    """Return the numbers of events from behind a gap of a damaged log, and those they had there."""
    return dict(store.rows("SELECT seq, was FROM salvaged"))


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
