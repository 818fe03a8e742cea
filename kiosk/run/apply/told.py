"""A closing that never was, and one without a tap: told afterwards."""

from __future__ import annotations

from kiosk.run.apply.closing import beyond, closed, cool, ended, marked
from kiosk.run.apply.cooling import MOST_PRESSINGS
from kiosk.run.apply.job import found, with_job
from kiosk.run.apply.places import put
from kiosk.run.apply.undo import called_off, in_place
from kiosk.run.facts.checks import counted
from kiosk.run.facts.last_closing import last_closing, without_closing
from kiosk.run.facts.moves import racked_at
from kiosk.run.facts.tickets import pass_of, step_at
from kiosk.run.state import events as e
from kiosk.run.state.anew import replace
from kiosk.run.state.cooling import Pressing
from kiosk.run.state.model import JobRun, Seen, Stage, State, Ticket


def never_closed(state: State, event: e.NeverClosed) -> State:
    """The ticket is where it was before the closing, and no heat counts."""
    job, undo = state.job, last_closing(state.job)
    if job is None or undo is None or undo.slot != event.ticket:
        return state
    firsts = tuple(f for f in job.firsts if f.ticket != event.ticket or _was_pressed(undo.tickets))
    job = replace(without_closing(job), last_loaded=undo.loaded, firsts=firsts, done=False)
    job = in_place(put(called_off(job, undo), undo.tickets[0]), undo)
    for racked in undo.tickets[1:]:
        job = _on_the_way_again(job, racked)
    return replace(counted(_unpressed(with_job(state, job), event), -1), moved=event.at)


def told_pressed(state: State, event: e.ToldPressed) -> State:
    """Pressed without a tap: its heat counts as it was told, and the ticket says so."""
    job, ticket = found(state, event.ticket)
    step = None if job is None or ticket is None else step_at(job, ticket, event.step)
    if step is None:
        return state
    seconds, planned = event.heat_seconds, float(step.seconds or 0)
    state = cool(closed(state, _as_closed(event)))
    state = _pressed(state, event)
    state = ended(state, event.ticket, event.step, event.at, Seen.TOLD, short=seconds < planned)
    state = marked(beyond(state, event.ticket, seconds - planned), event.ticket, "told")
    if seconds < planned:
        return marked(state, event.ticket, "short")
    over = step.most_seconds is not None and seconds > step.most_seconds
    return marked(state, event.ticket, "over") if over else state


def _as_closed(event: e.ToldPressed) -> e.Closed:
    return e.Closed(
        event.at,
        event.ticket,
        event.first,
        event.step,
        event.heat_seconds,
        0.0,
        Seen.TOLD,
        event.racked,
        event.again,
    )


def _pressed(state: State, event: e.ToldPressed) -> State:
    """Its heat in the pad: it ended when it was told, at the latest."""
    began = event.at.later(-event.heat_seconds)
    pressing = Pressing(event.ticket, event.step, began, event.at, state.current)
    return replace(state, pressings=(*state.pressings, pressing)[-MOST_PRESSINGS:])


def _unpressed(state: State, event: e.NeverClosed) -> State:
    """The pad had no heat from it."""
    last = state.pressings[-1] if state.pressings else None
    if last is None or (last.job, last.ticket, last.step) != (
        state.current,
        event.ticket,
        event.step,
    ):
        return state
    return replace(state, pressings=state.pressings[:-1], pad_next=None)


def _was_pressed(before: tuple[Ticket, ...]) -> bool:
    """Whether the ticket had a final before the closing that never was."""
    return before[0].finals > 0


def _on_the_way_again(job: JobRun, before: Ticket) -> JobRun:
    """The same tap had said that this one lies on the rack, its hot peels done."""
    ticket = job.tickets.get(before.id)
    if ticket is None or ticket.stage is not Stage.COOLING:
        return job
    racked = racked_at(pass_of(job, before), before.step)
    if ticket.step != max(before.step, racked or 0):
        return job  # a later tap told more of it
    ticket = replace(
        ticket,
        step=before.step,
        hot_peeled=before.hot_peeled,
        lies=before.lies,
        lifted=before.lifted,
        marks=before.marks,
    )
    return replace(put(job, ticket), leaving=ticket.id)
