"""Whether the press is to be checked before heat, how long a check holds, how often it closed."""

from __future__ import annotations

from kiosk.run.facts.peels import elapsed
from kiosk.run.facts.questions import required_setting
from kiosk.run.facts.tickets import slot_ticket
from kiosk.run.state.anew import replace
from kiosk.run.state.events_shift import Lapse
from kiosk.run.state.model import Check, JobRun, Now, Stage, State
from kiosk.run.state.rules import Demand, Rules

READINGS = 5
PULLS = 4
HOTTEST = 600
"""No press reads more, in either unit: a slip on the pad."""


def check_due(state: State, job: JobRun) -> bool:
    """Return whether the press is to be checked before the garment at hand gets its first heat."""
    if job.rules.verify is Demand.NO:
        return False
    ticket = slot_ticket(job)
    if ticket is None or ticket.stage is not Stage.AT_PRESS or ticket.opened is not None:
        return False
    needed = required_setting(job)
    return needed is not None and not check_holds(state, job, needed)


def check_holds(state: State, job: JobRun, temperature: int) -> bool:
    """Return whether the last check (or a supervisor's word) holds for this job's press so set."""
    check = state.check
    if check is None or not _counts(check):
        return False
    return (check.press, check.temperature) == (job.plan.press, temperature)


def why_lapsed(state: State, job: JobRun, now: Now) -> Lapse | None:
    """Return why the check of this job's press holds no longer at `now`, None while it does."""
    check, rules = state.check, job.rules
    if check is None or not _counts(check) or rules.verify is Demand.NO:
        return None
    if check.press != job.plan.press:
        return None
    if check.at.boot != now.boot:
        return Lapse.RESTART
    if job.setting is not None and job.set_for != check.temperature:
        return Lapse.SETTING
    if elapsed(check.at, now)[0] > rules.verify_seconds:
        return Lapse.TIME
    idle = state.moved is not None and elapsed(state.moved, now)[0] > rules.idle_seconds
    return Lapse.IDLE if idle else None


def offset_of(readings: tuple[int, ...], temperature: int) -> float:
    """Return the mean of the readings minus the set value, degrees."""
    return sum(readings) / len(readings) - temperature


def spread_of(readings: tuple[int, ...]) -> int:
    """Return how far the highest reading is above the lowest, degrees."""
    return max(readings) - min(readings)


def passes(
    rules: Rules, temperature: int, readings: tuple[int, ...], paper_held: tuple[bool, ...]
) -> bool:
    """Return whether a check is good enough by the rules."""
    near = abs(offset_of(readings, temperature)) <= rules.offset_most
    even = spread_of(readings) <= rules.spread_most
    return near and even and all(paper_held)


def _counts(check: Check) -> bool:
    return check.passed or check.waived


def counted(state: State, more: int = 1) -> State:
    """Return the state with `more` closings of the press of the job at hand, none below 0."""
    if state.job is None:
        return state
    press = state.job.plan.press
    closings = max(0, state.closings.get(press, 0) + more)
    return replace(state, closings={**state.closings, press: closings})
