"""Which garment of how many, counted without walking through the job; and how they ended."""

from __future__ import annotations

from bisect import bisect_left, bisect_right

from kiosk.run.model import ENDED, JobRun, Stage, Ticket
from kiosk.run.tickets import run_of

_WORST_FIRST = (Stage.SCRAP, Stage.ACCEPTED, Stage.GOOD, Stage.VOID)


def progress(job: JobRun, ticket: Ticket | None) -> tuple[int, int]:
    """Return the garment's place in its run, from 1, and how many garments the job has.

    A garment made again after a scrap counts as one more. Places count what of the run waits no
    more, so a ticket set aside comes back with a later one, and one that a scrap ended counts
    in the run that it was for, not in the one in which its garment was spoilt.
    """
    plan = job.plan
    count = len(job.tickets) // max(1, len(plan.passes))
    run = run_of(plan, 0 if ticket is None else ticket.passage)
    together = max(1, len(plan.runs[run])) if plan.runs else 1
    called = together * count - _waiting(job, run)
    return min(max(-(-called // together), 1), max(count, 1)), count


def _waiting(job: JobRun, run: int) -> int:
    """How many tickets of a run are in the queue, which holds them run by run."""
    if len(job.plan.runs) <= 1:
        return len(job.queue)

    def of(name: str) -> int:
        return run_of(job.plan, job.tickets[name].passage)

    return bisect_right(job.queue, run, key=of) - bisect_left(job.queue, run, key=of)


def ends(job: JobRun) -> tuple[Stage | None, ...]:
    """Return how each garment ended over all its passes, None while one of them is open.

    A scrapped garment and the one made in its place are two.
    """
    passes: dict[tuple[str, int], set[Stage]] = {}
    for ticket in job.tickets.values():
        passes.setdefault((ticket.garment.line, ticket.copy), set()).add(ticket.stage)
    return tuple(_end(stages) for stages in passes.values())


def _end(stages: set[Stage]) -> Stage | None:
    if not stages <= ENDED:
        return None
    return next(stage for stage in _WORST_FIRST if stage in stages)
