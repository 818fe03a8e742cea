"""Heat begins and ends: declared, measured, unasked, reported later, or unseen."""

from kiosk.plan.model import HOT_PHASES, Phase
from kiosk.run.apply.cooling import next_garment, on_rack
from kiosk.run.apply.places import job_and_ticket, put, unloaded
from kiosk.run.facts.checks import with_first_garment
from kiosk.run.facts.hands import BY_A_PERSON, closing_undo, unseen_opening, without_closing
from kiosk.run.facts.moves import confirm_of, cools_on_rack, racked_at
from kiosk.run.facts.peels import LATE, hot_late_seconds
from kiosk.run.facts.tickets import is_hot, pass_of, slot_ticket, step_at
from kiosk.run.state import events as e
from kiosk.run.state.cooling import CoolingPlace
from kiosk.run.state.event import Now, replace
from kiosk.run.state.model import ConfirmMode, Heat, JobRun, Ticket, TicketStage, TimeSource
from kiosk.run.state.state import State


def closed(state: State, event: e.Closed) -> State:
    """Begin heat on a ticket; a final counts as used from here on."""
    starts = event.at.clock + event.starts_in
    if state.pad_next is not None:
        state = next_garment(state, event.ticket)
    heat = Heat(event.ticket, event.step, event.at, starts, event.dwell_seconds, event.seen)
    measured = state.switch_seen or event.seen is TimeSource.MEASURED
    state = replace(state, heat=heat, moved=event.at, asked_closed=False, switch_seen=measured)
    state = count_closings(state)
    job, ticket = job_and_ticket(state, event.ticket)
    if job is None or ticket is None:
        return state
    before = closing_undo(job, ticket)
    final = is_hot(step_at(job, ticket, event.step), Phase.FINAL)
    ticket = replace(
        ticket, stage=TicketStage.AT_PRESS, step=event.step, finals=ticket.finals + final,
        estimate=None, lies=CoolingPlace.NOT_SAID, lifted=None, felt=None, read=None,
    )  # fmt: skip
    job = put(_put_on_rack(job, event.racked, event.at), ticket)
    job = with_first_garment(job, ticket, state.operator) if final else job
    undo = tuple(replace(u, leaving=False) if u.leaving else u for u in job.undo if not u.slot)
    undo = (*undo, before) if event.seen in BY_A_PERSON else undo
    return replace(
        state, job=replace(job, last_loaded=ticket.id, undo=undo, questions=(), leaving="")
    )


def closing_seen(state: State, event: e.ClosingSeen) -> State:
    """Restart the clock when a switch sees a declared closing."""
    heat = state.heat
    if heat is None or heat.ticket != event.ticket or heat.dwell_seconds is None:
        return replace(state, switch_seen=True)
    heat = replace(
        heat, closed=event.at, starts=event.at.clock, seen=TimeSource.MEASURED, rang=False
    )
    if state.job is not None:
        state = replace(state, job=without_closing(state.job))
    return replace(state, heat=heat, switch_seen=True, asked_closed=False, asked=None)


def unasked_closing(state: State, event: e.UnaskedClosing) -> State:
    """Begin heat that nobody asked for; its time counts up."""
    heat = Heat(event.ticket, 0, event.at, event.at.clock, None, TimeSource.MEASURED)
    state = replace(state, heat=heat, switch_seen=True, asked_closed=False, asked=None)
    return count_closings(state)


def _put_on_rack(job: JobRun, name: str, at: Now) -> JobRun:
    """Return the job with `name` on the rack, its hot peels done, as the closing confirmed."""
    ticket = job.tickets.get(name)
    if ticket is None or ticket.stage is not TicketStage.COOLING:
        return job
    late = hot_late_seconds(job, ticket, at) is not None and LATE not in ticket.marks
    ticket = on_rack(replace(ticket, marks=(*ticket.marks, LATE)) if late else ticket, at)
    job = put(job, ticket)
    peel = racked_at(pass_of(job, ticket), ticket.step)
    if peel is None or ticket.step >= peel:
        return job
    return put(job, replace(ticket, step=peel, hot_peeled=True))


def time_up(state: State, event: e.TimeUp) -> State:
    """End the time; if the opening has to be seen, the heat is kept until it is."""
    heat = state.heat
    if heat is None or heat.ticket != event.ticket or heat.dwell_seconds is None:
        return state
    if state.asked_closed:  # the question whether it had been closed got no answer
        state = with_mark(state, event.ticket, "early")
    state = replace(state, asked_closed=False, asked=None)
    job = state.job
    if job is not None and (job.plan.confirm_opening or state.switch_seen):
        return replace(state, heat=replace(heat, rang=True))
    since = event.at.clock - event.due
    opening = Now(event.at.boot, event.due, event.at.wall - since)
    state = replace(state, heat=None, open_first=False)
    return end_closing(state, event.ticket, event.step, opening, TimeSource.NOT_SEEN)


def opened(state: State, event: e.Opened) -> State:
    """Record an opening; before the deadline the heat goes on until WasClosed."""
    heat = state.heat
    measured = state.switch_seen or event.seen is TimeSource.MEASURED
    state = replace(state, switch_seen=measured, asked_closed=False, asked=None)
    if heat is None:
        return _opening_reported(replace(state, open_first=False), event)
    if heat.dwell_seconds is None:
        return _unasked_over(state, heat, event.at)
    if not heat.rang:
        return state
    state = replace(state, heat=None, open_first=False)
    state = end_closing(state, event.ticket, event.step, event.at, event.seen)
    state = with_heat_beyond(state, event.ticket, max(0.0, event.after_deadline or 0.0))
    return with_mark(state, event.ticket, _over_mark(state, event))


def asked_closed(state: State, event: e.AskedClosed) -> State:
    """Ask whether the press was closed; the clock keeps running."""
    if state.heat is None or state.heat.rang:
        return state
    return replace(state, asked_closed=True, asked=event.at)


def not_closed(state: State, event: e.NotClosed) -> State:
    """Undo the closing: no heat, and the ticket is back at the same step, with its final."""
    state = count_closings(without_heat(state), -1)
    job, ticket = job_and_ticket(state, event.ticket)
    if job is None or ticket is None or ticket.id != job.slot:
        return state
    job = without_closing(job)
    final = is_hot(step_at(job, ticket, event.step), Phase.FINAL)
    finals = max(0, ticket.finals - final)
    ticket = replace(ticket, stage=TicketStage.AT_PRESS, step=event.step, finals=finals)
    return replace(state, job=put(job, ticket), moved=event.at)


def was_closed(state: State, event: e.WasClosed) -> State:
    """Record less heat than planned; after a short final the ticket stays for inspection."""
    opening = state.asked or event.at
    seen = TimeSource.DECLARED if state.asked_closed else TimeSource.MEASURED
    job, ticket = job_and_ticket(state, event.ticket)
    planned = None if job is None or ticket is None else step_at(job, ticket, event.step)
    missing = event.heat_seconds - (planned.seconds or 0) if planned is not None else 0.0
    state = replace(without_heat(state), moved=event.at)
    state = end_closing(state, event.ticket, event.step, opening, seen, short=True)
    return with_mark(with_heat_beyond(state, event.ticket, missing), event.ticket, "short")


def outcome_unknown(state: State, event: e.OutcomeUnknown) -> State:
    """Nobody saw the end of the heat: open the press first, then inspect the garment."""
    unasked = state.heat is not None and state.heat.dwell_seconds is None
    state = replace(without_heat(state), open_first=True)
    job = state.job
    if unasked:
        return with_mark(state, job.slot if job else "", "unasked")
    ticket = None if job is None else job.tickets.get(event.ticket)
    if job is None or ticket is None or ticket.id != job.slot:
        return state
    ticket = replace(
        ticket,
        stage=TicketStage.UNKNOWN,
        step=event.step,
        opened=None,
        opened_seen=TimeSource.NOT_SEEN,
    )
    return with_mark(replace(state, job=put(job, ticket)), ticket.id, "unknown")


def clear_platen(job: JobRun, at: Now) -> JobRun:
    """Return the job with nothing on the platen: one garment on the rack, one to be loaded again.

    What was not tacked or pressed came off too, so taps on that garment cannot be taken back.
    """
    job = replace(_put_on_rack(job, job.leaving, at), leaving="")
    slot = slot_ticket(job)
    if slot is None or slot.stage is not TicketStage.AT_PRESS:
        return job
    undo = tuple(u for u in job.undo if all(ticket.id != slot.id for ticket in u.tickets))
    waiting = replace(unloaded(job, slot), stage=TicketStage.AT_PRESS)
    return replace(put(job, waiting), undo=undo, hands_from=at)


def open_said(state: State, event: e.OpenSaid) -> State:
    """Record that a person confirmed the press open."""
    return replace(state, open_first=False, moved=event.at)


def to_the_rack(job: JobRun, ticket: Ticket) -> JobRun:
    """Return the job with a ticket on its way from the press to the rack."""
    return replace(put(job, replace(ticket, stage=TicketStage.COOLING)), leaving=ticket.id)


def without_heat(state: State) -> State:
    """Return the state without heat or a question about it."""
    return replace(state, heat=None, asked_closed=False, asked=None)


def end_closing(
    state: State, name: str, step: int, opening: Now, seen: TimeSource, short: bool = False
) -> State:
    """End a closing of ticket `name`: it continues at the press, or goes to where it cools."""
    job, ticket = job_and_ticket(state, name)
    if job is None or ticket is None or ticket.id != job.slot:
        return state
    passage = pass_of(job, ticket)
    ticket = replace(
        ticket, stage=TicketStage.AT_PRESS, step=step + 1, opened=opening, opened_seen=seen
    )
    final = is_hot(step_at(job, ticket, step), Phase.FINAL)
    if final and ticket.peeled:
        return replace(state, job=put(job, replace(ticket, step=len(passage.steps) - 1)))
    if final and ticket.hot_peeled:  # re-press: the pieces already peeled need no peel
        ticket = replace(ticket, step=(*passage.peels, ticket.step)[1])
    each = confirm_of(state, job.plan, passage) is ConfirmMode.EACH
    keeps_press = each and ticket.step != racked_at(passage, ticket.step)
    if final and cools_on_rack(passage) and not (short or keeps_press):
        return replace(state, job=to_the_rack(job, ticket))
    return replace(state, job=put(job, ticket))


def _opening_reported(state: State, event: e.Opened) -> State:
    """Opening reported after the tone: the peel wait counts from the opening itself."""
    job = state.job
    ticket = None if job is None else unseen_opening(job)
    if job is None or ticket is None or ticket.id != event.ticket:
        return state
    job = put(job, replace(ticket, opened=event.at, opened_seen=event.seen))
    state = replace(state, job=job)
    state = with_heat_beyond(state, ticket.id, max(0.0, event.after_deadline or 0.0))
    return with_mark(state, ticket.id, _over_mark(state, event))


def _unasked_over(state: State, heat: Heat, now: Now) -> State:
    """End unasked heat on the ticket in the slot; its length is unknown across a stop."""
    name = state.job.slot if state.job else ""
    seconds = max(0.0, now.clock - heat.starts) if now.boot == heat.closed.boot else 0.0
    state = replace(without_heat(state), open_first=False)
    return with_mark(with_heat_beyond(state, name, seconds), name, "unasked")


def _over_mark(state: State, event: e.Opened) -> str:
    """Return the mark "over" if the heat exceeded the tightest limit, else ""."""
    job, ticket = job_and_ticket(state, event.ticket)
    step = None if job is None or ticket is None else step_at(job, ticket, event.step)
    if step is None or step.phase not in HOT_PHASES or step.most_seconds is None:
        return ""
    seconds = (step.seconds or 0) + (event.after_deadline or 0.0)
    return "over" if seconds > step.most_seconds else ""


def with_heat_beyond(state: State, name: str, seconds: float) -> State:
    """Add to a ticket's heat beyond its plan; negative if it had less."""
    job, ticket = job_and_ticket(state, name)
    if job is None or ticket is None or not seconds:
        return state
    more = ticket.beyond_seconds + seconds
    return replace(state, job=put(job, replace(ticket, beyond_seconds=more)))


def with_mark(state: State, name: str, mark: str) -> State:
    """Return the state with a mark on a ticket, something to look for at inspection."""
    job, ticket = job_and_ticket(state, name)
    if job is None or ticket is None or not mark or mark in ticket.marks:
        return state
    return replace(state, job=put(job, replace(ticket, marks=(*ticket.marks, mark))))


def count_closings(state: State, change: int = 1) -> State:
    """Return the state with `change` closings of the current job's press, never below 0."""
    job = state.job
    if job is None:
        return state
    press = job.plan.press
    closings = max(0, state.closings.get(press, 0) + change)
    return replace(state, closings={**state.closings, press: closings})
