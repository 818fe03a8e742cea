"""A scrapped garment: its other passes end, and the same line begins anew."""

from __future__ import annotations

from kiosk.run.anew import replace
from kiosk.run.model import ENDED, JobRun, Stage, Ticket
from kiosk.run.places import put
from kiosk.run.tickets import same_garment, ticket_id


def scrapped(job: JobRun, ticket: Ticket) -> tuple[JobRun, tuple[Ticket, ...], tuple[str, ...]]:
    """Return the job, the garment's tickets that this ends, and the ids of its new copy's."""
    voided = tuple(
        t for t in same_garment(job, ticket) if t.id != ticket.id and t.stage not in ENDED
    )
    every = same_garment(job, ticket)
    job = put(job, ticket)
    for other in voided:
        job = put(job, replace(other, stage=Stage.VOID))
    opened = []
    for old in every:
        name = ticket_id(old.garment.line, old.passage, old.copy + 1)
        if name not in job.tickets:
            job = put(job, Ticket(name, old.garment, old.passage, old.copy + 1), at_end=True)
            opened.append(name)
    return job, voided, tuple(opened)
