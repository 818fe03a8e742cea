"""The sampled curve that the station and the page draw."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from plan_samples import material, single_plan, stack_plan

from kiosk.catalog.model.sheets import Peel, Surface
from kiosk.heat.curve import Curve
from kiosk.plan.heat.story import solved_pass
from kiosk.plan.heat.summary import COOLING, HeatCurve, cooling_place, heat_curve
from kiosk.plan.model import Pass, Phase


def curve_of(each: Pass) -> HeatCurve:
    curve = heat_curve(each)
    assert curve is not None
    return curve


@pytest.mark.parametrize("peel", list(Peel))
def test_the_thinned_curve_stays_close_to_the_solved_one(peel: Peel) -> None:
    """The drawn lines are everywhere within 1.5 K of the solved curve."""
    each = single_plan(peel, sheet=True).passes[0]
    assert each.heat is not None
    curve = curve_of(each)
    solved = solved_pass(each.heat, cooling_place(each)).whole
    thinned = Curve(curve.points)
    assert len(curve.points) < 0.8 * len(solved.samples)
    for sample in solved.samples:
        found = thinned.at(sample.time)
        # a change of stage has two temperatures at one time
        if sample.bond is None or found is None or sample.time > curve.end:
            continue
        times = {p.time for p in curve.points}
        if sample.time not in times:
            assert found == pytest.approx(sample.bond, abs=1.5)


def test_the_phases_join_without_gaps_and_end_with_cooling() -> None:
    curve = curve_of(stack_plan().passes[0])
    assert [span.phase for span in curve.phases][-2:] == [Phase.FINAL.value, COOLING]
    assert all(first.end == second.start for first, second in pairwise(curve.phases))
    assert [span.phase for span in curve.phases if span.closed] == [
        Phase.PRE_PRESS.value, Phase.TACK.value, Phase.TACK.value, Phase.FINAL.value,
    ]  # fmt: skip
    assert curve.opened == curve.phases[-1].start
    assert curve.points[-1].time == curve.end


@pytest.mark.parametrize(
    ("peel", "levels"), [(Peel.HOT, ["hot"]), (Peel.WARM, ["warm_from", "warm_to"]),
                         (Peel.COLD, ["cold"])]
)  # fmt: skip
def test_the_levels_drawn_are_those_of_the_peel(peel: Peel, levels: list[str]) -> None:
    assert [level.name for level in curve_of(single_plan(peel).passes[0]).levels] == levels


def test_the_curve_is_long_enough_to_show_when_the_peel_is_late() -> None:
    curve = curve_of(single_plan(Peel.WARM).passes[0])
    assert curve.wait is not None
    assert curve.wait.late is not None
    assert curve.opened + curve.wait.late.high < curve.end


def test_a_pass_without_a_model_has_no_curve() -> None:
    pile = replace(material(), surface=Surface.PILE)
    assert heat_curve(single_plan(Peel.COLD, materials=(pile,)).passes[0]) is None
