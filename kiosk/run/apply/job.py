"""Jobs begin and end, tickets are called, questions answered, rulings and holes applied."""

from kiosk.plan.time import steps_without
from kiosk.run.apply.places import job_and_ticket, lay_aside, put, scrap_garment, unloaded, with_job
from kiosk.run.apply.result import without_undo
from kiosk.run.facts import (
    AT_SLOT,
    asked_again,
    ended_bare,
    first_tickets,
    hot_ahead,
    missing_tickets,
    new_ticket,
    pass_of,
    repress_step,
    same_garment,
    slot_ticket,
    was_away,
)
from kiosk.run.state import (
    ENDED,
    Batch,
    JobRun,
    OtherClaims,
    QuestionKind,
    State,
    Ticket,
    TicketStage,
    TimeSource,
    replace,
)
from kiosk.run.state import events as e
from kiosk.run.state import events_shift as sh
from kiosk.run.state import events_station as st


def job_started(state: State, event: e.JobStarted) -> State:
    """Begin a job with all its tickets in loading order, or resume a known one."""
    if event.job in state.jobs:
        return _take(state, state.jobs[event.job])
    tickets = first_tickets(event.plan, event.garments, event.spares)
    queue = tuple(tickets)
    job = JobRun(event.job, event.plan, event.plan_hash, tickets, queue, rules=event.rules)
    job = replace(job, spares=event.spares)
    if event.batch:
        lines = tuple(garment.line for garment in event.garments)
        batches = (Batch(event.batch, lines),)
        job = replace(job, whole=event.whole, batches=batches, more=True, files=event.files)
    columns = {name: each for name, each in state.columns.items() if name != event.job}
    folders = {**state.folders, event.job: event.folder}
    return _take(replace(state, columns=columns, folders=folders), job)


def job_unbegun(state: State, event: st.JobUnbegun) -> State:
    """Forget the job."""
    others = {name: other for name, other in state.others.items() if name != event.job}
    return replace(state, others=others)


def batch_taken(state: State, event: st.BatchTaken) -> State:
    """Add a batch's garments after those of the same run already here."""
    job = state.jobs.get(event.job)
    if job is None or any(batch.number == event.batch for batch in job.batches):
        return state
    for ticket in first_tickets(job.plan, event.garments, job.spares).values():
        if ticket.id not in job.tickets:
            job = put(job, ticket, at_end=True)
    lines = tuple(garment.line for garment in event.garments)
    return with_job(state, replace(job, batches=(*job.batches, Batch(event.batch, lines))))


def batches_ended(state: State, event: st.BatchesEnded) -> State:
    """Record that no more batches will come."""
    job = state.jobs.get(event.job)
    return state if job is None else with_job(state, replace(job, more=False))


def claims_met(state: State, event: st.ClaimsMet) -> State:
    """Hold the job: a ticket that still needs heat leaves the press, and none is called."""
    job = state.jobs.get(event.job)
    if job is None:
        return state
    slot = slot_ticket(job)
    if slot is not None and slot.stage is TicketStage.UNKNOWN:
        job = lay_aside(job, slot)
    elif slot is not None and hot_ahead(pass_of(job, slot), slot) is not None:
        job = put(job, unloaded(job, slot))
    met = OtherClaims(event.claims, event.stations, event.lines, event.differs)
    return with_job(state, replace(job, met=met, undo=()))


def claims_left(state: State, event: st.ClaimsLeft) -> State:
    """Release the job as it was before the claims."""
    job = state.jobs.get(event.job)
    return state if job is None else with_job(state, replace(job, met=None))


def claims_settled(state: State, job: JobRun, met: OtherClaims) -> State:
    """Continue the job here without what others have pressed or been given."""
    lines = set(met.lines)
    for ticket in tuple(job.tickets.values()):
        if ticket.garment.line in lines and not ticket.finals and ticket.stage not in ENDED:
            job = put(job, replace(ticket, stage=TicketStage.VOID))
    settled, elsewhere = (*job.settled, *met.claims), (*job.elsewhere, *met.lines)
    over_copy = job.over_copy or met.by_copy
    job = replace(job, met=None, settled=settled, elsewhere=elsewhere, over_copy=over_copy)
    return replace(state, job=job)


def job_taken(state: State, event: e.JobTaken) -> State:
    """Resume a job; the press may have been set for another one meanwhile.

    A job whose start is lost in a hole of the record has no tickets; the current job is retired all
    the same, so that nothing counts toward the wrong one.
    """
    job = state.jobs.get(event.job)
    if job is None:
        return state if state.job is None else _retire(state, state.job)
    return _take(state, job)


def job_left(state: State, event: e.JobLeft) -> State:
    """Put the job back; a ticket at the press goes to the front of the queue."""
    job = state.jobs.get(event.job)
    if job is None:
        return state
    slot = slot_ticket(job)
    if slot is not None and slot.stage is TicketStage.UNKNOWN:
        job = lay_aside(job, slot)
    elif slot is not None:
        job = put(job, unloaded(job, slot))
    return _retire(state, replace(job, undo=()))


def job_done(state: State, event: e.JobDone) -> State:
    """Mark the job done."""
    job = state.jobs.get(event.job)
    if job is None:
        return state
    closed = {**state.closed, event.job: event.at.wall}
    return replace(with_job(state, replace(job, done=True)), closed=closed)


def setting_read(state: State, event: e.SettingRead) -> State:
    """Keep the press's reading, and the setting that it satisfies."""
    job = state.job
    if job is None:
        return state
    set_for = event.required if event.fits else None
    slot = job.tickets.get(job.slot)
    set_in = None if slot is None else slot.passage
    job = replace(job, setting=event.temperature, set_for=set_for, set_in=set_in)
    return replace(state, job=job, moved=event.at)


def ticket_called(state: State, event: e.TicketCalled) -> State:
    """Give a ticket the press, or ask new questions about the one that has it.

    After a long absence the press is read again: it may have been switched off.
    """
    job, ticket = job_and_ticket(state, event.ticket)
    if job is None or ticket is None or ticket.stage in ENDED:
        return state
    if ticket.id != job.slot or ticket.stage not in AT_SLOT:
        job = put(job, replace(ticket, stage=TicketStage.AT_PRESS))
    set_for = None if was_away(state, event.at) else job.set_for
    return replace(state, job=replace(job, questions=event.questions, set_for=set_for))


def read_back(state: State, event: e.ReadBack) -> State:
    """Apply an answer: a right one ends its question, a wrong one reorders the choices."""
    job = state.job
    if job is None or event.ticket != job.slot:
        return state
    questions = tuple(
        q if q.ask is not event.ask else asked_again(q)
        for q in job.questions
        if q.ask is not event.ask or not event.right
    )
    number_confirmed = event.right and event.ask is QuestionKind.NUMBER
    return replace(
        state,
        job=replace(job, questions=questions),
        moved=event.at,
        changed_operator=state.changed_operator and not number_confirmed,
    )


def _take(state: State, job: JobRun) -> State:
    """Give the press to this job."""
    if state.job is not None and state.current != job.job:
        state = _retire(state, state.job)
    others = {name: other for name, other in state.others.items() if name != job.job}
    job = replace(job, setting=None, set_for=None, set_in=None, last_loaded="", undo=())
    return replace(state, job=job, others=others)


def _retire(state: State, job: JobRun) -> State:
    """Take a job off the press; if it is done only its name is kept."""
    at_press = None if state.current == job.job else state.job
    others = {name: other for name, other in state.others.items() if name != job.job}
    if job.done:
        return replace(state, job=at_press, others=others, finished=(*state.finished, job.job))
    return replace(state, job=at_press, others={**others, job.job: job})


def log_salvaged(state: State, event: st.LogSalvaged) -> State:
    """Send every open ticket of every open job to a person; the press must be opened first.

    At a hole the job is left: what follows may belong to another one with the same tickets.
    """
    job = None if state.job is None else _unknown(state.job)
    others = {name: _unknown(other) for name, other in state.others.items()}
    state = replace(state, job=job, others=others, open_first=True)
    state = replace(state, heat=None, asked_closed=False, asked=None)
    return _retire(state, job) if event.hole and job is not None else state


def _unknown(job: JobRun) -> JobRun:
    for ticket in job.tickets.values():
        if ticket.stage not in ENDED:
            job = lay_aside(job, _lost(ticket))
    return replace(job, questions=(), undo=(), leaving="")


def _lost(ticket: Ticket) -> Ticket:
    marks = ticket.marks if "unknown" in ticket.marks else (*ticket.marks, "unknown")
    return replace(
        ticket,
        stage=TicketStage.UNKNOWN,
        opened=None,
        opened_seen=TimeSource.NOT_SEEN,
        marks=marks,
        lost=True,
    )


def stopped(state: State, event: e.Stopped) -> State:
    """Hold a ticket for a supervisor, creating it if the garment was begun without it."""
    job, ticket = job_and_ticket(state, event.ticket)
    if job is not None and ticket is None:
        job, ticket = _with_added_ticket(job, event.ticket)
    if job is None or ticket is None:
        return state
    if ticket.stage in ENDED and not ended_bare(job, ticket):
        return state
    after = replace(unloaded(job, ticket), stage=TicketStage.STOPPED)
    if event.digest:
        after = _updated_from_row(job, after, event)
    return replace(state, job=without_undo(put(job, after), ticket.id))


def _updated_from_row(job: JobRun, ticket: Ticket, event: e.Stopped) -> Ticket:
    """Return the ticket with its row's present values, by which it will be pressed."""
    garment = event.row or replace(ticket.garment, digest=event.digest)
    old = ticket.was or ticket.garment
    differs = (old.number, old.size, old.set) != (garment.number, garment.size, garment.set)
    known = event.row is not None and job.spares  # an older record does not have the new row
    without = steps_without(pass_of(job, ticket), garment.lacks) if known else ()
    bare = new_ticket(job.plan, garment, ticket.passage, ticket.copy, without).peeled
    peeled = bare or (ticket.peeled and ticket.finals > 0)
    was = old if differs else None
    return replace(ticket, garment=garment, without=without, peeled=peeled, was=was)


def _with_added_ticket(job: JobRun, name: str) -> tuple[JobRun, Ticket | None]:
    """Return the job and a new ticket for what a garment lacked; its past taps cannot be undone."""
    line = name.rsplit("/", 2)[0]
    ticket = next((each for each in missing_tickets(job, line, ()) if each.id == name), None)
    undo = tuple(u for u in job.undo if all(t.garment.line != line for t in u.tickets))
    return (job, None) if ticket is None else (replace(job, undo=undo), ticket)


def repress_allowed(state: State, event: sh.RepressAllowed) -> State:
    """Allow another final: first in the queue, at its cover sheet if that goes on, or its final."""
    job, ticket = job_and_ticket(state, event.ticket)
    if job is None or ticket is None:
        return state
    after = replace(ticket, represses=ticket.represses + 1, was=None)
    if ticket.stage in (TicketStage.REWORK, TicketStage.UNKNOWN, TicketStage.STOPPED):
        after = replace(after, stage=TicketStage.WAITING, step=repress_step(job, after))
    return replace(state, job=without_undo(put(job, after), ticket.id))


def ruled(state: State, event: sh.Ruled) -> State:
    """Apply a supervisor's decision on a ticket."""
    job, ticket = job_and_ticket(state, event.ticket)
    if job is None or ticket is None:
        return state
    ticket = replace(ticket, lost=False, was=None)
    if event.stage is TicketStage.SCRAP:
        done = scrap_garment(job, replace(ticket, stage=TicketStage.SCRAP))[0]
        garment = (each.id for each in same_garment(job, ticket))  # all of it is made again
        return replace(state, job=without_undo(done, *garment))
    after = replace(ticket, stage=event.stage)
    if event.stage is TicketStage.WAITING:
        after = unloaded(job, ticket)
    return replace(state, job=without_undo(put(job, after), ticket.id))
