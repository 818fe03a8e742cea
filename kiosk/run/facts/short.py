"""Garments that were begun without a pass, for they had nothing for it, and have something now."""

from kiosk.plan.time import own_passes
from kiosk.run.facts.tickets import pressing_order, ticket_id
from kiosk.run.state.model import JobRun, Stage, Ticket


def short_of(job: JobRun) -> tuple[str, ...]:
    """Return the roster lines that were begun without one of the passes."""
    lacks = {t.garment.lacks for t in job.tickets.values()}
    short = {each for each in lacks if len(own_passes(job.plan, each)) < len(job.plan.passes)}
    lines = (t.garment.line for t in job.tickets.values() if t.garment.lacks in short)
    return tuple(dict.fromkeys(lines))


def left_out(job: JobRun, line: str, lacks: tuple[str, ...]) -> tuple[Ticket, ...]:
    """Return the tickets that a garment was begun without, now that it only `lacks` these.

    They are of its newest copy. One that is not made here, or not at all, needs none.
    """
    own = [t for t in job.tickets.values() if t.garment.line == line and t.garment.lacks]
    copy = max((ticket.copy for ticket in own), default=1)
    own = [ticket for ticket in own if ticket.copy == copy]
    if line in job.elsewhere or all(t.stage in (Stage.VOID, Stage.SCRAP) for t in own):
        return ()
    needed = own_passes(job.plan, lacks) - {ticket.passage for ticket in own}
    found = (p for p in pressing_order(job.plan) if p in needed)
    return tuple(Ticket(ticket_id(line, p, copy), own[0].garment, p, copy) for p in found)
