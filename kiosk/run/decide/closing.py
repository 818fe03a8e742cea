"""The press closing and opening: declared, measured or reported afterwards."""

from kiosk.plan.model import Phase
from kiosk.run.decide.bar import close, meaning_of
from kiosk.run.facts import closed_before, hot_ahead, is_hot, kind_of, pass_of, slot_ticket, step_at
from kiosk.run.facts.hands import unseen_opening
from kiosk.run.state import Decision, Now, State, Ticket, TicketStage, refuse
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state import events as e
from kiosk.run.state.event import Event
from kiosk.run.state.events_station import Refused
from kiosk.run.state.model import Heat, JobRun, TimeSource


def press_closed(state: State, command: c.PressClosed, now: Now) -> Decision:
    """A switch saw the press close: as asked, as just declared, or unasked."""
    heat = state.heat
    if heat is None:
        meaning = meaning_of(state, kind_of(state, now), now).meaning
        if meaning is not None and meaning.verb is c.Verb.CLOSE:
            closing = close(state, meaning, now, 0.0, TimeSource.MEASURED)
            if isinstance(closing, tuple) and isinstance(closing[0], e.Closed):
                return closing
        return (e.UnaskedClosing(now, state.job.slot if state.job else ""),)
    if heat.seen is TimeSource.DECLARED:  # however long after the tap: the press was open until now
        return (e.ClosingSeen(now, heat.ticket),)
    if heat.rang:
        opened = e.Opened(now, heat.ticket, heat.step, TimeSource.NOT_SEEN, None)
        return (opened, e.UnaskedClosing(now, heat.ticket))
    return refuse("press_closed.already")


def press_opened(state: State, command: c.PressOpened, now: Now) -> Decision:
    """A switch saw the press open; before the deadline, the heat is as measured."""
    heat = state.heat
    if heat is None:
        return _opened_without_heat(state, TimeSource.MEASURED, now, "press_opened.already")
    if heat.deadline is None:
        return (e.Opened(now, heat.ticket, heat.step, TimeSource.MEASURED, None),)
    after = now.clock - heat.deadline
    opened = e.Opened(now, heat.ticket, heat.step, TimeSource.MEASURED, after)
    if heat.rang:
        return (opened,)
    if now.clock < heat.starts:
        return _ask(state, heat, now)
    return (opened, e.WasClosed(now, heat.ticket, heat.step, now.clock - heat.starts))


def say_opened(state: State, command: c.SayOpened, now: Now) -> Decision:
    """ "Opened": accepted after the deadline, questioned before it."""
    heat = state.heat
    if heat is None:
        if state.open_first:
            return (e.OpenSaid(now),)
        return _opened_without_heat(state, TimeSource.DECLARED, now, "opened.already")
    if heat.deadline is None:
        return (e.Opened(now, heat.ticket, heat.step, TimeSource.DECLARED, None),)
    if heat.rang:
        after = now.clock - heat.deadline
        return (e.Opened(now, heat.ticket, heat.step, TimeSource.DECLARED, after),)
    return _ask(state, heat, now)


def say_closed(state: State, command: c.SayClosed, now: Now) -> Decision:
    """Closed or not closed; if closed, heat counts until "opened" was tapped."""
    heat = state.heat
    if heat is None or state.asked is None:
        return refuse("closed.not_asked")
    if not command.closed:
        return (e.NotClosed(now, heat.ticket, heat.step),)
    seconds = max(0.0, state.asked.clock - heat.starts)
    return (e.WasClosed(now, heat.ticket, heat.step, seconds),)


def _ask(state: State, heat: Heat, now: Now) -> Decision:
    if state.asked_closed:
        return refuse("press_opened.already")
    return (e.AskedClosed(now, heat.ticket, heat.step),)


def _opened_without_heat(state: State, seen: TimeSource, now: Now, why: str) -> Decision:
    """Assign an opening after the tone to the ticket that still lacks one."""
    job = state.job
    ticket: Ticket | None = None if job is None else unseen_opening(job)
    if job is not None and ticket is not None and ticket.opened is not None:
        after = now.clock - ticket.opened.clock
        step = closed_before(pass_of(job, ticket), ticket, ticket.step)
        opened: Event = e.Opened(now, ticket.id, step or 0, seen, after)
        return (opened,)
    if state.open_first:
        return (e.Opened(now, "", 0, seen, None),)
    return refuse(why)


LONGEST_SECONDS = 600
"""No pressing is longer; a higher figure is a typing error."""


def say_pressed(state: State, command: s.SayPressed, now: Now) -> Decision:
    """Count a closing made without a tap, with its seconds as reported."""
    job, hot = state.job, closing_ahead(state.job)
    if job is None or hot is None:
        return refuse("pressed.nothing")
    if not 1 <= command.seconds <= LONGEST_SECONDS:
        return refuse("pressed.seconds", most=LONGEST_SECONDS)
    ticket = job.tickets[job.slot]
    second_final = is_hot(step_at(job, ticket, hot), Phase.FINAL) and ticket.finals > 0
    if second_final and ticket.used_up:
        return (Refused(now, "refuse.second_final", ticket.id),)
    event = e.ToldPressed(
        now, ticket.id, ticket.step, hot, command.seconds, job.leaving, second_final
    )
    return (event,)


def closing_ahead(job: JobRun | None) -> int | None:
    """Return the current garment's next hot step, or None."""
    ticket: Ticket | None = slot_ticket(job)
    if job is None or ticket is None or ticket.stage is not TicketStage.AT_PRESS or job.questions:
        return None
    return hot_ahead(pass_of(job, ticket), ticket)
