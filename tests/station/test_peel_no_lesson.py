"""What a peel, a touch or a reading teaches about cooling speed, and what teaches nothing."""

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

from kiosk.catalog.model.sheets import Peel
from kiosk.peel.kept_curve import curve_of
from kiosk.peel.lessons import lesson, read_again
from kiosk.peel.worker import lessons
from kiosk.plan.model import PeelWait
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.cooling import CoolingPlace, TouchFeel
from kiosk.run.state.events_station import Touched
from kiosk.run.state.model import Ticket, TicketStage
from kiosk.run.state.state import State

ABSURD = 200.0  # °C a minute after opening: no platen was as hot


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return cooling_shop(tmp_path_factory.mktemp("shop"))


@pytest.fixture
def pressing(shop: Path) -> Pressing:
    """The press a minute after a garment was opened and racked."""
    bench = set_for(shop).answer()
    ticket = press(bench)
    bench.do(s.SayPlace(ticket.id, CoolingPlace.LIFTED))
    assert ticket.opened is not None
    bench.until(ticket.opened.clock + 60.0)
    return bench


def first(state: State) -> Ticket:
    assert state.job is not None
    return next(iter(state.job.tickets.values()))


def with_first(state: State, **parts: object) -> State:
    """Return the state with parts of the first garment changed."""
    job = state.job
    assert job is not None
    changed = replace(first(state), **parts)  # type: ignore[arg-type]  # names of parts
    return replace(state, job=replace(job, tickets={**job.tickets, changed.id: changed}))


def waiting(state: State, wait: PeelWait) -> State:
    """Return the state with this wait in the first pass."""
    assert state.job is not None
    plan = state.job.plan
    passes = (replace(plan.passes[0], wait=wait), *plan.passes[1:])
    return replace(state, job=replace(state.job, plan=replace(plan, passes=passes)))


def by_the_sheet(state: State) -> State:
    """Return the state with the peel time from the material's own sheet."""
    assert state.job is not None
    wait = state.job.plan.passes[0].wait
    assert wait is not None
    return waiting(state, PeelWait(wait.peel, 60.0, 90.0, "plan.wait.sheet"))


def of_peel(state: State, peel: Peel) -> State:
    """Return the state with this peel."""
    assert state.job is not None
    wait = state.job.plan.passes[0].wait
    assert wait is not None
    return waiting(state, replace(wait, peel=peel))


def never_ready(state: State) -> State:
    """Return the state with an estimate that is never ready."""
    return with_first(state, estimate=replace(own(first(state)), ready_lifted=None))


Changed = Callable[[State], State]
PEELED: Changed = partial(with_first, peeled=True)
UNKNOWN: Changed = partial(with_first, estimate=None)
NOT_SAID: Changed = partial(with_first, lies=CoolingPlace.NOT_SAID)
UNSEEN: Changed = partial(with_first, opened=None)


def touched(bench: Pressing, feels: TouchFeel, celsius: float | None = None) -> Touched:
    done = bench.do(s.ReportTouch(first(bench.state).id, feels, celsius))
    return next(event for event in done if isinstance(event, Touched))


@pytest.mark.parametrize("changed", [by_the_sheet, never_ready, PEELED, UNKNOWN, NOT_SAID, UNSEEN])
def test_a_good_peel_teaches_only_if_the_estimate_called_it(
    pressing: Pressing, changed: Changed
) -> None:
    before = pressing.state
    done = pressing.do(c.Inspect(first(before).id, TicketStage.GOOD))
    assert lessons(before, done) != ()
    assert lessons(changed(before), done) == ()


@pytest.mark.parametrize("changed", [never_ready, PEELED, UNKNOWN, NOT_SAID, UNSEEN])
@pytest.mark.parametrize("feels", [TouchFeel.READY, TouchFeel.NOT_READY])
def test_a_touch_teaches_only_if_a_time_was_estimated(
    pressing: Pressing, feels: TouchFeel, changed: Changed
) -> None:
    before = pressing.state
    event = touched(pressing, feels)
    assert lesson(before, event) is not None
    assert lesson(changed(before), event) is None


def test_a_reading_without_a_job_teaches_nothing(pressing: Pressing) -> None:
    event = touched(pressing, TouchFeel.READING, 50.0)
    assert lesson(on_shift().state, event) is None
    assert read_again(on_shift().state, event) is None


@pytest.mark.parametrize("changed", [PEELED, UNKNOWN, NOT_SAID, UNSEEN])
def test_a_second_reading_is_asked_for_only_if_a_temperature_was_expected(
    pressing: Pressing, changed: Changed
) -> None:
    before = pressing.state
    event = touched(pressing, TouchFeel.READING, ABSURD)
    assert read_again(before, event) is not None
    assert read_again(changed(before), event) is None


def test_an_implausible_touch_asks_for_no_reading(pressing: Pressing) -> None:
    pressing.wait(20 * last(own(first(pressing.state)).lifted).from_seconds)
    before = pressing.state
    event = touched(pressing, TouchFeel.NOT_READY)
    assert lesson(before, event) is None
    assert read_again(before, event) is None


@pytest.mark.parametrize("feels", [TouchFeel.READY, TouchFeel.NOT_READY])
def test_a_touch_at_the_moment_of_opening_teaches_nothing(
    pressing: Pressing, feels: TouchFeel
) -> None:
    """No time has passed, and zero has no logarithm."""
    before = pressing.state
    opened = first(before).opened
    assert opened is not None
    assert lesson(before, replace(touched(pressing, feels), at=opened)) is None


@pytest.mark.parametrize("peel", [Peel.WARM, Peel.COLD])
def test_ready_by_touch_means_the_films_peel_temperature(pressing: Pressing, peel: Peel) -> None:
    """heat.md: warm aims at 50 °C; cold is cold. The moment is looked up on the garment's curve."""
    before = pressing.state
    event = touched(pressing, TouchFeel.READY)
    assert before.job is not None
    own_pass = before.job.plan.passes[0]
    assert own_pass.heat is not None
    at = own_pass.heat.peel_at
    estimate = own(first(before))
    found = lesson(of_peel(before, peel), event)
    assert found is not None
    celsius = at.warm_aim if peel is Peel.WARM else at.cold(estimate.room)
    moment = curve_of(estimate.lifted_curve).falls_to(celsius)
    assert found.ready_seconds == pytest.approx(moment, abs=0.06)


def test_a_peel_in_the_second_of_the_call_counts_as_called(pressing: Pressing) -> None:
    """heat.md: a good-peel tap at or after the prompt only says "ready by then"."""
    ticket = first(pressing.state)
    assert ticket.opened is not None
    pressing.until(ticket.opened.clock + last(own(ticket).lifted).from_seconds)
    before = pressing.state
    for event in (
        touched(pressing, TouchFeel.READY),
        *pressing.do(c.Inspect(ticket.id, TicketStage.GOOD)),
    ):
        found = lesson(before, event)
        if found is not None:
            assert found.kept.moments == ()
            assert found.kept.ready_by is not None
