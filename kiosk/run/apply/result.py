"""What becomes of tickets by the hands: confirmed steps, results, detours."""

from __future__ import annotations

from kiosk.plan.model import Phase
from kiosk.run.apply.closing import to_the_rack
from kiosk.run.apply.job import found, with_job
from kiosk.run.apply.places import lay_aside, put, scrapped, unloaded
from kiosk.run.apply.undo import remember
from kiosk.run.facts.late_hot import LATE
from kiosk.run.facts.moves import last_peel, racked_at, racks
from kiosk.run.facts.tickets import is_hot, pass_of, step_at
from kiosk.run.state import events as e
from kiosk.run.state.anew import replace
from kiosk.run.state.model import ENDED, JobRun, Now, Scrapped, Stage, State, Ticket, Undo


def confirmed(state: State, event: e.Confirmed) -> State:
    """Hand steps done. After its early peels a ticket of the rack leaves the press."""
    job, ticket = found(state, event.ticket)
    if job is None or ticket is None or (ticket.id != job.slot and ticket.id not in job.rack):
        return state
    if ticket.id != job.slot:
        return _stage_peeled(state, job, ticket, event)
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
        marks=_marks(ticket, event.late_seconds),
    )
    job = remember(job, Undo("confirmed", (ticket,), ticket.id, questions=job.questions))
    leaves = over and racks(passage) and step == racked_at(passage, step)
    return _moved(state, to_the_rack(job, after) if leaves else put(job, after), event.at)


def _stage_peeled(state: State, job: JobRun, ticket: Ticket, event: e.Confirmed) -> State:
    """One of several peels on the rack: it goes on cooling there for the next."""
    at, leaving = job.rack.index(ticket.id), job.leaving == ticket.id
    after = replace(ticket, step=max(0, event.last + 1), hot_peeled=True)
    job = remember(put(job, after), Undo("stage peeled", (ticket,), "", at, leaving=leaving))
    return _moved(state, job, event.at)


def finished(state: State, event: e.Finished) -> State:
    """A result. A scrap ends the garment's other tickets and opens a new copy of it."""
    job, ticket = found(state, event.ticket)
    if job is None or ticket is None or ticket.stage in ENDED:
        return state
    after = replace(
        ticket,
        stage=event.stage,
        peeled=ticket.peeled or event.peeled,
        marks=_marks(ticket, event.late_seconds),
    )
    if after.peeled or after.stage in ENDED:
        after = replace(after, estimate=None)  # a state does not grow with them
    undo = _undo_of_result(job, ticket)
    if event.stage is Stage.SCRAP:
        done, voided, opened = scrapped(job, after)
        queue = job.queue if any(t.stage is Stage.WAITING for t in voided) else ()
        undo = replace(undo, tickets=(ticket, *voided), opened=opened, queue=queue)
        done = _counted(done, ticket.id, event.cause)
    else:
        done = put(job, after)
    return _moved(state, remember(done, undo), event.at)


def went_on(state: State, event: e.WentOn) -> State:
    """Fit to go on: at the next step, or to the rack with what was pressed short."""
    job, ticket = found(state, event.ticket)
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
    job, ticket = found(state, event.ticket)
    if job is None or ticket is None:
        return state
    job = remember(job, Undo("skipped", (ticket,), job.slot, questions=job.questions))
    return _moved(state, put(job, replace(ticket, skipped=True)), event.at)


def set_aside(state: State, event: e.SetAside) -> State:
    """Off the press: queued again last of its run, or waiting for somebody to look at it."""
    job, ticket = found(state, event.ticket)
    if job is None or ticket is None or ticket.id != job.slot:
        return state
    job = remember(job, Undo("set aside", (ticket,), ticket.id, questions=job.questions))
    if ticket.stage is Stage.UNKNOWN:
        return _moved(state, lay_aside(job, ticket), event.at)
    return _moved(state, put(job, unloaded(job, ticket), at_end=True), event.at)


def _counted(job: JobRun, ticket: str, cause: str) -> JobRun:
    """Return the job with a scrap more toward the shop's limit, where it has one."""
    if not job.rules.scrap_limit:
        return job
    return replace(job, scraps=(*job.scraps, Scrapped(ticket, cause or "not_known")))


def _marks(ticket: Ticket, late: float | None) -> tuple[str, ...]:
    """Return the marks of a ticket; a hot peel that was late stays on it."""
    return ticket.marks if late is None or LATE in ticket.marks else (*ticket.marks, LATE)


def _moved(state: State, job: JobRun, at: Now) -> State:
    return replace(with_job(state, job), moved=at)


def _undo_of_result(job: JobRun, ticket: Ticket) -> Undo:
    at = job.rack.index(ticket.id) if ticket.stage is Stage.COOLING else 0
    what = "peeled" if ticket.stage is Stage.COOLING else "finished"
    slot = ticket.id if ticket.id == job.slot else ""
    questions = job.questions if slot else ()
    leaving = job.leaving == ticket.id
    return Undo(what, (ticket,), slot, at, questions=questions, leaving=leaving)
