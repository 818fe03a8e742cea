"""A press of forward does what its label showed, or is refused with a message."""

from __future__ import annotations

from dataclasses import replace

import pytest
from run_samples import bench_with, one_piece, plan_of, stack

from kiosk.plan.model import PeelPlace
from kiosk.run.apply.fold import apply
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state import commands as c
from kiosk.run.state.events import Closed, Skipped
from kiosk.run.state.events_station import Held, Restarted, WallClockMoved
from kiosk.run.state.model import ConfirmMode


@pytest.mark.parametrize(("after", "right"), [(0.0, False), (0.49, False), (0.5, True)])
def test_a_press_too_soon_after_a_new_label_is_refused(after: float, right: bool) -> None:
    bench = bench_with()
    bench.tap()
    bench.ring()
    bench.wait(after)
    if right:
        bench.do(bench.forward())
    else:
        assert bench.refused(bench.forward()) == "refuse.forward.too_soon"


def test_a_press_counts_from_when_it_went_down_not_from_when_it_came_up() -> None:
    bench = bench_with()
    bench.tap()
    bench.ring()
    early = replace(bench.forward(), down=bench.clock + 0.2)
    bench.wait(1.0)
    assert bench.refused(early) == "refuse.forward.too_soon"


@pytest.mark.parametrize("seconds", [-3600.0, 6.0, 3600.0])
def test_setting_the_wall_clock_does_not_renew_the_label(seconds: float) -> None:
    """Regression: every press was refused as too soon until something else was recorded."""
    bench = bench_with()
    bench.wait(5.0)
    bench.wall_ahead += seconds
    bench.wait(5.0)
    moved, closed, *_ = bench.do(bench.forward())
    assert isinstance(moved, WallClockMoved)
    assert isinstance(closed, Closed)


def test_a_press_with_an_old_label_is_never_reinterpreted() -> None:
    bench = bench_with(plan_of(one_piece(PeelPlace.PRESS)))
    bench.tap()
    bench.ring()
    old = bench.forward()
    bench.tap()
    bench.ring()
    bench.wait(2.0)
    late = replace(old, down=bench.clock)
    assert bench.refused(late) == "refuse.forward.changed"


def test_a_press_that_went_down_before_the_tone_does_not_end_the_heat() -> None:
    bench = bench_with(plan_of(one_piece(), confirm_opening=True))
    bench.tap()
    assert bench.state.heat is not None
    deadline = bench.state.heat.deadline or 0.0
    bench.until(deadline)
    meant = replace(bench.forward(), down=deadline - 0.1)
    bench.wait(0.3)
    assert bench.refused(meant) == "refuse.forward.too_soon"


def test_a_double_tap_closes_once() -> None:
    bench = bench_with()
    bench.wait(1.0)
    tap = bench.forward()
    bench.do(tap)
    bench.wait(0.1)
    assert bench.refused(tap) == "refuse.forward.hot"


def test_a_refusal_changes_nothing() -> None:
    bench = bench_with()
    bench.tap()
    before = bench.state
    bench.wait(30.0)
    bench.refused(c.Forward(c.Meaning(c.Verb.FINISH), bench.clock))
    assert bench.state is before


def test_forward_means_restart_while_held() -> None:
    bench = bench_with()
    assert isinstance(bench.do(c.PutOnHold("phone"))[0], Held)
    assert bench.is_in(ScreenKind.HELD)
    assert bench.refused(c.Forward(c.Meaning(c.Verb.CLOSE, "1/1/1", 1), bench.clock)) == (
        "refuse.forward.changed"
    )
    assert isinstance(bench.tap()[0], Restarted)
    assert bench.verb == "close 12"


def test_heat_runs_on_if_a_hold_is_recorded_during_it() -> None:
    bench = bench_with()
    bench.tap()
    bench.events.append(Held(bench.now, "phone"))
    bench.state = apply(bench.state, bench.events[-1])
    assert bench.is_in(ScreenKind.HEAT)
    bench.ring()
    assert bench.is_in(ScreenKind.HELD)


def test_a_pre_press_can_be_left_out_with_a_reason() -> None:
    bench = bench_with()
    assert bench.refused(c.Skip(" ")) == "refuse.reason"
    assert bench.do(c.Skip("pressed yesterday"))[0] == Skipped(
        bench.now, "1/1/1", 1, "pressed yesterday"
    )
    assert bench.verb == "close 12"
    assert bench.bar.meaning == c.Meaning(c.Verb.CLOSE, "1/1/1", 4)
    assert bench.refused(c.Skip("again")) == "refuse.skip.nothing"


def test_a_trainee_who_leaves_the_pre_press_out_still_confirms_each_phase() -> None:
    bench = bench_with(confirm=ConfirmMode.EACH)
    bench.do(c.Skip("pressed yesterday"))
    meanings = []
    while bench.state.heat is None:
        meanings.append(bench.bar.meaning)
        bench.tap()
    assert meanings == [
        c.Meaning(c.Verb.CONFIRM, "1/1/1", 0),
        c.Meaning(c.Verb.CONFIRM, "1/1/1", 2),
        c.Meaning(c.Verb.CLOSE, "1/1/1", 4),
    ]


def test_a_final_cannot_be_left_out() -> None:
    bench = bench_with(plan_of(stack()))
    bench.tap()
    bench.ring()
    assert bench.refused(c.Skip("no time")) == "refuse.skip.nothing"
