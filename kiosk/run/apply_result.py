"""What becomes of tickets: confirmed steps, results, detours, a supervisor's word."""

from __future__ import annotations

from dataclasses import replace

from kiosk.plan.model import Phase
from kiosk.run import events as e
from kiosk.run.apply_heat import to_the_rack
from kiosk.run.apply_job import with_job
from kiosk.run.apply_undo import forget, remember
from kiosk.run.model import ENDED, JobRun, Now, Stage, State, Ticket, Undo
from kiosk.run.moves import last_peel, racks
from kiosk.run.tickets import (
    is_hot,
    lay_aside,
    pass_of,
    put,
    same_garment,
    step_at,
    ticket_id,
    unloaded,
)


def confirmed(state: State, event: e.Confirmed) -> State:
    """Hand steps done. After its early peels a ticket of the rack leaves the press."""
    job, ticket = _found(state, event.ticket)
    if job is None or ticket is None or ticket.id != job.slot:
        return state
    passage = pass_of(job, ticket)
    peel = last_peel(passage)
    over = peel is not None and any(
        s.phase is Phase.PEEL for s in passage.steps[max(0, event.first) : event.last + 1]
    )
    step = max(0, event.last + 1)
    after = replace(
        ticket,
        step=step,
        hot_peeled=ticket.hot_peeled or (over and peel is not None and step <= peel),
        peeled=ticket.peeled or (over and peel is not None and step > peel),
    )
    job = remember(job, Undo("confirmed", (ticket,), ticket.id, questions=job.questions))
    leaves = over and racks(passage) and step == peel
    return _moved(state, to_the_rack(job, after) if leaves else put(job, after), event.at)


def finished(state: State, event: e.Finished) -> State:
    """A result. A scrap ends the garment's other tickets and opens a new copy of it."""
    job, ticket = _found(state, event.ticket)
    if job is None or ticket is None or ticket.stage in ENDED:
        return state
    after = replace(ticket, stage=event.stage, peeled=ticket.peeled or event.peeled)
    undo = _undo_of_result(job, ticket)
    if event.stage is Stage.SCRAP:
        done, voided, opened = _scrapped(job, after)
        queue = job.queue if any(t.stage is Stage.WAITING for t in voided) else ()
        undo = replace(undo, tickets=(ticket, *voided), opened=opened, queue=queue)
    else:
        done = put(job, after)
    return _moved(state, remember(done, undo), event.at)


def went_on(state: State, event: e.WentOn) -> State:
    """Fit to go on: at the next step, or to the rack with what was pressed short."""
    job, ticket = _found(state, event.ticket)
    if job is None or ticket is None or ticket.id != job.slot:
        return state
    step = ticket.step + (ticket.stage is Stage.UNKNOWN)
    after = replace(ticket, stage=Stage.AT_PRESS, step=step)
    final = is_hot(step_at(job, after, step - 1), Phase.FINAL)
    rack = final and racks(pass_of(job, after)) and not after.peeled
    job = remember(job, Undo("went on", (ticket,), ticket.id))
    return _moved(state, to_the_rack(job, after) if rack else put(job, after), event.at)


def skipped(state: State, event: e.Skipped) -> State:
    """The pre-press is left out; the hand steps around it are still to be done."""
    job, ticket = _found(state, event.ticket)
    if job is None or ticket is None:
        return state
    job = remember(job, Undo("skipped", (ticket,), job.slot, questions=job.questions))
    return _moved(state, put(job, replace(ticket, skipped=True)), event.at)


def set_aside(state: State, event: e.SetAside) -> State:
    """Off the press: queued again last of its run, or waiting for somebody to look at it."""
    job, ticket = _found(state, event.ticket)
    if job is None or ticket is None or ticket.id != job.slot:
        return state
    job = remember(job, Undo("set aside", (ticket,), ticket.id, questions=job.questions))
    if ticket.stage is Stage.UNKNOWN:
        return _moved(state, lay_aside(job, ticket), event.at)
    return _moved(state, put(job, unloaded(job, ticket), at_end=True), event.at)


def stopped(state: State, event: e.Stopped) -> State:
    """Not before a supervisor decides."""
    job, ticket = _found(state, event.ticket)
    if job is None or ticket is None or ticket.stage in ENDED:
        return state
    garment = replace(ticket.garment, digest=event.digest or ticket.garment.digest)
    after = replace(unloaded(job, ticket), stage=Stage.STOPPED, garment=garment)
    return with_job(state, forget(put(job, after), ticket.id))


def repress_allowed(state: State, event: e.RepressAllowed) -> State:
    """One final more: first in the queue, at the sheet before the final."""
    job, ticket = _found(state, event.ticket)
    if job is None or ticket is None:
        return state
    after = replace(ticket, represses=ticket.represses + 1)
    if ticket.stage in (Stage.REWORK, Stage.UNKNOWN, Stage.STOPPED):
        after = replace(after, stage=Stage.WAITING, step=_repress_step(job, ticket))
    return with_job(state, forget(put(job, after), ticket.id))


def ruled(state: State, event: e.Ruled) -> State:
    """A supervisor's word on where a ticket goes."""
    job, ticket = _found(state, event.ticket)
    if job is None or ticket is None:
        return state
    if event.stage is Stage.SCRAP:
        return with_job(
            state, forget(_scrapped(job, replace(ticket, stage=Stage.SCRAP))[0], ticket.id)
        )
    after = replace(ticket, stage=event.stage)
    if event.stage is Stage.WAITING:
        after = unloaded(job, ticket)
    return with_job(state, forget(put(job, after), ticket.id))


def _found(state: State, name: str) -> tuple[JobRun | None, Ticket | None]:
    job = state.job
    return job, None if job is None else job.tickets.get(name)


def _moved(state: State, job: JobRun, at: Now) -> State:
    return replace(with_job(state, job), moved=at)


def _undo_of_result(job: JobRun, ticket: Ticket) -> Undo:
    at = job.rack.index(ticket.id) if ticket.stage is Stage.COOLING else 0
    what = "peeled" if ticket.stage is Stage.COOLING else "finished"
    slot = ticket.id if ticket.id == job.slot else ""
    questions = job.questions if slot else ()
    leaving = job.leaving == ticket.id
    return Undo(what, (ticket,), slot, at, questions=questions, leaving=leaving)


def _scrapped(job: JobRun, ticket: Ticket) -> tuple[JobRun, tuple[Ticket, ...], tuple[str, ...]]:
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


def _repress_step(job: JobRun, ticket: Ticket) -> int:
    """Return the cover sheet before the final, or the final: what is laid stays laid."""
    steps = pass_of(job, ticket).steps
    final = next((i for i, s in enumerate(steps) if s.phase is Phase.FINAL), ticket.step)
    return final - 1 if final and steps[final - 1].phase is Phase.COVER else final
