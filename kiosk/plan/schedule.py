"""How long a job takes, as a range: from this shop's own cycles, or plain handling times."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from kiosk.catalog.model import Peel
from kiosk.plan.handling import NOTHING, RACKING, SETTLING, Span, hands, work
from kiosk.plan.model import HOT_PHASES, Pass, Phase, Place, Plan, Step
from kiosk.plan.past import Past


def minutes(plan: Plan, garments: int, past: Mapping[int, Past] | None = None) -> tuple[int, int]:
    """Return the whole minutes that `garments` take, quick and slow; a range is all there is.

    Counted: the steps of each garment, changes of setting with their settling, and after each
    lot the wait of its last garment. On the rack a peel costs no time of its own in the quick
    case as long as it fits into a closing. Not counted: breaks, scrap, fetching.
    """
    total = whole_job(plan, garments, past or {}).seconds
    return math.floor(total.low / 60), math.ceil(total.high / 60)


def whole_job(plan: Plan, garments: int, past: Mapping[int, Past]) -> Left:
    """Return how long a job of so many garments takes that nothing is done of yet."""
    left = time_left(plan, {index: garments for run in plan.runs for index in run}, past)
    changes = bool(plan.settings and plan.settings[0].setting_change)
    return replace(left, seconds=left.seconds + SETTLING) if changes else left


@dataclass(frozen=True, slots=True)
class Left:
    """Seconds until a job is done; `cycles` is how many of the shop's own they rest on, 0: none."""

    seconds: Span
    cycles: int


def time_left(plan: Plan, garments: Mapping[int, int], past: Mapping[int, Past]) -> Left:
    """Return how long the garments still to press take, given how many by pass index.

    `past` has the shop's own cycles by run. They are used where each run with garments left
    has some, from the lower to the upper quartile; else the plain handling times are.
    """
    ahead = {n: [i for i in run if garments.get(i, 0) > 0] for n, run in enumerate(plan.runs)}
    ahead = {run: passes for run, passes in ahead.items() if passes}
    own = bool(ahead) and ahead.keys() <= past.keys()
    total, before = NOTHING, -1
    for run, passes in ahead.items():
        total += _change(plan, before, passes[0])
        if own:
            most = max(garments[index] for index in passes)
            total += Span(past[run].low, past[run].high).times(most)
        else:
            for index in passes:
                each = _garment(plan.passes[index], plan.closes_in_seconds)
                total += each.times(garments[index])
        total += _last_wait(plan.passes[passes[-1]])
        before = passes[-1]
    return Left(total, min(past[run].cycles for run in ahead) if own else 0)


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


def _change(plan: Plan, before: int, index: int) -> Span:
    """The press reaching the temperature of pass `index` after another one; -1 for none."""
    if before < 0 or _temperature(plan.passes[before]) == _temperature(plan.passes[index]):
        return NOTHING
    return SETTLING


def _temperature(each: Pass) -> int | None:
    return next(s.temperature for s in each.steps if s.phase is Phase.FINAL)
