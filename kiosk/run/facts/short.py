"""Garments that lacked something for a pass when they were begun, and have it now."""

from collections import Counter

from kiosk.plan.time import own_passes, steps_without
from kiosk.run.facts.moves import without_final
from kiosk.run.facts.tickets import pass_of, pressing_order, ticket_id
from kiosk.run.state.event import replace
from kiosk.run.state.model import JobRun, Ticket, TicketStage


def incomplete_lines(job: JobRun) -> tuple[str, ...]:
    """Return the roster lines begun without one of the passes, or with nothing to press in it."""
    passes = Counter((t.garment.line, t.copy) for t in job.tickets.values())
    short = {garment for garment, count in passes.items() if count < len(job.plan.passes)}
    lines = (
        t.garment.line
        for t in job.tickets.values()
        if (t.garment.line, t.copy) in short or without_final(pass_of(job, t), t)
    )
    return tuple(dict.fromkeys(lines))


def ended_bare(job: JobRun, ticket: Ticket) -> bool:
    """Return whether a garment finished a pass in which nothing was pressed on it."""
    done = ticket.stage in (TicketStage.GOOD, TicketStage.ACCEPTED)
    return done and not ticket.finals and without_final(pass_of(job, ticket), ticket)


def missing_tickets(job: JobRun, line: str, lacks: tuple[str, ...]) -> tuple[Ticket, ...]:
    """Return tickets to add to a garment that was begun without them and now `lacks` only these.

    They belong to its newest copy; also returned are its tickets that ended with nothing pressed
    but now have something to press. Empty if the garment is pressed elsewhere or no longer made.
    """
    own = [t for t in job.tickets.values() if t.garment.line == line]
    copy = max((ticket.copy for ticket in own), default=1)
    own = [ticket for ticket in own if ticket.copy == copy]
    if line in job.elsewhere or all(t.stage in (TicketStage.VOID, TicketStage.SCRAP) for t in own):
        return ()
    needed = own_passes(job.plan, lacks) - {ticket.passage for ticket in own}
    found = (p for p in pressing_order(job.plan) if p in needed)
    bare = (t for t in own if ended_bare(job, t) and _laid_now(job, t, lacks))
    return (*bare, *(Ticket(ticket_id(line, p, copy), own[0].garment, p, copy) for p in found))


def _laid_now(job: JobRun, ticket: Ticket, lacks: tuple[str, ...]) -> bool:
    passage = pass_of(job, ticket)
    return not without_final(passage, replace(ticket, without=steps_without(passage, lacks)))
