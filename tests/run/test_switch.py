"""A switch on the press: measured closings and openings."""

from __future__ import annotations

from dataclasses import replace

import pytest
from run_samples import Bench, bench_with, on_shift, one_piece, plan_of, team

from kiosk.plan.model import PeelPlace
from kiosk.run.decide import decide
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state import commands as c
from kiosk.run.state.events import Closed, Opened, UnaskedClosing, WasClosed
from kiosk.run.state.model import ConfirmMode, TicketStage, TimeSource


def in_final() -> Bench:
    bench = bench_with(plan_of(one_piece(PeelPlace.PRESS)))
    bench.tap()
    bench.ring()
    bench.tap()
    return bench


def test_a_closing_that_the_bar_asked_for_starts_the_clock_at_once() -> None:
    bench = bench_with()
    (closed,) = bench.do(c.PressClosed())
    assert isinstance(closed, Closed)
    assert (closed.seen, closed.starts_in) == (TimeSource.MEASURED, 0.0)
    assert bench.state.heat is not None
    assert bench.state.heat.starts == bench.clock


@pytest.mark.parametrize("after", [0.4, 4.0, 4.1, 5.9])
def test_the_clock_of_a_declared_closing_starts_when_the_switch_sees_it(after: float) -> None:
    """design.md section 3: at once with a switch; the time from tap to closing is not heat."""
    bench = bench_with()
    bench.tap()
    bench.wait(after)
    assert bench.names(c.PressClosed()) == ("ClosingSeen",)
    heat = bench.state.heat
    assert heat is not None
    assert (heat.starts, heat.seen) == (bench.clock, TimeSource.MEASURED)
    assert heat.deadline == bench.clock + 5.0
    assert bench.refused(c.PressClosed()) == "refuse.press_closed.already"


def test_a_closing_seen_after_the_tone_restarts_the_whole_dwell() -> None:
    """design.md section 3: at once with a switch. Nothing was heated while it was open."""
    bench = in_final()
    bench.do(c.PressClosed())
    bench.ring()
    bench.do(c.PressOpened())
    bench.tap()
    bench.tap()
    bench.ring()
    assert bench.is_in(ScreenKind.OVER)
    bench.wait(2.0)
    assert bench.names(c.PressClosed()) == ("ClosingSeen",)
    assert bench.is_in(ScreenKind.HEAT)
    heat = bench.state.heat
    assert heat is not None
    assert (heat.starts, heat.rang) == (bench.clock, False)
    bench.ring()
    bench.wait(1.0)
    bench.do(c.PressOpened())
    assert bench.slot.marks == ()
    assert bench.state.pressings[-1].began.clock == heat.starts


def test_a_press_that_closes_on_a_used_up_garment_is_counted_and_never_turned_away() -> None:
    """design.md section 3: unasked heat seen by a switch gets a clock at once."""
    bench = bench_with(plan_of(one_piece(PeelPlace.PRESS)))
    bench.tap()
    bench.ring()
    used_up = replace(bench.slot, finals=1)
    job = replace(bench.job, tickets={**bench.job.tickets, used_up.id: used_up})
    state = replace(bench.state, job=job)
    bench.wait(1.0)
    assert decide(state, c.PressClosed(), bench.now) == (UnaskedClosing(bench.now, "1/1/1"),)


def test_a_bouncing_switch_closes_once() -> None:
    bench = bench_with()
    bench.do(c.PressClosed())
    assert bench.refused(c.PressClosed()) == "refuse.press_closed.already"


def test_a_closing_that_nothing_asked_for_is_counted_up_as_unasked_heat() -> None:
    bench = on_shift()
    assert isinstance(bench.do(c.PressClosed())[0], UnaskedClosing)
    assert bench.is_in(ScreenKind.UNASKED)
    assert bench.bar.meaning == c.Meaning(c.Verb.OPENED)
    assert bench.tick(500.0) == ()


def test_a_trainee_who_closes_before_confirming_has_unasked_heat() -> None:
    bench = bench_with(confirm=ConfirmMode.EACH)
    bench.tap()
    bench.ring()
    assert bench.verb == "confirm 12"
    assert isinstance(bench.do(c.PressClosed())[0], UnaskedClosing)


def test_unasked_heat_ends_at_opened_without_a_question() -> None:
    """design.md section 3: the question is about heat with a deadline, and this has none."""
    bench = on_shift()
    bench.do(c.PressClosed())
    bench.wait(4.0)
    (opened,) = bench.do(c.SayOpened())
    assert isinstance(opened, Opened)
    assert (opened.seen, opened.after_deadline) == (TimeSource.DECLARED, None)
    assert bench.state.heat is None


def test_unasked_heat_marks_the_garment_at_the_press() -> None:
    bench = bench_with(confirm=ConfirmMode.EACH)
    bench.tap()
    bench.ring()
    bench.do(c.PressClosed())
    bench.wait(4.0)
    bench.do(c.PressOpened())
    assert bench.slot.marks == ("unasked",)
    assert bench.slot.finals == 0
    assert bench.verb == "confirm 12"


def test_a_closing_before_the_question_is_answered_is_unasked() -> None:
    bench = on_shift()
    plan = plan_of(one_piece())
    bench.do(c.StartJob(plan.job, plan, "hash", team("12", "13")))
    assert bench.is_in(ScreenKind.SETTING)
    assert isinstance(bench.do(c.PressClosed())[0], UnaskedClosing)


def test_an_opening_before_the_deadline_is_measured_and_nobody_is_asked() -> None:
    bench = in_final()
    bench.do(c.PressClosed())
    bench.wait(6.0)
    opened, was = bench.do(c.PressOpened())
    assert isinstance(opened, Opened)
    assert (opened.seen, opened.after_deadline) == (TimeSource.MEASURED, -9.0)
    assert isinstance(was, WasClosed)
    assert was.heat_seconds == 6.0
    assert bench.slot.marks == ("short",)
    assert bench.slot.opened_seen is TimeSource.MEASURED


def test_an_opening_during_the_count_in_asks() -> None:
    bench = in_final()
    bench.wait(0.4)
    assert bench.names(c.PressOpened()) == ("AskedClosed",)


def test_a_closing_seen_after_all_ends_the_question() -> None:
    bench = in_final()
    bench.wait(0.5)
    bench.do(c.SayOpened())
    bench.wait(1.0)
    bench.do(c.PressClosed())
    assert bench.is_in(ScreenKind.HEAT)


def test_with_a_switch_what_runs_over_is_counted_until_it_is_opened() -> None:
    bench = in_final()
    bench.do(c.PressClosed())
    bench.ring()
    assert bench.is_in(ScreenKind.OVER)
    bench.wait(2.0)
    (opened,) = bench.do(c.PressOpened())
    assert isinstance(opened, Opened)
    assert (opened.seen, opened.after_deadline) == (TimeSource.MEASURED, 2.0)
    assert bench.slot.opened == bench.now
    assert bench.verb == "finish 12"


def test_the_first_signal_of_a_switch_may_be_an_opening_after_the_tone() -> None:
    bench = in_final()
    bench.ring()
    bench.wait(1.5)
    (opened,) = bench.do(c.PressOpened())
    assert isinstance(opened, Opened)
    assert (opened.seen, opened.after_deadline) == (TimeSource.MEASURED, 1.5)
    assert bench.slot.opened_seen is TimeSource.MEASURED


def test_closed_again_before_the_opening_was_seen_is_unasked_heat() -> None:
    bench = in_final()
    bench.do(c.PressClosed())
    bench.ring()
    bench.wait(4.0)
    opened, unasked = bench.do(c.PressClosed())
    assert isinstance(opened, Opened)
    assert (opened.seen, opened.after_deadline) == (TimeSource.NOT_SEEN, None)
    assert isinstance(unasked, UnaskedClosing)
    assert bench.ticket("12").stage is TicketStage.AT_PRESS


def test_an_opening_of_an_open_press_is_turned_away() -> None:
    assert bench_with().refused(c.PressOpened()) == "refuse.press_opened.already"
