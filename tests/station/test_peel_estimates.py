"""A station's estimates: from each garment's own heat, on the pad as it was."""

from __future__ import annotations

import threading
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest
from cooling_shop import cooling_shop
from peel_press import do, last, own, press, set_for
from run_samples import Bench as Pressing

from kiosk.peel.worker import Advice, Estimates, ImmediateExecutor, is_cold
from kiosk.plan.model import PeelWait
from kiosk.run.facts.peels import peel_time
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.view import view
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.cooling import CoolingPlace, PadHeat
from kiosk.run.state.model import TicketStage


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return cooling_shop(tmp_path_factory.mktemp("shop"))


@pytest.fixture
def setting(shop: Path) -> Pressing:
    return set_for(shop)


@pytest.fixture
def pressing(setting: Pressing) -> Pressing:
    """The press with the first garment loaded."""
    return setting.answer()


def test_each_garment_finds_the_pad_warmer_than_the_one_before(pressing: Pressing) -> None:
    found = [own(press(pressing)) for _ in range(4)]
    on_pad = [last(e.on_pad).from_seconds for e in found]
    assert on_pad == sorted(on_pad)
    assert on_pad[3] > on_pad[0] + 20
    lifted = [last(e.lifted).from_seconds for e in found]
    assert max(lifted) - min(lifted) < 10  # heat.md: on the pad, the pad's temperature governs


def test_a_pad_left_idle_for_hours_is_cold_again(pressing: Pressing) -> None:
    first, second = (last(own(press(pressing)).on_pad).from_seconds for _ in range(2))
    pressing.wait(4 * 3600.0)
    pressing.do(c.Tick())
    assert last(own(press(pressing)).on_pad).from_seconds == pytest.approx(first, abs=3)
    assert second > first + 10


def test_until_its_place_is_stated_times_are_marked_as_those_of_a_lifted_garment(
    pressing: Pressing,
) -> None:
    ticket = press(pressing)
    time = peel_time(pressing.job, ticket, pressing.now)
    assert time is not None
    assert time.assumed
    press(pressing)  # the next closing declares that it was taken to the rack
    ticket = pressing.job.tickets[ticket.id]
    assert ticket.lies is CoolingPlace.LIFTED
    time = peel_time(pressing.job, ticket, pressing.now)
    assert time is not None
    assert not time.assumed


def test_a_garment_counts_as_on_the_pad_until_it_is_lifted(pressing: Pressing) -> None:
    ticket = press(pressing)
    lifted, on_pad = last(own(ticket).lifted), last(own(ticket).on_pad)
    pressing.wait(2.0)
    do(pressing, s.SayPlace(ticket.id, CoolingPlace.ON_PAD))
    time = peel_time(pressing.job, pressing.job.tickets[ticket.id], pressing.now)
    assert time is not None
    assert time.from_seconds == pytest.approx(on_pad.from_seconds - time.waited)
    pressing.wait(78.0)
    do(pressing, s.SayPlace(ticket.id, CoolingPlace.LIFTED))
    moved = last(own(pressing.job.tickets[ticket.id]).lifted)
    assert lifted.from_seconds + 3 < moved.from_seconds < on_pad.from_seconds - 10


def test_the_sheets_own_wait_wins_over_the_estimate(shop: Path, pressing: Pressing) -> None:
    ticket = press(pressing)
    passage = pressing.job.plan.passes[0]
    sheet = replace(
        passage, wait=PeelWait(last(own(ticket).lifted).peel, 60.0, 90.0, "plan.wait.sheet")
    )
    job = replace(pressing.job, plan=replace(pressing.job.plan, passes=(sheet,)))
    time = peel_time(job, ticket, pressing.now)
    assert time is not None
    assert time.from_seconds == pytest.approx(60.0 - time.waited)


def test_looking_at_a_state_never_waits_for_the_solver(pressing: Pressing) -> None:
    gate = threading.Event()
    executor = ThreadPoolExecutor(1)
    executor.submit(gate.wait)  # the solver's thread is busy
    estimates = Estimates(executor)
    ticket = pressing.job.slot
    for _ in range(2):
        pressing.wait(10.0)
        pressing.answer()
        pressing.do(pressing.forward())
        pressing.ring()
    estimates.start_solving(pressing.state)
    assert not estimates.ready
    assert estimates.take() is None
    gate.set()
    executor.shutdown()
    given = estimates.take()
    assert given is not None
    assert given.ticket == ticket


class Breaks(Executor):
    """A machine without the memory to compute anything."""

    def submit(self, fn, /, *args, **kwargs):  # type: ignore[no-untyped-def]  # as in Executor
        broken: Future[object] = Future()
        broken.set_exception(MemoryError())
        return broken


def test_advice_that_fails_is_reported_once_and_the_press_is_set_without_it(
    setting: Pressing,
) -> None:
    shown = view(setting.state, setting.now, "")
    assert shown.kind is ScreenKind.SETTING
    advice, executor = Advice(), Breaks()
    asked = partial(advice.on_setting, shown, setting.state, setting.now, lambda: executor)
    with pytest.raises(MemoryError):
        asked()
    assert [asked(), asked()] == [shown, shown]


def test_a_film_without_a_model_has_no_advice(setting: Pressing) -> None:
    """It is too rough for one; the press is set all the same."""
    plan = setting.job.plan
    rough = replace(plan, passes=tuple(replace(each, heat=None) for each in plan.passes))
    state = replace(setting.state, job=replace(setting.job, plan=rough))
    shown = view(state, setting.now, "")
    assert Advice().on_setting(shown, state, setting.now, ImmediateExecutor) == shown


@pytest.mark.parametrize(("idle", "cold"), [(600.0, False), (1900.0, True)])
def test_a_pad_idle_for_half_an_hour_is_cold(pressing: Pressing, idle: float, cold: bool) -> None:
    """Known from its last closing or, after a garment of another job, from the kept pad."""
    press(pressing)
    last_one = pressing.state.pressings[-1].ended
    then = last_one.later(idle)
    assert is_cold(pressing.state, then) is cold
    kept = replace(pressing.state, pressings=(), pad=PadHeat(last_one, (60.0,), (50.0,)))
    assert is_cold(kept, then) is cold
    assert is_cold(replace(kept, pad=None), then)


class Counts(Executor):
    """Takes work and never gets to it."""

    def __init__(self) -> None:
        self.taken = 0

    def submit(self, fn, /, *args, **kwargs):  # type: ignore[no-untyped-def]  # as in Executor
        self.taken += 1
        return Future[object]()


def test_an_estimate_being_solved_is_not_started_twice(pressing: Pressing) -> None:
    for _ in range(2):
        pressing.wait(10.0)
        pressing.answer().do(pressing.forward())
        pressing.ring()
    estimates = Estimates(counts := Counts())
    for _ in range(3):
        estimates.start_solving(pressing.state)
    assert counts.taken == 1


def test_the_next_jobs_garment_with_the_same_id_is_a_different_one(pressing: Pressing) -> None:
    plan, garments = pressing.job.plan, tuple(t.garment for t in pressing.job.tickets.values())
    for _ in garments:
        ticket = press(pressing)
    for name in pressing.job.rack:
        pressing.wait(200.0)
        do(pressing, c.Inspect(name, TicketStage.GOOD))
    pressing.do(c.StartJob("another", plan, "hash", (ticket.garment,)))
    pressing.answer()
    again = press(pressing)
    assert again.id == ticket.id
    assert len(pressing.state.pressings) == 2
    assert last(own(again).lifted).from_seconds > 100


def test_loading_the_next_garment_lifts_the_one_on_the_pad(pressing: Pressing) -> None:
    ticket = press(pressing)
    before = last(own(ticket).lifted).from_seconds
    do(pressing, s.SayPlace(ticket.id, CoolingPlace.ON_PAD))
    pressing.wait(60.0)
    press(pressing)
    after = pressing.job.tickets[ticket.id]
    assert after.lies is CoolingPlace.LIFTED
    assert after.lifted is not None
    assert own(after).lifted_after > 60
    assert last(own(after).lifted).from_seconds > before
