"""The shop's own cycles: how long garments took, by procedure, from the rows of tickets."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from itertools import pairwise

from kiosk.log.rows import ticket_rows
from kiosk.log.store import Store
from kiosk.plan.model import Plan
from kiosk.plan.past import procedure
from kiosk.run.events import JobStarted

LONGEST_SECONDS = 1200.0
"""A longer time from tone to tone is a break, not a cycle."""

# Word for word the condition of the index `turns`, so that SQLite uses it.
_STARTED = """
SELECT seq FROM events
WHERE kind IN ('station-started', 'signed-on', 'handed-over', 'job-started')
AND kind = 'job-started' ORDER BY seq
"""


def cycles(store: Store) -> Mapping[str, tuple[float, ...]]:
    """Return the seconds of all past cycles by procedure (`kiosk.plan.past.procedure`).

    A cycle is the time from the last tone of one garment to that of the next in the same run
    of a job and the same shift. Raises Damaged, Newer or CannotRecord.
    """
    plans = _plans(store)
    lots: dict[tuple[str, int, int], list[float]] = defaultdict(list)
    for row in ticket_rows(store):
        plan = plans.get(row.job)
        run = None if plan is None else _run_ending_with(plan, row.passage)
        if run is not None and row.opened is not None and not row.represses:
            lots[row.job, run, row.shift].append(row.opened)
    found: dict[str, list[float]] = defaultdict(list)
    for (job, run, _), tones in lots.items():
        took = [b - a for a, b in pairwise(sorted(tones)) if 0 < b - a <= LONGEST_SECONDS]
        found[procedure(plans[job], run)] += took
    return {key: tuple(seconds) for key, seconds in found.items()}


def _run_ending_with(plan: Plan, passage: int) -> int | None:
    """Where a run has several passes, a garment is through it with the last one's tone."""
    return next((n for n, run in enumerate(plan.runs) if run and run[-1] == passage), None)


def _plans(store: Store) -> dict[str, Plan]:
    found: dict[str, Plan] = {}
    for (seq,) in list(store.rows(_STARTED)):
        _, event = next(store.events(seq, seq))
        if isinstance(event, JobStarted):
            found.setdefault(event.job, event.plan)
    return found
