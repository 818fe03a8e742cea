"""Results of garments, and detours: hold, back, skip, put aside."""

from kiosk.plan.model import Phase
from kiosk.run.facts import tickets
from kiosk.run.facts.hands import CLOSED, last_closing, last_tap
from kiosk.run.facts.moves import (
    has_all_closings,
    hot_ahead,
    is_early,
    last_peel,
    next_hot,
    next_stage,
)
from kiosk.run.facts.peels import (
    due_clock,
    early_seconds,
    hot_at_press,
    hot_late_seconds,
    last_peel_time,
    peel_time,
)
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.defects import CAUSES, DEFECT_IDS
from kiosk.run.state.event import Decision, Now, Refusal, refuse
from kiosk.run.state.events import Confirmed, Finished, NeverClosed, SetAside, Skipped, TakenBack
from kiosk.run.state.events_station import Held
from kiosk.run.state.model import JobRun, Ticket, TicketStage, Undo
from kiosk.run.state.state import State

RESULTS = frozenset({TicketStage.GOOD, TicketStage.ACCEPTED, TicketStage.REWORK, TicketStage.SCRAP})
"""Possible results of an inspection."""


def inspect(state: State, command: c.Inspect, now: Now) -> Decision:
    """Give a result to a ticket at its last move, on the rack, or waiting for a person."""
    job = state.job
    ticket = None if job is None else job.tickets.get(command.ticket)
    if job is None or ticket is None:
        return refuse("inspect.no_ticket")
    refusal = _not_a_result(job, command) or _not_inspectable(state, job, ticket, command.stage)
    if refusal:
        return refusal
    if command.stage is TicketStage.GOOD and ticket.stage is TicketStage.COOLING:
        return confirm_peel(state, job, ticket, now)
    return (result(state, job, ticket, command, now),)


def confirm_peel(state: State, job: JobRun, ticket: Ticket, now: Now) -> Decision:
    """Peeled, good: a garment on the rack is done, or cools on until its next peel."""
    passage = tickets.pass_of(job, ticket)
    if ticket.id == job.leaving and hot_at_press(job) is not None:
        late = hot_late_seconds(job, ticket, now)
        return (Confirmed(now, ticket.id, ticket.step, ticket.step, late_seconds=late),)
    if ticket.peeled or not is_early(passage, ticket.step):
        return (result(state, job, ticket, c.Inspect(ticket.id, TicketStage.GOOD), now),)
    step = next_stage(passage, ticket.step) or ticket.step
    before = _before(state, job, ticket, now)
    return (Confirmed(now, ticket.id, ticket.step, step, seconds_early(job, ticket, now), before),)


def seconds_early(job: JobRun, ticket: Ticket, now: Now) -> float | None:
    """Return the seconds by which the current peel is too early, or None if it is not."""
    return early_seconds(peel_time(job, ticket, now))


def result(state: State, job: JobRun, ticket: Ticket, command: c.Inspect, now: Now) -> Finished:
    """Return a ticket's result: also whether carriers are off, how early or late they came off."""
    good = command.stage is TicketStage.GOOD
    is_peeled = _is_peeled(job, ticket, command, now)
    time = last_peel_time(job, ticket, now)
    too_soon = early_seconds(time) if is_peeled else None
    return Finished(
        now,
        ticket.id,
        command.stage,
        is_peeled,
        _before(state, job, ticket, now),
        "" if good else command.defect,
        "" if good else command.cause,
        "" if good else command.piece,
        too_soon,
        too_soon is not None and time is not None and time.guessed,
        hot_late_seconds(job, ticket, now) if is_peeled else None,
    )


def _not_a_result(job: JobRun, command: c.Inspect) -> Refusal | None:
    if command.stage not in RESULTS:
        return refuse("inspect.stage")
    if command.stage is TicketStage.GOOD:
        return None
    if command.defect not in DEFECT_IDS:
        return refuse("inspect.defect")
    if command.cause and command.cause not in CAUSES:
        return refuse("inspect.cause")
    if command.piece and command.piece not in {p.name for p in job.plan.pieces}:
        return refuse("inspect.piece", piece=command.piece)
    return None


def _not_inspectable(
    state: State, job: JobRun, ticket: Ticket, stage: TicketStage
) -> Refusal | None:
    if ticket.id == job.slot and state.heat is not None:
        return refuse("inspect.hot")
    if ticket.stage not in _INSPECTED:
        return refuse("inspect.not_here", number=tickets.label_of(ticket))
    if stage is TicketStage.SCRAP:
        return None
    if ticket.stage is TicketStage.REWORK and stage is TicketStage.REWORK:
        return refuse("inspect.rework_already")
    if not has_all_closings(job, ticket):
        return refuse("inspect.not_pressed", number=tickets.label_of(ticket))
    return None


_INSPECTED = frozenset(
    {TicketStage.AT_PRESS, TicketStage.COOLING, TicketStage.UNKNOWN, TicketStage.REWORK}
)


def _is_peeled(job: JobRun, ticket: Ticket, command: c.Inspect, now: Now) -> bool:
    """Whether the carriers are off with this result.

    A garment that is not good and whose peel is not due, or that was pressed short, keeps its
    carriers for a possible re-press, unless peeling early is what spoiled it.
    """
    if ticket.peeled or last_peel(tickets.pass_of(job, ticket)) is None:
        return ticket.peeled
    if command.stage in (TicketStage.GOOD, TicketStage.ACCEPTED) or command.cause == "peeled_early":
        return True
    time = last_peel_time(job, ticket, now)
    waits = time is not None and time.from_seconds > 0
    return not waits and "short" not in ticket.marks


def _before(state: State, job: JobRun, ticket: Ticket, now: Now) -> bool:
    """Whether the peel may have been done before the closing during which it is tapped."""
    if state.heat is None or ticket.stage is not TicketStage.COOLING:
        return False
    due = due_clock(job, ticket, now)
    return due is not None and due <= state.heat.closed.clock


def hold_on(state: State, command: c.PutOnHold, now: Now) -> Decision:
    """Hold the station; only while the press is open, because a hold cannot stop heat."""
    return (Held(now, command.reason.strip()),)


def back(state: State, command: c.Back, now: Now) -> Decision:
    """Take back the last tap, unless something was pressed because of it."""
    job = state.job
    if job is None or not job.undo:
        return refuse("back.nothing")
    if job.undo[-1].what == CLOSED and not command.closing_stays:
        return say_never_closed(state, s.SayNeverClosed(), now)
    undo = last_tap(job)
    if undo is None:
        return refuse("back.nothing")
    if any(_has_begun(job, name) for name in undo.opened):
        return refuse("back.replaced")
    if not undo.slot and any(_has_begun(job, name) for name in _later_passes(job, undo)):
        return refuse("back.next_pass")
    return (TakenBack(now, undo.what, undo.tickets[0].id),)


def skip(state: State, command: c.Skip, now: Now) -> Decision:
    """Skip the pre-press that comes next."""
    ticket = tickets.slot_ticket(state.job)
    if state.job is None or ticket is None or ticket.stage is not TicketStage.AT_PRESS:
        return refuse("skip.nothing")
    if not command.reason.strip():
        return refuse("reason")
    hot = hot_ahead(tickets.pass_of(state.job, ticket), ticket)
    if hot is None or not tickets.is_hot(tickets.step_at(state.job, ticket, hot), Phase.PRE_PRESS):
        return refuse("skip.nothing")
    return (Skipped(now, ticket.id, hot, command.reason.strip()),)


def put_aside(state: State, command: c.PutAside, now: Now) -> Decision:
    """Put the ticket aside before its final, or to inspect an unknown outcome later."""
    job, ticket = state.job, tickets.slot_ticket(state.job)
    if job is None or ticket is None:
        return refuse("aside.nothing")
    if not command.reason.strip():
        return refuse("reason")
    if ticket.stage is not TicketStage.UNKNOWN:
        if next_hot(tickets.pass_of(job, ticket), ticket.step) is None:
            return refuse("aside.pressed", number=tickets.label_of(ticket))
        if not tickets.next_ready(job):
            return refuse("aside.last", number=tickets.label_of(ticket))
    return (SetAside(now, ticket.id, command.reason.strip()),)


def _later_passes(job: JobRun, undo: Undo) -> tuple[str, ...]:
    names = [t.id for t in tickets.same_garment(job, undo.tickets[0])]
    return tuple(names[names.index(undo.tickets[0].id) + 1 :])


def _has_begun(job: JobRun, name: str) -> bool:
    """Whether anything was confirmed or pressed on a ticket."""
    ticket = job.tickets.get(name)
    if ticket is None or ticket.stage is TicketStage.VOID:
        return False
    return ticket.step > 0 or ticket.stage not in (TicketStage.WAITING, TicketStage.AT_PRESS)


def say_never_closed(state: State, command: s.SayNeverClosed, now: Now) -> Decision:
    """Take back the last closing, even after its time is up."""
    undo = last_closing(state.job)
    if undo is None or state.job is None:
        return refuse("never_closed.nothing")
    ticket = undo.tickets[0]
    hot = hot_ahead(tickets.pass_of(state.job, ticket), ticket)
    return (NeverClosed(now, ticket.id, ticket.step if hot is None else hot),)
