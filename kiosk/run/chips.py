"""The garments that wait for their peel, as chips."""

from __future__ import annotations

from kiosk.catalog.message import say
from kiosk.catalog.model import Peel
from kiosk.plan.model import Phase
from kiosk.run.model import JobRun, Now, Ticket
from kiosk.run.naming import numbered
from kiosk.run.rack import serve_next, shown_wait, time_of
from kiosk.run.views import Chip
from kiosk.run.zone_words import ready_at, zone_words


def chips(job: JobRun, now: Now) -> tuple[Chip, ...]:
    """Return the chips of the rack, oldest first, then that of a garment waiting in hand."""
    waiting = (*job.rack, job.slot) if _in_hand(job) else job.rack
    following = serve_next(job, now) if len(job.rack) > 1 else ""
    found = (chip(job, job.tickets[name], now, name == following) for name in waiting)
    return tuple(each for each in found if each is not None)


def chip(job: JobRun, ticket: Ticket, now: Now, following: bool = False) -> Chip | None:
    """Return the chip of one ticket, `following` where it is served next; None for no wait."""
    wait = shown_wait(job, ticket, now)
    time = time_of(job, ticket, now, wait)
    if time is None or wait is None:
        return None
    ready = ready_at(time)
    return Chip(
        ticket=ticket.id,
        number=numbered(ticket),
        peel=wait.peel,
        from_seconds=time.from_seconds,
        to_seconds=time.to_seconds,
        share=_share(time.waited, time.waited + time.from_seconds),
        ready=ready,
        uncertain=time.uncertain,
        set=ticket.garment.set,
        word=say(f"chip.{wait.peel.word}{'.next' if following else ''}"),
        line=zone_words("chip", time),
        following=following,
    )


def _in_hand(job: JobRun) -> bool:
    """Whether the garment in the slot waits, out of the press, for a peel that is not hot.

    One that cools on the rack otherwise stays in the slot where it was pressed short.
    """
    if not job.slot:
        return False
    ticket = job.tickets[job.slot]
    passage = job.plan.passes[ticket.passage]
    if passage.wait is None or passage.wait.peel is Peel.HOT:
        return False
    return any(step.phase is Phase.FINAL for step in passage.steps[: ticket.step])


def _share(waited: float, wait: float) -> float:
    return 1.0 if wait <= 0 else min(1.0, max(0.0, waited / wait))
