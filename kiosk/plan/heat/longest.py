"""The longest that a closing may last, and whether a garment may be pressed once more."""

from __future__ import annotations

from collections.abc import Iterator

from kiosk.plan.group import Group
from kiosk.plan.model import Closing, Pass, Phase, Purpose
from kiosk.plan.stack import HeatLeft


def longest_closing(group: Group, closing: Closing) -> int | None:
    """Return the most whole seconds of `closing`: dwell, fabric and totals, the least of them.

    None where no limit is known at its temperature.
    """
    limits = [
        *_own(group, closing),
        *_cloth(group, closing.temperature, closing.dwell_seconds),
        *_totals(group, closing),
    ]
    return min(limits, default=None)


def longest_pre_press(group: Group) -> int | None:
    """Return the most whole seconds of the group's pre-press: the fabric's limits alone."""
    limits = _cloth(group, group.first.temperature, group.pre_press_seconds)
    return min(limits, default=None)


def _own(group: Group, closing: Closing) -> Iterator[int]:
    """The highest dwell of the pieces that the closing is for, at its temperature."""
    unit = group.settings.unit
    for piece in closing.pieces:
        material = group.material(piece)
        if closing.purpose is Purpose.TACK:
            if material.tack is not None:
                yield material.tack.high.whole
            continue
        for band in material.dwell:
            if band.start.whole_in(unit) <= closing.temperature <= band.end.whole_in(unit):
                yield band.high.whole


def _cloth(group: Group, temperature: int, seconds: int) -> Iterator[int]:
    """What the fabric bears in one closing, and what its total leaves."""
    unit = group.settings.unit
    for cap in group.fabric.dwell_max:
        if cap.start.whole_in(unit) <= temperature <= cap.end.whole_in(unit):
            yield cap.at_most.whole
    yield group.fabric.total_heat.whole - (group.settings.fabric_heat_seconds - seconds)


def _totals(group: Group, closing: Closing) -> Iterator[int]:
    """What the totals of all pieces under the platen leave."""
    for piece in closing.heated:
        elsewhere = group.settings.element_heat_seconds[piece] - closing.dwell_seconds
        yield group.material(piece).total_heat.whole - elsewhere


def final_seconds(each: Pass) -> int:
    """Return the dwell of the pass's final, whole seconds."""
    return next((s.seconds or 0 for s in each.steps if s.phase is Phase.FINAL), 0)


def broken_by_another_final(each: Pass, more_seconds: float = 0.0) -> tuple[HeatLeft, ...]:
    """Return the totals that one more final of this pass would break; none: it may be offered.

    `more_seconds` is the heat that the garment had beyond the plan so far: over-runs, unasked
    heat, and each final that it was pressed again with. A plan without totals (of an older
    version) breaks none.
    """
    taken = more_seconds + final_seconds(each)
    return tuple(x for x in each.heat_left if x.planned_seconds + taken > x.limit_seconds)
