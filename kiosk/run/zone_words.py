"""The zones of a peel in words: too soon with its range, peel now, window closing, late."""

from __future__ import annotations

from math import ceil, floor, inf

from kiosk.catalog.message import Message, say
from kiosk.catalog.model import Peel
from kiosk.plan.model import PeelWait
from kiosk.run.at import Now, elapsed
from kiosk.run.model import JobRun, Ticket
from kiosk.run.rack import BY_SHEET, PeelTime
from kiosk.run.tickets import pass_of
from kiosk.run.views import Ready

FIVES = 5  # seconds are shown in fives: a wait is no stop watch
QUARTERS = 15
MINUTES_FROM = 120
LAST_SECONDS = 60  # of a window that is open


def ready_at(time: PeelTime) -> Ready:
    """Return the zone of a garment whose peel is due in `time`."""
    if time.from_seconds > 0:
        return Ready.SOON
    return Ready.NOW if time.to_seconds >= 0 else Ready.LATE


def hot_words(job: JobRun, ticket: Ticket, now: Now) -> Message | None:
    """Return what is left of the hot window at the press; None where nothing is peeled hot."""
    window = _hot_window(job, ticket)
    if window is None or ticket.opened is None:
        return None
    waited, certain = elapsed(ticket.opened, now)
    if not certain or waited >= window[1]:
        return say("time.hot.late")
    if waited >= window[0]:
        return say("time.hot.closing")
    low, high = floor(window[0] - waited), ceil(window[2] - waited)
    return say("time.hot" if high > low + 1 else "time.hot.sheet", low=low, high=high)


def _hot_window(job: JobRun, ticket: Ticket) -> tuple[float, float, float] | None:
    """Its end in seconds after opening, low, middle and high: it is peeled where it was pressed."""
    passage, estimate = pass_of(job, ticket), ticket.estimate
    stages = passage.stages or (() if passage.wait is None else (passage.wait,))
    if not stages or stages[0].peel is not Peel.HOT:
        return None
    wait: PeelWait | None = stages[0]
    own = estimate.on_pad if estimate is not None and estimate.opened == ticket.opened else ()
    if own and stages[0].source != BY_SHEET:
        wait = own[0]
    if wait is None:
        return None
    if wait.late is None:
        return wait.to_seconds, wait.to_seconds, wait.to_seconds
    return wait.late.low, wait.late.middle, wait.late.high


def zone_words(prefix: str, time: PeelTime) -> Message:
    """Return the zone's sentence `<prefix>.<zone>`; ranges run down to the start of "now"."""
    if time.from_seconds == inf:
        return say(f"{prefix}.never")
    about = "_about" if time.uncertain else "_if_lifted" if time.assumed else ""
    ready = ready_at(time)
    if ready is Ready.LATE:
        return say(f"{prefix}.late{about}")
    if ready is Ready.NOW:
        return _now_words(prefix, time, about)
    if time.window:
        return _window_words(prefix, time, about)
    if time.low < MINUTES_FROM:
        unit = FIVES if time.from_seconds < MINUTES_FROM else QUARTERS
        low, high = _span(time, unit)
        return say(f"{prefix}.seconds{about}", low=low * unit, high=high * unit)
    low, high = _span(time, 60)
    return say(f"{prefix}.minutes{about}", low=low, high=high)


def _now_words(prefix: str, time: PeelTime, about: str) -> Message:
    """What is left of a sheet's window is told once it runs out."""
    if time.window and not about and time.to_seconds < LAST_SECONDS:
        left = floor(time.to_seconds / FIVES) * FIVES
        return say(f"{prefix}.left", left=left) if left else say(f"{prefix}.closing")
    return say(f"{prefix}.closing" if time.closing <= 0 else f"{prefix}.now{about}")


def _window_words(prefix: str, time: PeelTime, about: str) -> Message:
    """A sheet's own window: from when, and until when only where that end is near.

    Inward: never too early, nor too late.
    """
    low, high = (n * FIVES for n in (ceil(time.low / FIVES), floor(time.high / FIVES)))
    if high < MINUTES_FROM:
        return say(f"{prefix}.from_by{about}", low=low, high=max(low, high))
    if low < MINUTES_FROM:
        return say(f"{prefix}.from{about}", low=low)
    return say(f"{prefix}.from_minutes{about}", low=ceil(time.low / 60))


def _span(time: PeelTime, unit: int) -> tuple[int, int]:
    """The range in whole units; an estimate's is told no narrower than it is."""
    low = max(0, floor(time.low / unit))
    return low, max(low + 1, ceil(time.high / unit))
