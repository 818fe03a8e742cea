"""Re-pressing is offered only if what is left of the totals allows it."""

from __future__ import annotations

from dataclasses import replace

from plan_samples import fabric, single_plan

from kiosk.catalog.model.sheets import Peel
from kiosk.plan.heat.story import broken_by_another_final, final_seconds

# The samples have totals of 60 s; a pre-press of 5 s on the cloth, a final of 15 s on all.


def owners(more_seconds: float = 0.0, total: str = "60 s") -> list[str]:
    each = single_plan(Peel.COLD, fabric=fabric(total=total)).passes[0]
    assert final_seconds(each) == 15
    return [exceeded.owner for exceeded in broken_by_another_final(each, more_seconds)]


def test_a_total_that_just_allows_another_final_is_not_exceeded() -> None:
    assert owners(total="35 s") == []
    assert owners(total="34 s") == ["fabric"]


def test_extra_heat_beyond_the_plan_counts() -> None:
    assert owners(more_seconds=25.0) == []
    assert owners(more_seconds=26.0) == ["fabric"]
    assert owners(more_seconds=31.0) == ["fabric", "name.1", "number.1"]


def test_a_plan_from_an_older_version_has_no_totals_to_exceed() -> None:
    each = replace(single_plan(Peel.COLD).passes[0], heat_left=())
    assert broken_by_another_final(each, 1000.0) == ()
