"""The shop's own cycles: how long garments took, by procedure, from the rows of tickets."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from itertools import pairwise

from kiosk.log.fresh_tickets import fresh_tickets
from kiosk.log.shift_read import begun, shifts
from kiosk.log.store import Store
from kiosk.log.tickets import TicketRow
from kiosk.plan.model import Plan
from kiosk.plan.past import procedure

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
