"""What a supervisor's word, or a changed row, makes of tickets."""

from __future__ import annotations

from kiosk.plan.model import Phase
from kiosk.run.apply.job import found, with_job
from kiosk.run.apply.places import put, scrapped, unloaded
from kiosk.run.apply.undo import forget
from kiosk.run.facts.tickets import pass_of
from kiosk.run.state import events as e
from kiosk.run.state.anew import replace
from kiosk.run.state.model import ENDED, JobRun, Stage, State, Ticket


def stopped(state: State, event: e.Stopped) -> State:
    """Not before a supervisor decides."""
    job, ticket = found(state, event.ticket)
    if job is None or ticket is None or ticket.stage in ENDED:
        return state
    garment = replace(ticket.garment, digest=event.digest or ticket.garment.digest)
    after = replace(unloaded(job, ticket), stage=Stage.STOPPED, garment=garment)
    return with_job(state, forget(put(job, after), ticket.id))


def repress_allowed(state: State, event: e.RepressAllowed) -> State:
    """One final more: first in the queue, at the sheet before the final."""
    job, ticket = found(state, event.ticket)
    if job is None or ticket is None:
        return state
    after = replace(ticket, represses=ticket.represses + 1)
    if ticket.stage in (Stage.REWORK, Stage.UNKNOWN, Stage.STOPPED):
        after = replace(after, stage=Stage.WAITING, step=_repress_step(job, ticket))
    return with_job(state, forget(put(job, after), ticket.id))


def ruled(state: State, event: e.Ruled) -> State:
    """A supervisor's word on where a ticket goes."""
    job, ticket = found(state, event.ticket)
    if job is None or ticket is None:
        return state
    if event.stage is Stage.SCRAP:
        return with_job(
            state, forget(scrapped(job, replace(ticket, stage=Stage.SCRAP))[0], ticket.id)
        )
    after = replace(ticket, stage=event.stage)
    if event.stage is Stage.WAITING:
        after = unloaded(job, ticket)
    return with_job(state, forget(put(job, after), ticket.id))


def _repress_step(job: JobRun, ticket: Ticket) -> int:
    """Return the cover sheet before the final, or the final: what is laid stays laid."""
    steps = pass_of(job, ticket).steps
    final = next((i for i, s in enumerate(steps) if s.phase is Phase.FINAL), ticket.step)
    return final - 1 if final and steps[final - 1].phase is Phase.COVER else final
