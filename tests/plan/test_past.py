"""Minutes from the shop's own cycles, if there are enough of them."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from plan_samples import single_plan, stack_plan

from kiosk.catalog.model.sheets import Peel
from kiosk.plan.time.finish import minutes, time_left, whole_job
from kiosk.plan.time.handling import past_by_run, past_of, procedure


def test_ten_cycles_are_enough_for_an_estimate_and_nine_are_not() -> None:
    assert past_of([60.0] * 9) is None
    past = past_of([60.0] * 10)
    assert past is not None
    assert (past.cycles, past.low, past.high) == (10, 60.0, 60.0)


def test_the_range_runs_from_quartile_to_quartile() -> None:
    """Of 1 to 11 the quartiles are 3.5, 6 and 8.5 (inclusive method, by hand)."""
    past = past_of([float(n) for n in range(1, 12)])
    assert past is not None
    assert (past.low, past.high) == (3.5, 8.5)


def test_the_shops_own_cycles_replace_the_typical_times() -> None:
    plan = single_plan(Peel.HOT)
    past = past_by_run(plan, {procedure(plan, 0): [120.0] * 12})
    assert minutes(plan, 10, past) == (20, 20)
    assert whole_job(plan, 10, past).cycles == 12
    assert whole_job(plan, 10, {}).cycles == 0


def test_the_last_garments_rack_wait_is_added_to_own_cycles_too() -> None:
    plan = single_plan(Peel.COLD)
    past = past_by_run(plan, {procedure(plan, 0): [120.0] * 12})
    wait = plan.passes[0].wait
    assert wait is not None
    assert time_left(plan, {0: 10}, past).seconds.high >= 10 * 120.0 + wait.from_seconds


def test_cycles_of_another_procedure_are_not_used() -> None:
    stack, single = stack_plan(), single_plan(Peel.HOT)
    assert past_by_run(stack, {procedure(single, 0): [120.0] * 12}) == {}


def test_the_jobs_name_is_not_part_of_the_procedure() -> None:
    plan = single_plan(Peel.COLD)
    assert procedure(plan, 0) == procedure(replace(plan, job="other", title="Other"), 0)
    assert procedure(plan, 0) != procedure(single_plan(Peel.HOT), 0)


@pytest.mark.parametrize("peel", [Peel.HOT, Peel.COLD])
def test_every_finished_garment_shortens_the_time_left(peel: Peel) -> None:
    plan = single_plan(peel)
    seconds = [time_left(plan, {0: count}, {}).seconds for count in range(6)]
    assert seconds[0].low == seconds[0].high == 0
    assert all(a.low < b.low and a.high < b.high for a, b in pairwise(seconds))
