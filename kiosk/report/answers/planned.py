"""Planned seconds of what was made: its passes, without the tacks it did not need."""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from itertools import repeat

from kiosk.log.facts import GarmentCount
from kiosk.plan.group import elements_of
from kiosk.plan.model import Pass, Phase, Plan
from kiosk.plan.time import NOTHING, HandTime, spared_by, time_left
from kiosk.report.period import Period

LOT = 10  # garments: enough that the last one's wait hardly counts


def planned_time(period: Period, job: str, plan: Plan, rows: Iterable[GarmentCount]) -> HandTime:
    """Return the planned seconds of all that was made of a job in the shifts read."""
    made_by_passes = Counter[tuple[int, ...]]()
    for each in rows:
        made_by_passes[each.passes] += each.many * each.own
    spans = [_unit(plan, passes).times(count) for passes, count in made_by_passes.items() if count]
    spared = spared_by(plan, _spared(period, job, plan, made_by_passes))
    return sum(spans, NOTHING).less(sum(spared.values(), NOTHING))


def _spared(
    period: Period, job: str, plan: Plan, made_by_passes: Mapping[tuple[int, ...], int]
) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Yield (pass, elements) for each garment made that skipped the tack of those elements.

    A tack made in another shift counts as skipped, because it took no time in this one.
    """
    closings = [c for f in period.logs for c in f.closings if f.stints[c.stint].job == job]
    for index, each in enumerate(plan.passes):
        garments = sum(
            count for passes, count in made_by_passes.items() if index in passes or not passes
        )
        for elements, steps in _tacks(each).items():
            tacked = sum(c.many for c in closings if c.passage == index and c.step in steps)
            yield from repeat((index, elements), max(0, garments - tacked // len(steps)))


def _tacks(each: Pass) -> Mapping[tuple[str, ...], list[int]]:
    """Return a pass's tack steps by the elements tacked, without tacks of all that it lays."""
    found = defaultdict[tuple[str, ...], list[int]](list)
    for nth, step in enumerate(each.steps):
        if step.phase is Phase.TACK:
            found[tuple(sorted({*elements_of(step.pieces)}))].append(nth)
    laid = {*elements_of(name for step in each.steps for name in step.pieces)}
    return {elements: steps for elements, steps in found.items() if {*elements} < laid}


def _unit(plan: Plan, passes: Collection[int]) -> HandTime:
    """Return the planned seconds per garment in a lot, for `passes` (all passes if empty)."""
    indices = range(len(plan.passes))
    lot = time_left(plan, {n: LOT for n in indices if n in (passes or indices)}, {}).seconds
    return HandTime(lot.low / LOT, lot.high / LOT)
