"""Moves tickets by their stage (queue, press, rack, aside); restarts scrapped garments."""

from kiosk.run.facts.moves import first_hand
from kiosk.run.facts.represses import repress_step
from kiosk.run.facts.tickets import (
    ASIDE,
    AT_SLOT,
    new_ticket,
    pass_of,
    run_of,
    same_garment,
    slot_ticket,
    ticket_id,
)
from kiosk.run.state import ENDED, JobRun, State, Ticket, TicketStage, replace


def unloaded(job: JobRun, ticket: Ticket) -> Ticket:
    """Return the ticket off the press again; its hand steps restart after the last heat.

    A re-press restarts at its cover sheet or final: pieces already pressed are not laid again.
    """
    repress = 0 < ticket.finals <= ticket.represses
    first = first_hand(pass_of(job, ticket), ticket.step, ticket.without)
    step = repress_step(job, ticket) if repress else first
    return replace(ticket, stage=TicketStage.WAITING, step=step)


def put(job: JobRun, ticket: Ticket, at_end: bool = False) -> JobRun:
    """Return the job with the updated `ticket`, moved to the place for its stage.

    WAITING joins the front of the queue, or the end of its run if `at_end`; UNKNOWN keeps the slot
    if it has it. A ticket in the slot gives way to one that arrives AT_PRESS.
    """
    old = job.tickets.get(ticket.id)
    tickets = {**job.tickets, ticket.id: ticket}
    keeps = ticket.id == job.slot and ticket.stage in AT_SLOT
    if keeps or (old is not None and old.stage is ticket.stage and ticket.id != job.slot):
        return replace(job, tickets=tickets)
    return _arrive(replace(_leave(job, ticket.id), tickets=tickets), ticket, at_end)


def lay_aside(job: JobRun, ticket: Ticket) -> JobRun:
    """Return the job with an UNKNOWN ticket moved from the slot to aside."""
    job = _leave(job, ticket.id)
    return replace(job, tickets={**job.tickets, ticket.id: ticket}, aside=(*job.aside, ticket.id))


def drop(job: JobRun, name: str) -> JobRun:
    """Return the job without a ticket that should not have been opened."""
    job = _leave(job, name)
    return replace(job, tickets={k: t for k, t in job.tickets.items() if k != name})


def _leave(job: JobRun, name: str) -> JobRun:
    if name == job.slot:
        return replace(job, slot="", questions=())
    old = job.tickets.get(name)
    if old is None:
        return job
    if old.stage is TicketStage.WAITING:
        return replace(job, queue=_without(job.queue, name))
    if old.stage is TicketStage.COOLING:
        leaving = "" if job.leaving == name else job.leaving
        return replace(job, rack=_without(job.rack, name), leaving=leaving)
    return replace(job, aside=_without(job.aside, name)) if old.stage in ASIDE else job


def _arrive(job: JobRun, ticket: Ticket, at_end: bool) -> JobRun:
    if ticket.stage is TicketStage.WAITING:
        queue = _at_end(job, ticket) if at_end else (ticket.id, *job.queue)
        return replace(job, queue=queue)
    if ticket.stage is TicketStage.AT_PRESS:
        return replace(_make_room(job), slot=ticket.id, questions=())
    if ticket.stage is TicketStage.COOLING:
        return replace(job, rack=(*job.rack, ticket.id))
    return replace(job, aside=(*job.aside, ticket.id)) if ticket.stage in ASIDE else job


def _make_room(job: JobRun) -> JobRun:
    slot = slot_ticket(job)
    if slot is None:
        return job
    if slot.stage is TicketStage.UNKNOWN:
        return lay_aside(job, slot)
    return put(job, unloaded(job, slot))


def _at_end(job: JobRun, ticket: Ticket) -> tuple[str, ...]:
    """Return the queue with a ticket inserted after the last one of its run or an earlier run."""
    run = run_of(job.plan, ticket.passage)
    place = len(job.queue)
    while place and run_of(job.plan, job.tickets[job.queue[place - 1]].passage) > run:
        place -= 1
    return (*job.queue[:place], ticket.id, *job.queue[place:])


def _without(names: tuple[str, ...], name: str) -> tuple[str, ...]:
    if names and names[0] == name:
        return names[1:]
    return tuple(n for n in names if n != name)


def scrap_garment(
    job: JobRun, ticket: Ticket
) -> tuple[JobRun, tuple[Ticket, ...], tuple[str, ...]]:
    """Return the job, the garment's other tickets that this voids, and the ids of its new copy."""
    voided = tuple(
        t for t in same_garment(job, ticket) if t.id != ticket.id and t.stage not in ENDED
    )
    tickets = same_garment(job, ticket)
    job = put(job, ticket)
    for other in voided:
        job = put(job, replace(other, stage=TicketStage.VOID))
    opened = []
    for old in tickets:
        name = ticket_id(old.garment.line, old.passage, old.copy + 1)
        if name not in job.tickets:
            new = new_ticket(job.plan, old.garment, old.passage, old.copy + 1, old.without)
            job = put(job, new, at_end=True)
            opened.append(name)
    return job, voided, tuple(opened)


def with_job(state: State, job: JobRun) -> State:
    """Return the state with an updated job, at the press or beside it."""
    if job.job == state.current:
        return replace(state, job=job)
    return replace(state, others={**state.others, job.job: job})


def job_and_ticket(state: State, name: str) -> tuple[JobRun | None, Ticket | None]:
    """Return the job at the press and its ticket `name`, each None if missing."""
    job = state.job
    return job, None if job is None else job.tickets.get(name)
