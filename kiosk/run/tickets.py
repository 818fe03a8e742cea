"""Which tickets a job has, in which order they are loaded, and where each one is."""

from __future__ import annotations

from dataclasses import replace

from kiosk.plan.model import HOT_PHASES, Pass, Phase, Plan, Step
from kiosk.run.model import Garment, JobRun, Stage, Ticket
from kiosk.run.moves import first_hand

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


def is_ready(job: JobRun, ticket: Ticket) -> bool:
    """Return whether a garment may go into this pass: all its earlier passes are done."""
    for other in same_garment(job, ticket):
        if other.id == ticket.id:
            return True
        if other.stage not in PASSED:
            return False
    return True


def next_ready(job: JobRun, besides: str = "") -> str:
    """Return the first ticket of the queue that can be loaded now, "" for none."""
    for name in job.queue:
        if name != besides and is_ready(job, job.tickets[name]):
            return name
    return ""


def is_over(job: JobRun) -> bool:
    """Return whether every ticket has its end."""
    return not (job.queue or job.slot or job.rack or job.aside)


def slot_ticket(job: JobRun | None) -> Ticket | None:
    """Return the ticket that has the press."""
    return None if job is None else job.tickets.get(job.slot)


def unloaded(job: JobRun, ticket: Ticket) -> Ticket:
    """Return the ticket off the press again: its hands begin anew after the last heat."""
    step = first_hand(pass_of(job, ticket), ticket.step)
    return replace(ticket, stage=Stage.WAITING, step=step)


def put(job: JobRun, ticket: Ticket, at_end: bool = False) -> JobRun:
    """Return the job with `ticket` as it is now, moved to the place that its stage says.

    WAITING joins the queue at its front, or `at_end` of its run; UNKNOWN keeps the slot where
    it has it. A ticket that had the slot makes room for one that comes AT_PRESS.
    """
    old = job.tickets.get(ticket.id)
    tickets = {**job.tickets, ticket.id: ticket}
    keeps = ticket.id == job.slot and ticket.stage in AT_SLOT
    if keeps or (old is not None and old.stage is ticket.stage and ticket.id != job.slot):
        return replace(job, tickets=tickets)
    return _arrive(replace(_leave(job, ticket.id), tickets=tickets), ticket, at_end)


def lay_aside(job: JobRun, ticket: Ticket) -> JobRun:
    """Return the job with an UNKNOWN ticket taken out of the slot to wait for a person."""
    job = _leave(job, ticket.id)
    return replace(job, tickets={**job.tickets, ticket.id: ticket}, aside=(*job.aside, ticket.id))


def drop(job: JobRun, name: str) -> JobRun:
    """Return the job without a ticket that should never have been opened."""
    job = _leave(job, name)
    return replace(job, tickets={k: t for k, t in job.tickets.items() if k != name})


def _leave(job: JobRun, name: str) -> JobRun:
    if name == job.slot:
        return replace(job, slot="", questions=())
    old = job.tickets.get(name)
    if old is None:
        return job
    if old.stage is Stage.WAITING:
        return replace(job, queue=_without(job.queue, name))
    if old.stage is Stage.COOLING:
        leaving = "" if job.leaving == name else job.leaving
        return replace(job, rack=_without(job.rack, name), leaving=leaving)
    return replace(job, aside=_without(job.aside, name)) if old.stage in ASIDE else job


def _arrive(job: JobRun, ticket: Ticket, at_end: bool) -> JobRun:
    if ticket.stage is Stage.WAITING:
        queue = _at_end(job, ticket) if at_end else (ticket.id, *job.queue)
        return replace(job, queue=queue)
    if ticket.stage is Stage.AT_PRESS:
        return replace(_make_room(job), slot=ticket.id, questions=())
    if ticket.stage is Stage.COOLING:
        return replace(job, rack=(*job.rack, ticket.id))
    return replace(job, aside=(*job.aside, ticket.id)) if ticket.stage in ASIDE else job


def _make_room(job: JobRun) -> JobRun:
    there = slot_ticket(job)
    if there is None:
        return job
    if there.stage is Stage.UNKNOWN:
        return lay_aside(job, there)
    return put(job, unloaded(job, there))


def _at_end(job: JobRun, ticket: Ticket) -> tuple[str, ...]:
    """Return the queue with a ticket behind the last one of its run or of an earlier one."""
    run = run_of(job.plan, ticket.passage)
    place = len(job.queue)
    while place and run_of(job.plan, job.tickets[job.queue[place - 1]].passage) > run:
        place -= 1
    return (*job.queue[:place], ticket.id, *job.queue[place:])


def _without(names: tuple[str, ...], name: str) -> tuple[str, ...]:
    if names and names[0] == name:
        return names[1:]
    return tuple(n for n in names if n != name)
