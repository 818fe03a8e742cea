"""A closing without a tap, entered afterwards: its heat counts as the person reports it."""

from kiosk.run.apply.closing import closed, end_closing, with_heat_beyond, with_mark, without_heat
from kiosk.run.apply.cooling import MOST_PRESSINGS
from kiosk.run.apply.places import job_and_ticket
from kiosk.run.facts.tickets import step_at
from kiosk.run.state import events as e
from kiosk.run.state.cooling import Pressing
from kiosk.run.state.event import replace
from kiosk.run.state.model import TimeSource
from kiosk.run.state.state import State


def told_pressed(state: State, event: e.ToldPressed) -> State:
    """Count a closing without a tap: its heat as reported, with a mark on the ticket."""
    job, ticket = job_and_ticket(state, event.ticket)
    step = None if job is None or ticket is None else step_at(job, ticket, event.step)
    if step is None:
        return state
    seconds, planned = event.heat_seconds, float(step.seconds or 0)
    state = without_heat(closed(state, _as_closed(event)))
    state = _with_reported_heat(state, event)
    state = end_closing(
        state, event.ticket, event.step, event.at, TimeSource.TOLD, short=seconds < planned
    )
    state = with_mark(
        with_heat_beyond(state, event.ticket, seconds - planned), event.ticket, "told"
    )
    if seconds < planned:
        return with_mark(state, event.ticket, "short")
    over = step.most_seconds is not None and seconds > step.most_seconds
    return with_mark(state, event.ticket, "over") if over else state


def _as_closed(event: e.ToldPressed) -> e.Closed:
    return e.Closed(
        event.at,
        event.ticket,
        event.first,
        event.step,
        event.heat_seconds,
        0.0,
        TimeSource.TOLD,
        event.racked,
        event.again,
    )


def _with_reported_heat(state: State, event: e.ToldPressed) -> State:
    """Add the closing's heat to the pad; it ended when reported, at the latest."""
    began = event.at.later(-event.heat_seconds)
    pressing = Pressing(event.ticket, event.step, began, event.at, state.current)
    return replace(state, pressings=(*state.pressings, pressing)[-MOST_PRESSINGS:])
