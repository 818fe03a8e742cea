"""Reports, touches and lessons while a garment cools."""

from kiosk.plan.model import Phase
from kiosk.run.facts.tickets import label_of, pass_of
from kiosk.run.state import (
    CoolingPlace,
    Decision,
    Now,
    Refusal,
    State,
    Ticket,
    TicketStage,
    TouchFeel,
    refuse,
)
from kiosk.run.state import commands_shift as s
from kiosk.run.state import events_station as st

READINGS_CELSIUS = (0.0, 250.0)
"""The range of plausible thermometer readings for a pressed garment."""


def give_estimate(state: State, command: s.GiveEstimate, now: Now) -> Decision:
    """Keep an estimate, unless the opening it counts from has been changed since."""
    ticket = None if state.job is None else state.job.tickets.get(command.ticket)
    if ticket is None or ticket.opened != command.estimate.opened:
        return ()
    return (st.PeelEstimated(now, ticket.id, command.estimate, command.pad),)


def say_place(state: State, command: s.SayPlace, now: Now) -> Decision:
    """Record whether a garment was lifted or left on the pad, while its peel is pending."""
    ticket = _cooling(state, command.ticket)
    if isinstance(ticket, Refusal):
        return ticket
    if command.lies is CoolingPlace.NOT_SAID:
        return refuse("place.where")
    if command.lies is ticket.lies:
        return ()
    return (st.PlaceSaid(now, ticket.id, command.lies),)


def touch(state: State, command: s.ReportTouch, now: Now) -> Decision:
    """Record a touch or thermometer reading of a garment whose peel is pending."""
    ticket = _cooling(state, command.ticket)
    if isinstance(ticket, Refusal):
        return ticket
    if command.feels is not TouchFeel.READING:
        return (st.Touched(now, ticket.id, command.feels),)
    low, high = READINGS_CELSIUS
    if command.celsius is None or not low <= command.celsius <= high:
        return refuse("touch.reading")
    return (st.Touched(now, ticket.id, command.feels, command.celsius),)


def learn(state: State, command: s.LearnPeel, now: Now) -> Decision:
    """Keep a lesson."""
    return (
        st.PeelLearned(
            now,
            command.ticket,
            command.lies,
            command.taught,
            command.seen_seconds,
            command.ready_seconds,
            command.spread,
            command.kept,
            command.low,
            command.factor,
            command.high,
        ),
    )


def reset_learning(state: State, command: s.ResetLearning, now: Now) -> Decision:
    """Forget everything learned for one way of cooling; a supervisor's decision."""
    if not command.supervisor.strip():
        return refuse("supervisor")
    if command.lies.value not in state.betas:
        return refuse("learning.nothing")
    return (st.LearningReset(now, command.lies, command.supervisor.strip()),)


def waits_for_peel(state: State, ticket: Ticket) -> bool:
    """Return whether a garment was pressed and its last peel is pending."""
    job = state.job
    if job is None or ticket.opened is None or ticket.peeled:
        return False
    if ticket.stage not in (TicketStage.COOLING, TicketStage.AT_PRESS):
        return False
    passage = pass_of(job, ticket)
    before = passage.steps[: ticket.step]
    return passage.wait is not None and any(s.phase is Phase.FINAL for s in before)


def _cooling(state: State, name: str) -> Ticket | Refusal:
    ticket = None if state.job is None else state.job.tickets.get(name)
    if ticket is None:
        return refuse("inspect.no_ticket")
    if not waits_for_peel(state, ticket):
        return refuse("place.not_cooling", number=label_of(ticket))
    return ticket
