"""Openings: not seen, declared, measured; over-runs."""

from __future__ import annotations

import pytest
from run_samples import COLD, HOT, Bench, bench_with, one_piece, plan_of, stack, staged

from kiosk.plan.model import PeelPlace
from kiosk.run.facts.questions import BarOwner, ScreenKind
from kiosk.run.show.view import view
from kiosk.run.state import commands as c
from kiosk.run.state.events import AskedQuick, Confirmed, Finished, Opened
from kiosk.run.state.model import ConfirmMode, TicketStage, TimeSource


def after_final(bench: Bench) -> Bench:
    bench.tap()
    bench.ring()
    if bench.state.heat is not None:
        bench.tap()
    bench.tap()
    bench.ring()
    return bench


def test_without_a_switch_the_opening_is_not_seen() -> None:
    bench = after_final(bench_with())
    assert bench.state.heat is None
    assert bench.ticket("12").opened_seen is TimeSource.NOT_SEEN


@pytest.mark.parametrize("closings", [1, 2])
@pytest.mark.parametrize("set_back", [0.0, 5000.0])
def test_after_a_stop_past_the_tone_the_screen_shows_open_until_a_hand_moves(
    closings: int, set_back: float
) -> None:
    """Nobody has seen that press open (design.md, section 3), whatever page a reboot shows."""
    bench = bench_with()
    for _ in range(closings):
        bench.tap()
        bench.ring()
    bench.wait(4.0)
    bench.do(c.Start("1.0"))
    assert begins_with_open(bench) == pytest.approx(4.0, abs=0.1)
    bench.reboot(16.0 - set_back)
    assert begins_with_open(bench) == pytest.approx(20.0 if not set_back else 0.0, abs=0.1)
    bench.wait(2.0)
    bench.do(c.ReadSetting(300) if bench.is_in(ScreenKind.SETTING) else bench.forward())
    assert begins_with_open(bench) is None


def begins_with_open(bench: Bench) -> float | None:
    shown = view(bench.shown, bench.now, "")
    assert (shown.open_since is None) is (shown.open_lines == ())
    return shown.open_since


def test_with_confirm_opening_what_runs_over_is_counted_until_it_is_opened() -> None:
    bench = after_final(bench_with(plan_of(one_piece(), confirm_opening=True)))
    assert bench.is_in(ScreenKind.OVER)
    assert (bench.verb, bench.bar.owner) == ("opened 12", BarOwner.OVER)
    bench.wait(3.0)
    opened = bench.tap()[0]
    assert isinstance(opened, Opened)
    assert (opened.after_deadline, opened.seen) == (4.0, TimeSource.DECLARED)
    assert bench.ticket("12").stage is TicketStage.COOLING
    assert bench.ticket("12").opened == opened.at


@pytest.mark.parametrize("late", [0.4, 3.0])
def test_an_over_run_counts_as_the_garments_heat(late: float) -> None:
    bench = after_final(bench_with(plan_of(one_piece(), confirm_opening=True)))
    before = bench.ticket("12").beyond_seconds  # of its pre-press
    bench.wait(late)
    bench.do(c.SayOpened())
    assert bench.ticket("12").beyond_seconds - before == pytest.approx(late)


def test_running_over_the_tightest_limit_leaves_a_mark() -> None:
    bench = after_final(bench_with(plan_of(one_piece(), confirm_opening=True)))
    bench.wait(6.0)  # 15 s planned, at most 20 s: 7 s over is too long
    bench.tap()
    assert bench.ticket("12").marks == ("over",)


@pytest.mark.parametrize("late", [3.0, 5.0])  # 15 s planned, at most 20 s
def test_running_over_within_the_limit_leaves_none(late: float) -> None:
    bench = after_final(bench_with(plan_of(one_piece(), confirm_opening=True)))
    bench.wait(late)
    bench.do(c.SayOpened())
    assert bench.ticket("12").marks == ()


@pytest.mark.parametrize(("late", "marks"), [(5.0, ()), (5.5, ("over",))])
def test_an_opening_reported_after_the_tone_counts_the_over_run(
    late: float, marks: tuple[str, ...]
) -> None:
    """Nobody had to confirm the opening: 15 s planned, at most 20 s, as the operator reports."""
    bench = after_final(bench_with())
    before = bench.ticket("12").beyond_seconds
    bench.wait(late)
    bench.do(c.SayOpened())
    assert bench.ticket("12").beyond_seconds - before == pytest.approx(late)
    assert bench.ticket("12").marks == marks


def test_opened_tapped_after_the_tone_moves_the_peel_wait() -> None:
    bench = after_final(bench_with())
    bench.wait(2.0)
    (opened,) = bench.do(c.SayOpened())
    assert isinstance(opened, Opened)
    assert opened.after_deadline == 2.0
    assert bench.ticket("12").opened == bench.now
    assert bench.ticket("12").opened_seen is TimeSource.DECLARED


def test_an_opening_reported_by_tap_does_not_count_as_a_switch() -> None:
    """Declared is never measured: the next final again ends by its clock."""
    bench = after_final(bench_with())
    bench.wait(1.0)
    bench.do(c.SayOpened())
    assert not bench.state.switch_seen
    bench.answer()
    for _ in range(2):
        bench.tap()
        bench.ring()
    assert bench.state.heat is None
    assert bench.ticket("13").opened_seen is TimeSource.NOT_SEEN


def test_an_opening_is_reported_only_once() -> None:
    bench = after_final(bench_with())
    bench.do(c.SayOpened())
    assert bench.refused(c.SayOpened()) == "refuse.opened.already"


def test_a_garment_peeled_at_the_press_stays_there() -> None:
    bench = after_final(bench_with(plan_of(one_piece(PeelPlace.PRESS, HOT))))
    assert bench.verb == "finish 12"
    done, called = bench.tap()
    assert isinstance(done, Finished)
    assert (done.stage, done.peeled, done.early_seconds) == (TicketStage.GOOD, True, None)
    assert bench.verb == "close 13"
    assert called.at == done.at


def test_a_garment_peeled_in_hand_comes_before_the_next_load() -> None:
    bench = after_final(bench_with(plan_of(one_piece(PeelPlace.HAND, COLD))))
    assert bench.verb == "finish 12"
    bench.wait(1.0)
    assert isinstance(bench.do(bench.forward())[0], AskedQuick)  # once, gently
    bench.wait(1.0)
    done = bench.do(bench.forward())[0]
    assert isinstance(done, Finished)
    assert done.early_seconds == 58.0  # due 60 s after opening, tapped after two


def test_a_stack_has_nothing_to_peel() -> None:
    bench = bench_with(plan_of(stack()))
    for _ in range(4):
        bench.tap()
        bench.ring()
    done = bench.tap()[0]
    assert isinstance(done, Finished)
    assert not done.peeled


def test_the_hot_peel_of_a_staged_pass_is_confirmed_by_the_next_closing() -> None:
    bench = bench_with(plan_of(staged()))
    bench.tap()
    bench.ring()
    assert bench.ticket("12").stage is TicketStage.COOLING
    assert not bench.ticket("12").hot_peeled
    bench.tap()
    assert bench.ticket("12").hot_peeled
    assert bench.ticket("12").step == 5


def test_a_trainee_confirms_the_hot_peel_before_the_garment_leaves_the_press() -> None:
    bench = bench_with(plan_of(staged()), confirm=ConfirmMode.EACH)
    for _ in range(3):
        bench.tap()
    bench.ring()
    assert bench.slot.stage is TicketStage.AT_PRESS
    assert bench.verb == "confirm 12"
    assert isinstance(bench.tap()[0], Confirmed)
    assert bench.ticket("12").stage is TicketStage.COOLING
    assert (bench.ticket("12").hot_peeled, bench.ticket("12").peeled) == (True, False)
    assert bench.verb == "confirm 13"


def test_a_trainees_confirmed_peel_stays_done_whatever_the_result() -> None:
    bench = bench_with(plan_of(one_piece(PeelPlace.PRESS)), confirm=ConfirmMode.EACH)
    for _ in range(3):
        bench.tap()
        if bench.state.heat is not None:
            bench.ring()
    assert bench.verb == "confirm 12"
    bench.tap()
    done = bench.do(c.Inspect("1/1/1", TicketStage.REWORK, "off_centre", "laid_wrong"))[0]
    assert isinstance(done, Finished)
    assert (done.peeled, done.early_seconds) == (True, None)
