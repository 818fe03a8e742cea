"""Which garment of how many, counted without walking through the job; and how they ended."""

from __future__ import annotations

from kiosk.run.model import ENDED, JobRun, Stage, Ticket

_WORST_FIRST = (Stage.SCRAP, Stage.ACCEPTED, Stage.GOOD, Stage.VOID)


def progress(job: JobRun, ticket: Ticket | None) -> tuple[int, int]:
    """Return the garment's place in its run, from 1, and how many garments the job has.

    A garment made again after a scrap counts as one more. Places count what has been called,
    so a ticket set aside comes back with a later one.
    """
    plan = job.plan
    count = len(job.tickets) // max(1, len(plan.passes))
    called = len(job.tickets) - len(job.queue)
    before, together = 0, 1
    for run in plan.runs:
        together = max(1, len(run))
        if ticket is None or ticket.passage in run:
            break
        before += together * count
    nth = -(-(called - before) // together)
    return min(max(nth, 1), max(count, 1)), count


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
