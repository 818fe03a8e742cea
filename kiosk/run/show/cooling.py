"""The garments that wait for their peel, as chips."""

from math import ceil, floor, inf

from kiosk.catalog.base import Message, say
from kiosk.run.facts.peels import PeelTime, Ready, hot_window, ready_at
from kiosk.run.state import JobRun, Now, Ticket, elapsed

FIVES = 5  # seconds are shown in fives: a wait is no stop watch
QUARTERS = 15
MINUTES_FROM = 120
LAST_SECONDS = 60  # of a window that is open


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
    """A written window, inward: from when, and until when only where that end is near."""
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
