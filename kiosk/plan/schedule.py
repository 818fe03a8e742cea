"""How long a job takes, as a range, from its steps and plain handling times."""

from __future__ import annotations

import math

from kiosk.catalog.model import Peel
from kiosk.plan.handling import NOTHING, RACKING, SETTLING, Span, hands, work
from kiosk.plan.model import HOT_PHASES, Pass, Phase, Place, Plan, Step


def minutes(plan: Plan, garments: int) -> tuple[int, int]:
    """Return the whole minutes that `garments` take, quick and slow; a range is all there is.

    Counted: the steps of each garment, changes of setting with their settling, and after each
    lot the wait of its last garment. On the rack a peel costs no time of its own in the quick
    case as long as it fits into a closing. Not counted: breaks, scrap, fetching.
    """
    total = NOTHING
    for run in plan.runs:
        passes = [plan.passes[index] for index in run]
        total += _change(plan, run[0])
        for each in passes:
            total += _garment(each, plan.closes_in_seconds).times(garments)
        total += _last_wait(passes[-1]) if garments else NOTHING
    return math.floor(total.low / 60), math.ceil(total.high / 60)


def _garment(each: Pass, closes_in: float) -> Span:
    """One garment in one pass."""
    total = NOTHING
    for step in each.steps:
        if not _at_rack(each, step):
            total += work(step, closes_in)
    if each.place is Place.HAND and each.wait is not None:
        total += Span(each.wait.from_seconds, each.wait.to_seconds)
    return total + _rack_work(each) if each.place is Place.RACK else total


def _rack_work(each: Pass) -> Span:
    """Racking, peeling and inspecting, beside the closings of the next garment."""
    later = NOTHING
    for step in each.steps:
        if _at_rack(each, step):
            later += hands(step)
    closed = sum(step.seconds or 0 for step in each.steps if step.phase in HOT_PHASES)
    return RACKING + Span(max(0.0, later.low - closed), later.high)


def _at_rack(each: Pass, step: Step) -> bool:
    """Whether a step is done after racking; a hot peel never is."""
    late = step.phase is Phase.INSPECT or (step.phase is Phase.PEEL and step.peel is not Peel.HOT)
    return late and each.place is Place.RACK


def _last_wait(each: Pass) -> Span:
    """The last garment of a lot has nothing to hide its wait behind."""
    if each.place is not Place.RACK or each.wait is None:
        return NOTHING
    return Span(each.wait.from_seconds, each.wait.to_seconds)


def _change(plan: Plan, index: int) -> Span:
    """The press reaching the temperature of pass `index`, where that is another one."""
    if index == 0:
        return SETTLING if plan.settings[0].setting_change else NOTHING
    before, after = (_temperature(plan.passes[i]) for i in (index - 1, index))
    return NOTHING if before == after else SETTLING


def _temperature(each: Pass) -> int | None:
    return next(s.temperature for s in each.steps if s.phase is Phase.FINAL)
