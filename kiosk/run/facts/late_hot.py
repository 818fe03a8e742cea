"""A hot peel that comes minutes after its time: nobody takes it for good unseen."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.catalog.model import Peel
from kiosk.plan.heat import is_guessed, last_call
from kiosk.plan.model import Pass, Phase
from kiosk.run.facts.peels import own_wait
from kiosk.run.facts.tickets import pass_of
from kiosk.run.state.event import Now, elapsed
from kiosk.run.state.model import JobRun, Ticket

LATE_SECONDS = 120.0
"""After the hot window: whoever peels at once has looked it over by then (common practice)."""

LATE = "late"
"""The mark of a garment whose hot peel was late."""


def asks_how_it_peeled(job: JobRun, ticket: Ticket, now: Now) -> bool:
    """Return whether the garment at the press is asked about before it can be good."""
    return LATE in ticket.marks or late_seconds(job, ticket, now) is not None


def late_seconds(job: JobRun, ticket: Ticket, now: Now) -> float | None:
    """Return how long after its hot window a hot peel at hand comes, None where it is in time."""
    window = hot_window(job, ticket)
    if window is None or ticket.opened is None or not owes_hot(pass_of(job, ticket), ticket):
        return None
    late = elapsed(ticket.opened, now)[0] - window.high
    return late if late > LATE_SECONDS else None


def owes_hot(passage: Pass, ticket: Ticket) -> bool:
    """Return whether a hot peel is what comes next."""
    if ticket.peeled or ticket.hot_peeled or ticket.step >= len(passage.steps):
        return False
    step = passage.steps[ticket.step]
    return step.phase is Phase.PEEL and step.peel is Peel.HOT


@dataclass(frozen=True, slots=True)
class HotWindow:
    """The end of a hot window, seconds after opening: its range, and when it is called late.

    `by` is `.guess` where a guess says it.
    """

    low: float
    high: float
    late: float
    by: str


def hot_window(job: JobRun, ticket: Ticket) -> HotWindow | None:
    """Return when the hot window ends: it is peeled where it was pressed."""
    passage = pass_of(job, ticket)
    stages = passage.stages or (() if passage.wait is None else (passage.wait,))
    if not stages or stages[0].peel is not Peel.HOT:
        return None
    wait = own_wait(passage, ticket, stages[0])
    if wait.late is None:
        by = ".guess" if is_guessed(wait) else ""
        return HotWindow(wait.to_seconds, wait.to_seconds, wait.to_seconds, by)
    end, by_guess = last_call(wait)
    return HotWindow(end, wait.late.high, wait.late.middle, ".guess" if by_guess else "")
