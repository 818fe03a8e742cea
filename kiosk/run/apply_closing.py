"""Heat begins: declared, measured, or not asked for."""

from __future__ import annotations

from kiosk.plan.model import Phase
from kiosk.run import events as e
from kiosk.run.anew import replace
from kiosk.run.apply_cooling import next_garment, racked
from kiosk.run.apply_job import found, with_job
from kiosk.run.at import Now
from kiosk.run.cooling import Lies
from kiosk.run.counted import counted
from kiosk.run.last_closing import SAID, closing, without_closing
from kiosk.run.late_hot import LATE, late_seconds
from kiosk.run.lot import pressed_first
from kiosk.run.model import Heat, JobRun, Seen, Stage, State
from kiosk.run.places import put
from kiosk.run.stages import racked_at
from kiosk.run.tickets import is_hot, pass_of, step_at


def closed(state: State, event: e.Closed) -> State:
    """Heat on a ticket. A final uses it up from here on."""
    starts = event.at.clock + event.starts_in
    state = next_garment(state, event.ticket)
    heat = Heat(event.ticket, event.step, event.at, starts, event.dwell_seconds, event.seen)
    measured = state.switch_seen or event.seen is Seen.MEASURED
    state = replace(state, heat=heat, moved=event.at, asked_closed=False, switch_seen=measured)
    state = counted(state)
    job, ticket = found(state, event.ticket)
    if job is None or ticket is None:
        return state
    before = closing(job, ticket)
    final = is_hot(step_at(job, ticket, event.step), Phase.FINAL)
    ticket = replace(ticket, stage=Stage.AT_PRESS, step=event.step, finals=ticket.finals + final)
    ticket = replace(ticket, estimate=None, lies=Lies.NOT_SAID, lifted=None, felt=None, read=None)
    job = put(_racked(job, event.racked, event.at), ticket)
    job = pressed_first(job, ticket, state.operator) if final else job
    undo = tuple(replace(u, leaving=False) if u.leaving else u for u in job.undo if not u.slot)
    undo = (*undo, before) if event.seen in SAID else undo
    return with_job(state, replace(job, last_loaded=ticket.id, undo=undo, questions=(), leaving=""))


def closing_seen(state: State, event: e.ClosingSeen) -> State:
    """The declared closing was seen: the clock starts here."""
    heat = state.heat
    if heat is None or heat.ticket != event.ticket or heat.dwell_seconds is None:
        return replace(state, switch_seen=True)
    heat = replace(heat, closed=event.at, starts=event.at.clock, seen=Seen.MEASURED)
    if state.job is not None:
        state = with_job(state, without_closing(state.job))
    return replace(state, heat=heat, switch_seen=True, asked_closed=False, asked=None)


def unasked_closing(state: State, event: e.UnaskedClosing) -> State:
    """Heat that nobody asked for is counted up."""
    heat = Heat(event.ticket, 0, event.at, event.at.clock, None, Seen.MEASURED)
    state = replace(state, heat=heat, switch_seen=True, asked_closed=False, asked=None)
    return counted(state)


def _racked(job: JobRun, name: str, at: Now) -> JobRun:
    """The tap that closed confirmed that `name` went to the rack, its hot peels done."""
    ticket = job.tickets.get(name)
    if ticket is None or ticket.stage is not Stage.COOLING:
        return job
    late = late_seconds(job, ticket, at) is not None and LATE not in ticket.marks
    ticket = racked(replace(ticket, marks=(*ticket.marks, LATE)) if late else ticket, at)
    job = put(job, ticket)
    peel = racked_at(pass_of(job, ticket), ticket.step)
    if peel is None or ticket.step >= peel:
        return job
    return put(job, replace(ticket, step=peel, hot_peeled=True))
