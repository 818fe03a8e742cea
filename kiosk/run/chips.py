"""The garments that wait for their peel, as chips."""

from __future__ import annotations

from math import ceil, floor

from kiosk.catalog.message import Message, say
from kiosk.catalog.model import Peel
from kiosk.plan.model import Phase
from kiosk.run.model import JobRun, Now, Ticket
from kiosk.run.naming import numbered
from kiosk.run.rack import PeelTime, peel_time
from kiosk.run.views import Chip, Ready

FIVES = 5  # seconds are shown in fives: a wait is no stop watch
MINUTES_FROM = 120


def chips(job: JobRun, now: Now) -> tuple[Chip, ...]:
    """Return the chips of the rack, oldest first, then that of a garment waiting in hand."""
    waiting = (*job.rack, job.slot) if _in_hand(job) else job.rack
    found = (chip(job, job.tickets[name], now) for name in waiting)
    return tuple(each for each in found if each is not None)


def chip(job: JobRun, ticket: Ticket, now: Now) -> Chip | None:
    """Return the chip of one ticket; None where it waits for nothing."""
    time, wait = peel_time(job, ticket, now), job.plan.passes[ticket.passage].wait
    if time is None or wait is None:
        return None
    ready = ready_at(time)
    return Chip(
        ticket=ticket.id,
        number=numbered(ticket),
        peel=wait.peel,
        from_seconds=time.from_seconds,
        to_seconds=time.to_seconds,
        share=_share(time.waited, wait.from_seconds),
        ready=ready,
        uncertain=time.uncertain,
        word=say(f"chip.{wait.peel.word}"),
        line=_line(ready, time),
        set=ticket.garment.set,
    )


def ready_at(time: PeelTime) -> Ready:
    """Return the zone of a garment whose peel is due in `time`."""
    if time.from_seconds > 0:
        return Ready.SOON
    return Ready.NOW if time.to_seconds >= 0 else Ready.LATE


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


def _line(ready: Ready, time: PeelTime) -> Message:
    about = "_about" if time.uncertain else ""
    if ready is not Ready.SOON:
        return say(f"chip.{'now' if ready is Ready.NOW else 'late'}{about}")
    if time.from_seconds < MINUTES_FROM:
        low, high = _span(time, FIVES)
        return say(f"chip.seconds{about}", low=low * FIVES, high=high * FIVES)
    low, high = _span(time, 60)
    return say(f"chip.minutes{about}", low=low, high=high)


def _span(time: PeelTime, unit: int) -> tuple[int, int]:
    """From and to in whole units, inward: what is shown is never too early nor too late."""
    low = ceil(time.from_seconds / unit)
    return low, max(low, floor(time.to_seconds / unit))
