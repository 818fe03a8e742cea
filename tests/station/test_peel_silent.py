"""What teaches nothing of how fast garments cool, and when no other reading is asked for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest
from cooling_shop import cooling_shop
from peel_press import last, own, press, set_for
from run_samples import Bench as Pressing
from run_samples import on_shift

from kiosk.peel.lessons import lesson, read_again
from kiosk.peel.worker import lessons
from kiosk.plan.model import PeelWait
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.cooling import Feels, Lies
from kiosk.run.state.events_station import Touched
from kiosk.run.state.model import Stage, Ticket
from kiosk.run.state.state import State

ABSURD = 200.0  # °C a minute after opening: no platen was as hot


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return cooling_shop(tmp_path_factory.mktemp("shop"))


@pytest.fixture
def pressing(shop: Path) -> Pressing:
    """One garment on the rack, a minute after it was opened."""
    bench = set_for(shop).answer()
    ticket = press(bench)
    bench.do(s.SayPlace(ticket.id, Lies.LIFTED))
    assert ticket.opened is not None
    bench.until(ticket.opened.clock + 60.0)
    return bench


def first(state: State) -> Ticket:
    assert state.job is not None
    return next(iter(state.job.tickets.values()))


def with_first(state: State, **parts: object) -> State:
    """The state with the first garment another one."""
    job = state.job
    assert job is not None
    changed = replace(first(state), **parts)  # type: ignore[arg-type]  # names of parts
    return replace(state, job=replace(job, tickets={**job.tickets, changed.id: changed}))


def by_the_sheet(state: State) -> State:
    """The state where the material's own sheet says when to peel."""
    assert state.job is not None
    passes = state.job.plan.passes
    assert passes[0].wait is not None
    wait = PeelWait(passes[0].wait.peel, 60.0, 90.0, "plan.wait.sheet")
    plan = replace(state.job.plan, passes=(replace(passes[0], wait=wait), *passes[1:]))
    return replace(state, job=replace(state.job, plan=plan))


def never_ready(state: State) -> State:
    """The state where the model has it never ready."""
    return with_first(state, estimate=replace(own(first(state)), ready_lifted=None))


Changed = Callable[[State], State]
PEELED: Changed = partial(with_first, peeled=True)
UNKNOWN: Changed = partial(with_first, estimate=None)
NOT_SAID: Changed = partial(with_first, lies=Lies.NOT_SAID)
UNSEEN: Changed = partial(with_first, opened=None)


def touched(bench: Pressing, feels: Feels, celsius: float | None = None) -> Touched:
    done = bench.do(s.Touch(first(bench.state).id, feels, celsius))
    return next(event for event in done if isinstance(event, Touched))


@pytest.mark.parametrize("changed", [by_the_sheet, never_ready, PEELED, UNKNOWN, NOT_SAID, UNSEEN])
def test_a_good_peel_teaches_only_where_it_was_the_estimate_that_called(
    pressing: Pressing, changed: Changed
) -> None:
    before = pressing.state
    done = pressing.do(c.Inspect(first(before).id, Stage.GOOD))
    assert lessons(before, done) != ()
    assert lessons(changed(before), done) == ()


@pytest.mark.parametrize("changed", [never_ready, PEELED, UNKNOWN, NOT_SAID, UNSEEN])
@pytest.mark.parametrize("feels", [Feels.READY, Feels.NOT_READY])
def test_a_touch_teaches_only_where_a_time_was_estimated(
    pressing: Pressing, feels: Feels, changed: Changed
) -> None:
    before = pressing.state
    event = touched(pressing, feels)
    assert lesson(before, event) is not None
    assert lesson(changed(before), event) is None


def test_a_reading_of_no_garment_at_the_press_teaches_nothing(pressing: Pressing) -> None:
    event = touched(pressing, Feels.READING, 50.0)
    assert lesson(on_shift().state, event) is None
    assert read_again(on_shift().state, event) is None


@pytest.mark.parametrize("changed", [PEELED, UNKNOWN, NOT_SAID, UNSEEN])
def test_another_reading_is_asked_for_only_where_one_was_expected(
    pressing: Pressing, changed: Changed
) -> None:
    before = pressing.state
    event = touched(pressing, Feels.READING, ABSURD)
    assert read_again(before, event) is not None
    assert read_again(changed(before), event) is None


def test_a_hand_that_finds_it_warm_too_late_to_be_believed_is_asked_for_no_reading(
    pressing: Pressing,
) -> None:
    pressing.wait(20 * last(own(first(pressing.state)).lifted).from_seconds)
    before = pressing.state
    event = touched(pressing, Feels.NOT_READY)
    assert lesson(before, event) is None
    assert read_again(before, event) is None
