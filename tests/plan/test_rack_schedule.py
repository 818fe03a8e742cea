"""Garments that cool while the next is pressed: the time is close to that of the press alone."""

from __future__ import annotations

from dataclasses import replace

import pytest
from plan_samples import fabric, material, single_plan

from kiosk.catalog.model.house import Cloth, FabricHeat
from kiosk.catalog.model.sheets import Peel
from kiosk.plan.model import PeelPlace, Phase, Plan
from kiosk.plan.time.finish import Beat, flat_places, play_lot, time_left
from kiosk.plan.time.handling import RACKING, work

GARMENTS = 24
LIGHT = FabricHeat(Cloth.LIGHT)
LATE = (Phase.PEEL, Phase.INSPECT)


def at_the_press(plan: Plan) -> tuple[float, float]:
    """Return seconds that a garment occupies the press, load to rack, for quick and slow hands.

    Slow hands take longer to peel and inspect than a final lasts, so the press waits for the rest.
    """
    steps = plan.passes[0].steps
    spans = [RACKING, *(work(s, plan.closes_in_seconds) for s in steps if s.phase not in LATE)]
    later = [work(s, plan.closes_in_seconds) for s in steps if s.phase in LATE]
    final = max(step.seconds or 0 for step in steps)
    over = max(0.0, sum(s.high for s in later) - final)
    return sum(s.low for s in spans), sum(s.high for s in spans) + over


def cold_wait(plan: Plan) -> float:
    wait = plan.passes[0].wait
    assert wait is not None
    assert plan.passes[0].place is PeelPlace.RACK
    return wait.from_seconds


def test_24_cold_peels_take_little_more_than_the_press_alone() -> None:
    """At most a tenth more on the usual light cloth, and never more than one wait."""
    plan = single_plan(Peel.COLD, sheet=True, fabric=replace(fabric(), heat=LIGHT))
    took = time_left(plan, {0: GARMENTS}, {}).seconds
    for seconds, bound in zip((took.low, took.high), at_the_press(plan), strict=True):
        assert GARMENTS * bound < seconds < 1.1 * GARMENTS * bound
        assert seconds < 0.5 * GARMENTS * (bound + cold_wait(plan))


def test_a_rack_peel_adds_only_the_last_garments_wait() -> None:
    """Two jobs that differ only in the sheet's wait."""
    waits = ("60 s", "160 s")
    plans = [
        single_plan(Peel.COLD, materials=(material(waits={Peel.COLD: (wait, "900 s")}),))
        for wait in waits
    ]
    took = [time_left(plan, {0: GARMENTS}, {}).seconds for plan in plans]
    assert took[1].low - took[0].low == pytest.approx(100.0, abs=15.0)


def test_rack_places_are_the_garments_cooling_at_the_same_time() -> None:
    """A garment every 40 s, ready after 170 s: it is peeled in the fifth closing after its own."""
    beats = (Beat(22.0), Beat(0.0, 15.0))
    lot = play_lot(beats, 3.0, 10.0, 170.0, 10)
    assert lot.places == 5
    # ten cycles, then the last one's wait and peel
    assert lot.seconds == pytest.approx(10 * 40.0 - 3.0 + 170.0 + 10.0)


def test_a_wait_shorter_than_a_cycle_needs_one_place() -> None:
    assert play_lot((Beat(22.0), Beat(0.0, 15.0)), 3.0, 10.0, 20.0, 10).places == 1


def test_peels_longer_than_a_closing_delay_the_press_by_the_excess() -> None:
    beats = (Beat(22.0), Beat(0.0, 15.0))
    short, long = (play_lot(beats, 3.0, later, 20.0, 20).seconds for later in (15.0, 19.0))
    assert long - short == pytest.approx(20 * 4.0)


@pytest.mark.parametrize("wait", [170.0, 1.0])
def test_a_long_lot_continues_at_the_same_pace(wait: float) -> None:
    """It ends with the last wait, or with the press if nothing is waiting any more."""
    beats = (Beat(22.0), Beat(0.0, 15.0))
    times = [play_lot(beats, 3.0, 10.0, wait, count).seconds for count in (59, 60, 61, 500)]
    assert times[2] - times[1] == pytest.approx(times[1] - times[0])
    assert times[3] - times[1] == pytest.approx(440 * 40.0)


def test_a_hot_peel_job_needs_no_rack_places() -> None:
    assert flat_places(single_plan(Peel.HOT), GARMENTS) == 0


def test_a_job_never_needs_more_places_than_garments() -> None:
    plan = single_plan(Peel.COLD)
    assert flat_places(plan, 1) == 1
    assert flat_places(plan, 0) == 0
    assert 1 < flat_places(plan, GARMENTS) <= 12


def test_a_longer_wait_needs_more_places() -> None:
    plan = single_plan(Peel.COLD)
    each = plan.passes[0]
    assert each.wait is not None
    slow = replace(each.wait, from_seconds=400.0, prompt_seconds=400.0)
    longer = replace(plan, passes=(replace(each, wait=slow),))
    assert flat_places(longer, GARMENTS) > flat_places(plan, GARMENTS)


def test_the_slow_estimate_waits_for_the_first_call() -> None:
    plan = single_plan(Peel.COLD)
    (each,) = plan.passes
    assert each.wait is not None
    late_call = replace(
        plan, passes=(replace(each, wait=replace(each.wait, prompt_seconds=700.0)),)
    )
    took, later = (time_left(each_plan, {0: 1}, {}).seconds for each_plan in (plan, late_call))
    assert later.low == took.low
    assert later.high - took.high == pytest.approx(700.0 - each.wait.from_seconds)
