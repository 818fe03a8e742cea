"""Taking back the last tap."""

from __future__ import annotations

from kiosk.run.apply.cooling import untaught
from kiosk.run.apply.job import with_job
from kiosk.run.apply.places import drop, lay_aside, put
from kiosk.run.facts.last_closing import last_tap
from kiosk.run.facts.tickets import slot_ticket
from kiosk.run.state import events as e
from kiosk.run.state.anew import replace
from kiosk.run.state.model import JobRun, Stage, State, Ticket, Undo

OF_RESULTS = ("peeled", "finished")
DEEPEST = 8
"""How many taps back can be taken; a checkpoint holds them all."""


def remember(job: JobRun, undo: Undo) -> JobRun:
    """Return the job with one tap more that can be taken back."""
    return replace(job, undo=(*job.undo, undo)[-DEEPEST:])


def forget(job: JobRun, ticket: str) -> JobRun:
    """Return the job without the taps of a ticket on which a supervisor has the word now."""
    kept = tuple(u for u in job.undo if all(t.id != ticket for t in u.tickets))
    return replace(job, undo=kept)


def taken_back(state: State, event: e.TakenBack) -> State:
    """The last tap never was: its tickets are where they were, with their questions."""
    job = state.job
    undo = None if job is None else last_tap(job)
    if job is None or undo is None or undo.what != event.what:
        return state
    if undo.what in OF_RESULTS:
        state = untaught(state, undo.tickets[0].id)
    names = {ticket.id for ticket in undo.tickets}
    scraps = tuple(scrap for scrap in job.scraps if scrap.ticket not in names)
    rest = tuple(each for each in job.undo if each is not undo)
    job = replace(job, undo=rest, done=False, scraps=scraps)
    for name in undo.opened:
        job = drop(job, name)
    job = called_off(job, undo)
    for ticket in undo.tickets:
        job = put(job, ticket)
    job = _queue_as_before(in_place(job, undo), undo.queue)
    return replace(with_job(state, job), moved=event.at)


def called_off(job: JobRun, undo: Undo) -> JobRun:
    """The ticket that was called because of the tap waits again."""
    there = slot_ticket(job)
    if there is None or there.id == undo.slot or not (undo.slot or _waits_for(undo, there)):
        return job
    if there.stage is Stage.UNKNOWN:
        return lay_aside(job, there)
    return put(job, replace(there, stage=Stage.WAITING))


def _waits_for(undo: Undo, there: Ticket) -> bool:
    """Whether a later pass of a garment may not be loaded once this peel is taken back."""
    garments = {(t.garment.line, t.copy) for t in undo.tickets}
    return (there.garment.line, there.copy) in garments


def in_place(job: JobRun, undo: Undo) -> JobRun:
    """Put slot and rack back into the order they had."""
    first = undo.tickets[0] if undo.tickets else None
    if first is not None and undo.slot == first.id:
        aside = tuple(name for name in job.aside if name != first.id)
        return replace(job, slot=first.id, aside=aside, questions=undo.questions)
    if first is not None and first.stage is Stage.COOLING:
        rest = tuple(name for name in job.rack if name != first.id)
        leaving = first.id if undo.leaving else job.leaving
        rack = (*rest[: undo.at], first.id, *rest[undo.at :])
        job = replace(job, rack=rack, leaving=leaving)
    return job


def _queue_as_before(job: JobRun, before: tuple[str, ...]) -> JobRun:
    """Return the job with its queue in the order `before`; what came since stays in front."""
    if not before:
        return job
    there = set(job.queue)
    since = tuple(name for name in job.queue if name not in set(before))
    return replace(job, queue=(*since, *(name for name in before if name in there)))
