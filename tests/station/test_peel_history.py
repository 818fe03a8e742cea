"""A garment's own heat: pressed as planned, it is as hot as the plan says."""

from __future__ import annotations

import sys
from dataclasses import replace
from itertools import takewhile
from pathlib import Path

import pytest
from run_samples import on_shift, team

from kiosk.heat.garment import GarmentPlace
from kiosk.peel.history import garment_history
from kiosk.plan.heat.story import AFTER_HEAT, LOWER_WARM, PAD_WARM, solved_pass
from kiosk.plan.sources import HeatStack
from kiosk.run.state import commands as c
from kiosk.run.state.cooling import PadHeat, Pressing
from kiosk.run.state.event import Now
from kiosk.run.state.state import State

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "train"))

from catalog_jobs import planned

NEAR = 1.0  # K: the plan has the garment on the pad while it is loaded, the history for 10 s


def begun(recipe: str) -> tuple[State, HeatStack]:
    """Return a job at the press with nothing pressed, and its heat stack."""
    plan = planned(recipe)
    bench = on_shift()
    bench.do(c.StartJob(plan.job, plan, "hash", team("12", "13")))
    stack = plan.passes[0].heat
    assert stack is not None
    return bench.state, stack


def at(seconds: float) -> Now:
    return Now("boot-1", 1000.0 + seconds, 1_700_000_000.0 + seconds)


def as_planned(stack: HeatStack, ticket: str, job: str) -> tuple[Pressing, ...]:
    """Return every closing as planned in time and length; the garment is loaded at 0."""
    made, clock = [], 0.0
    for step, state in enumerate(takewhile(lambda s: s.phase not in AFTER_HEAT, stack.states)):
        if state.closed:
            made.append(Pressing(ticket, step, at(clock), at(clock + state.seconds), job))
        clock += state.seconds
    return tuple(made)


def bond(state: State) -> float:
    """Return the bond's temperature as the last closing ends."""
    history = garment_history(state)
    assert history is not None
    found = history.solved.whole.samples[-1].bond
    assert found is not None
    return found


@pytest.mark.parametrize("recipe", ["two-layer-pair", "both-sides"])
def test_a_garment_pressed_as_planned_is_as_hot_as_the_plan_says(recipe: str) -> None:
    """After every closing but the bare cloth's: two tacks through carriers and a final, or one."""
    state, stack = begun(recipe)
    assert state.job is not None
    solved = solved_pass(stack, GarmentPlace.LIFTED)
    cells = {name: len(solved.end[name]) for name in ("pad", "lower")}
    pad = PadHeat(at(0.0), (PAD_WARM,) * cells["pad"], (LOWER_WARM,) * cells["lower"])
    pressed = as_planned(stack, state.job.slot, state.job.job)
    laid = [n for n, each in enumerate(pressed, 1) if stack.states[each.step].films]
    assert laid
    for count in laid:
        found = bond(replace(state, pad=pad, pressings=pressed[:count]))
        ended = pressed[count - 1].ended.clock - at(0.0).clock
        assert found == pytest.approx(solved.whole.at(ended), abs=NEAR)


def test_a_second_garment_gets_only_the_heat_the_pad_kept() -> None:
    """Pressed alike, minutes later: a tack ends within a few degrees of the first one's."""
    state, stack = begun("two-layer-pair")
    assert state.job is not None
    first, second = (name for name in list(state.job.tickets)[:2])
    before = as_planned(stack, first, state.job.job)[:2]
    later = [
        replace(each, ticket=second, began=each.began.later(90.0), ended=each.ended.later(90.0))
        for each in before
    ]
    alone = bond(replace(state, pressings=before))
    after = bond(replace(state, pressings=(*before, *later)))
    assert alone < after < alone + 8.0


@pytest.mark.parametrize(("days", "closed"), [(2.0, 0.0), (0.0, 2.0)])
def test_a_garment_left_for_days_between_closings_is_cold_and_solved_quickly(
    days: float, closed: float
) -> None:
    """Solving a year took hours, and no other garment got an estimate meanwhile.

    It happens if the machine is off with a garment half done, or the wall clock is set forward. By
    Newton's law of cooling nothing of the first closing is left; two days closed end as hot as
    three hours do.
    """
    state, stack = begun("two-layer-pair")
    assert state.job is not None
    tack, final = as_planned(stack, state.job.slot, state.job.job)[1:3]
    away = days * 86400.0
    then = Pressing(
        final.ticket,
        final.step,
        Now("boot-2", 20.0, final.began.wall + away),
        Now("boot-2", 40.0 + closed * 86400.0, final.began.wall + away + 20.0 + closed * 86400.0),
        final.job,
    )
    left = replace(state, pressings=(tack, then))
    history = garment_history(left)
    assert history is not None
    assert history.solved.whole.samples[-1].time < 4 * 3600
    three = replace(
        then, ended=replace(then.ended, clock=20.0 + min(closed * 86400.0 + 20.0, 3 * 3600.0))
    )
    alone = replace(state, pressings=(three,) if days else (tack, three))
    assert bond(left) == pytest.approx(bond(alone), abs=0.1)


@pytest.mark.parametrize("gap", [0.0, 4.0, 10.0, 11.0, 900.0])
def test_the_solved_history_lasts_as_long_as_the_clock_says(gap: float) -> None:
    """From the opening before to the end of the last closing, every second exactly once."""
    state, stack = begun("two-layer-pair")
    assert state.job is not None
    pressed = as_planned(stack, state.job.slot, state.job.job)[:3]
    cells = {
        name: len(solved_pass(stack, GarmentPlace.LIFTED).end[name]) for name in ("pad", "lower")
    }
    before = PadHeat(
        at(pressed[0].began.clock - at(0.0).clock - gap),
        (PAD_WARM,) * cells["pad"],
        (LOWER_WARM,) * cells["lower"],
    )
    history = garment_history(replace(state, pad=before, pressings=pressed))
    assert history is not None
    whole = pressed[-1].ended.clock - pressed[0].began.clock + gap
    assert history.solved.whole.samples[-1].time == pytest.approx(whole, abs=0.01)


def test_a_press_open_for_longer_leaves_the_next_garment_cooler() -> None:
    """Second law: a pad that only loses heat gets colder with time, never below room."""
    state, stack = begun("two-layer-pair")
    assert state.job is not None
    tacked = as_planned(stack, state.job.slot, state.job.job)[:2]
    cells = {
        name: len(solved_pass(stack, GarmentPlace.LIFTED).end[name]) for name in ("pad", "lower")
    }
    warm = ((PAD_WARM,) * cells["pad"], (LOWER_WARM,) * cells["lower"])
    began = tacked[0].began.clock - at(0.0).clock
    found = [
        bond(replace(state, pad=PadHeat(at(began - gap), *warm), pressings=tacked))
        for gap in (10.0, 600.0, 7200.0)
    ]
    cold = bond(replace(state, pressings=tacked))
    assert found[0] > found[1] + 1.0 > found[2] + 2.0
    assert found[2] > cold - 0.5


@pytest.mark.parametrize("again", [True, False])
def test_another_garment_or_the_same_step_again_begins_cold(again: bool) -> None:
    """Twenty seconds after a tack the same stack would still have most of its heat.

    heat.md: lifted cloth takes 30 s and more to 65 °C.
    """
    state, stack = begun("two-layer-pair")
    assert state.job is not None
    first, second = (name for name in list(state.job.tickets)[:2])
    tack, next_tack = as_planned(stack, first, state.job.job)[1:3]
    late = tack.ended.clock - tack.began.clock + 20.0
    then = tack if again else replace(next_tack, ticket=second, began=tack.began, ended=tack.ended)
    then = replace(then, began=then.began.later(late), ended=then.ended.later(late))
    alone = bond(replace(state, pressings=(then,)))
    after = bond(replace(state, pressings=(tack, then)))
    goes_on = replace(next_tack, began=then.began, ended=then.ended)
    kept = bond(replace(state, pressings=(tack, goes_on)))
    fresh = bond(replace(state, pressings=(goes_on,)))
    assert after - alone < 0.5 * (kept - fresh)


def test_closings_of_another_job_leave_their_heat_in_the_pad() -> None:
    """Nothing is known of its layers; the platen was on the pad all the same."""
    state, stack = begun("two-layer-pair")
    assert state.job is not None
    own = as_planned(stack, state.job.slot, state.job.job)[:2]
    others = tuple(
        replace(each, job="another", began=each.began.later(-90.0), ended=each.ended.later(-90.0))
        for each in own
    )
    alone = bond(replace(state, pressings=own))
    after = bond(replace(state, pressings=(*others, *own)))
    assert alone + 1.0 < after < alone + 15.0


def test_a_pass_without_a_model_does_not_affect_the_next_pass() -> None:
    """A film too rough for the model on one panel, a smooth one on the other."""
    state, stack = begun("two-layer-pair")
    job = state.job
    assert job is not None
    pressed = as_planned(stack, job.slot, job.job)
    alone = bond(replace(state, pressings=pressed))
    smooth = job.plan.passes[0]
    plan = replace(job.plan, passes=(replace(smooth, heat=None), smooth))
    second = replace(job.tickets[job.slot], passage=1)
    both = replace(job, plan=plan, tickets={**job.tickets, job.slot: second})
    assert bond(replace(state, job=both, pressings=pressed)) == alone
