"""Which garment of how many: counted without walking through the job."""

from __future__ import annotations

from kiosk.run.model import JobRun, Ticket


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
