"""Which tickets a job has, and in which order they are loaded."""

from __future__ import annotations

from kiosk.plan.model import HOT_PHASES, Pass, Phase, Plan, Step
from kiosk.run.model import Garment, JobRun, Stage, Ticket

ASIDE = frozenset({Stage.UNKNOWN, Stage.REWORK, Stage.STOPPED})
"""Stages of tickets that wait for a person, outside of queue, slot and rack."""

AT_SLOT = frozenset({Stage.AT_PRESS, Stage.UNKNOWN})
"""Stages that a ticket with the press slot can have."""

PASSED = frozenset({Stage.GOOD, Stage.ACCEPTED, Stage.VOID})
"""Stages after which the same garment may go into its next pass."""


def ticket_id(line: str, passage: int, copy: int) -> str:
    """Return the id of roster line `line` in pass `passage` (from 0), `copy` from 1."""
    return f"{line}/{passage + 1}/{copy}"


def pressing_order(plan: Plan) -> tuple[int, ...]:
    """Return the pass indices in the order in which one garment goes through them."""
    return tuple(p for run in plan.runs for p in run if 0 <= p < len(plan.passes))


def run_of(plan: Plan, passage: int) -> int:
    """Return which run (from 0) a pass belongs to."""
    return next((n for n, run in enumerate(plan.runs) if passage in run), 0)


def first_tickets(plan: Plan, garments: tuple[Garment, ...]) -> dict[str, Ticket]:
    """Return all tickets of a job by id, in loading order: run by run, garment by garment."""
    return {
        ticket.id: ticket
        for run in plan.runs
        for garment in garments
        for p in run
        if 0 <= p < len(plan.passes)
        for ticket in (Ticket(ticket_id(garment.line, p, 1), garment, p),)
    }


def pass_of(job: JobRun, ticket: Ticket) -> Pass:
    """Return the pass that a ticket goes through."""
    return job.plan.passes[ticket.passage]


def step_at(job: JobRun, ticket: Ticket, step: int) -> Step | None:
    """Return step `step` of a ticket's pass, None where there is none."""
    steps = pass_of(job, ticket).steps
    return steps[step] if 0 <= step < len(steps) else None


def is_hot(step: Step | None, phase: Phase | None = None) -> bool:
    """Return whether a step is a closing (of `phase`, where that is given)."""
    return step is not None and step.phase in HOT_PHASES and phase in (None, step.phase)


def same_garment(job: JobRun, ticket: Ticket, copy: int | None = None) -> tuple[Ticket, ...]:
    """Return a garment's tickets in pressing order, those of another `copy` where given."""
    ids = (ticket_id(ticket.garment.line, p, copy or ticket.copy) for p in pressing_order(job.plan))
    return tuple(job.tickets[i] for i in ids if i in job.tickets)


def is_last_copy(job: JobRun, ticket: Ticket) -> bool:
    """Return whether a garment was not begun anew since."""
    return ticket_id(ticket.garment.line, ticket.passage, ticket.copy + 1) not in job.tickets


def is_ready(job: JobRun, ticket: Ticket, passed: str = "") -> bool:
    """Return whether a garment may go into this pass: all its earlier passes are done.

    The ticket `passed` counts as done.
    """
    for other in same_garment(job, ticket):
        if other.id == ticket.id:
            return True
        if other.stage not in PASSED and other.id != passed:
            return False
    return True


def next_ready(job: JobRun, besides: str = "", passed: str = "") -> str:
    """Return the first ticket of the queue that can be loaded now, "" for none.

    The ticket `passed` counts as done.
    """
    for name in job.queue:
        if name != besides and is_ready(job, job.tickets[name], passed):
            return name
    return ""


def is_over(job: JobRun) -> bool:
    """Return whether every ticket has its end."""
    return not (job.queue or job.slot or job.rack or job.aside)


def slot_ticket(job: JobRun | None) -> Ticket | None:
    """Return the ticket that has the press."""
    return None if job is None else job.tickets.get(job.slot)
