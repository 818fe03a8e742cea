"""The zones of a peel in words: too soon with its range, peel now, window closing, late."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor, inf

from kiosk.catalog.message import Message, say
from kiosk.catalog.model import Peel
from kiosk.plan.wait_source import is_guessed, last_call
from kiosk.run.at import Now, elapsed
from kiosk.run.model import JobRun, Ticket
from kiosk.run.rack import PeelTime, own_wait
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
    window = hot_window(job, ticket)
    if window is None or ticket.opened is None:
        return None
    waited, certain = elapsed(ticket.opened, now)
    if not certain or waited >= window.late:
        return say(f"time.hot.late{window.by}")
    if waited >= window.low:
        return say(f"time.hot.closing{window.by}")
    low, high = floor(window.low - waited), ceil(window.high - waited)
    range_ = "" if high > low + 1 else ".one"
    return say(f"time.hot{range_}{window.by}", low=low, high=high)


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


def zone_words(prefix: str, time: PeelTime) -> Message:
    """Return the zone's sentence `<prefix>.<zone>`; ranges run down to the start of "now"."""
    if time.from_seconds == inf:
        return say(f"{prefix}.never")
    about = _about(time)
    ready = ready_at(time)
    if ready is Ready.LATE:
        return say(f"{prefix}.late{about}")
    if ready is Ready.NOW:
        return _now_words(prefix, time, about)
    if time.window or time.low == time.high:  # a moment is no range
        return _window_words(prefix, time, about)
    if time.low < MINUTES_FROM:
        unit = FIVES if time.from_seconds < MINUTES_FROM else QUARTERS
        low, high = _span(time, unit)
        return say(f"{prefix}.seconds{about}", low=low * unit, high=high * unit)
    low, high = _span(time, 60)
    return say(f"{prefix}.minutes{about}", low=low, high=high)


def _about(time: PeelTime) -> str:
    """What the sentence has to say with it: a guess before all else."""
    if time.guessed:
        return "_guess"
    return "_about" if time.uncertain else "_if_lifted" if time.assumed else ""


def _now_words(prefix: str, time: PeelTime, about: str) -> Message:
    """What is left of a written window is told once it runs out."""
    guess = about if time.guessed else ""
    if time.window and about == guess and not time.uncertain and time.to_seconds < LAST_SECONDS:
        left = floor(time.to_seconds / FIVES) * FIVES
        return say(f"{prefix}.left{guess}", left=left) if left else say(f"{prefix}.closing{guess}")
    return say(f"{prefix}.closing{guess}" if time.closing <= 0 else f"{prefix}.now{about}")


def _window_words(prefix: str, time: PeelTime, about: str) -> Message:
    """A written window: from when, and until when only where that end is near.

    Inward: never too early, nor too late.
    """
    end = time.high if time.window else time.to_seconds
    low, high = ceil(time.low / FIVES) * FIVES, floor(end / FIVES) * FIVES
    if high < MINUTES_FROM:
        return say(f"{prefix}.from_by{about}", low=low, high=max(low, high))
    if low < MINUTES_FROM:
        return say(f"{prefix}.from{about}", low=low)
    return say(f"{prefix}.from_minutes{about}", low=ceil(time.low / 60))


def _span(time: PeelTime, unit: int) -> tuple[int, int]:
    """The range in whole units; an estimate's is told no narrower than it is."""
    low = max(0, floor(time.low / unit))
    return low, max(low + 1, ceil(time.high / unit))
