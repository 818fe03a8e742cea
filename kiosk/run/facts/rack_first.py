"""What the rack is owed before the next load: it would be late before the next chance."""

from __future__ import annotations

from kiosk.plan.model import Step
from kiosk.plan.time import NOTHING, hands
from kiosk.run.facts.moves import next_hot
from kiosk.run.facts.peels import peel_time
from kiosk.run.facts.tickets import pass_of, slot_ticket
from kiosk.run.state.event import Now
from kiosk.run.state.model import JobRun, Stage, Ticket

RACK_AFTER_SECONDS = 5.0
LEAST_AFTER_SECONDS = 1.0
LEFT_SECONDS = 4.0


def rack_after(dwell_seconds: float | None) -> float:
    """Return how long the press is closed before forward is the rack's, in seconds.

    A second tap of the closing is over by then. A short closing leaves the rack four seconds.
    """
    if dwell_seconds is None:
        return RACK_AFTER_SECONDS
    return min(RACK_AFTER_SECONDS, max(LEAST_AFTER_SECONDS, dwell_seconds - LEFT_SECONDS))


def rack_first(job: JobRun, now: Now) -> Ticket | None:
    """Return the garment of the rack that is peeled before the next one is loaded, or None.

    It was due when the hands got the load, and would be late before the press is closed again.
    """
    began = job.hands_from
    loading = slot_ticket(job)
    if loading is None or loading.stage is not Stage.AT_PRESS or loading.step:
        return None
    start = began if began is not None and began.boot == now.boot else now
    chance = start.clock + _until_next_chance(job, loading)
    found = []
    for name in job.rack:
        time = None if name == job.leaving else peel_time(job, job.tickets[name], now)
        if time is None or now.clock + time.from_seconds > start.clock:
            continue
        late = now.clock + time.to_seconds
        if late < chance:
            found.append((late, name))
    return job.tickets[min(found)[1]] if found else None


def _until_next_chance(job: JobRun, loading: Ticket) -> float:
    """Seconds until the bar serves the rack again, by slow hands."""
    steps = pass_of(job, loading).steps
    hot = next_hot(pass_of(job, loading), loading.step, loading.skipped)
    if hot is None:
        return 0.0
    work: tuple[Step, ...] = steps[loading.step : hot]
    by_hand = sum((hands(step) for step in work), NOTHING).high
    return by_hand + job.plan.closes_in_seconds + rack_after(steps[hot].seconds)
