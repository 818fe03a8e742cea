"""Whether a garment may be pressed once more: what its totals leave decides."""

from __future__ import annotations

from kiosk.plan.heat_stack import HeatLeft
from kiosk.plan.model import Pass, Phase


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
