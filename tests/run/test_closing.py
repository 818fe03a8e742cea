"""Closings: when the clock starts, what a closing uses up, what "opened" too early means."""

from __future__ import annotations

import pytest
from run_samples import Bench, bench_with, one_piece, plan_of, stack
from view_cases import WORDS

from kiosk.plan.model import PeelPlace
from kiosk.run.facts.questions import BarOwner, ScreenKind
from kiosk.run.show.view import view
from kiosk.run.state import commands as c
from kiosk.run.state.events import Closed, Finished, NotClosed, TimeUp, WasClosed
from kiosk.run.state.model import TicketStage, TimeSource


def in_final(place: PeelPlace = PeelPlace.RACK) -> Bench:
    """A bench with the first garment in its final press, the count-in just over."""
    bench = bench_with(plan_of(one_piece(place)))
    bench.tap()
    bench.ring()
    bench.tap()
    return bench


def test_the_clock_starts_the_count_in_after_the_tap() -> None:
    bench = bench_with()
    bench.tap()
    heat = bench.state.heat
    assert heat is not None
    assert heat.starts == bench.clock + 1.0
    assert heat.deadline == bench.clock + 1.0 + 5
    assert heat.seen is TimeSource.DECLARED


@pytest.mark.parametrize(("held", "left"), [(0.6, 0.4), (1.1, 0.0)])
def test_the_count_in_began_when_the_foot_went_down(held: float, left: float) -> None:
    """design.md, pedal: forward acts on release, but its closing counts from the press down."""
    bench = bench_with()
    bench.wait(4.0)
    meaning = bench.bar.meaning
    assert meaning is not None
    (closed, *_) = bench.do(c.Forward(meaning, bench.clock - held))
    assert isinstance(closed, Closed)
    assert closed.starts_in == pytest.approx(left)


def test_the_count_in_is_that_of_the_press() -> None:
    bench = bench_with(plan_of(one_piece(), closes_in_seconds=2.5))
    bench.tap()
    assert bench.state.heat is not None
    assert bench.state.heat.starts == bench.clock + 2.5


def test_the_tap_that_closes_confirms_the_hand_steps_before_it() -> None:
    bench = bench_with()
    bench.tap()
    bench.ring()
    (closed,) = bench.tap()
    assert isinstance(closed, Closed)
    assert (closed.first, closed.step, closed.dwell_seconds) == (2, 4, 15)
    assert not closed.again  # the first final is not a second one


def test_a_ticket_is_used_up_when_its_final_starts() -> None:
    bench = in_final()
    assert bench.slot.finals == 1


def test_a_pre_press_does_not_use_up_the_final() -> None:
    bench = bench_with()
    bench.tap()
    assert bench.slot.finals == 0


def test_time_passes_without_an_event() -> None:
    bench = bench_with()
    bench.tap()
    assert bench.tick(3.0) == ()


def test_the_time_is_up_once_at_its_deadline() -> None:
    bench = bench_with()
    bench.tap()
    (up,) = bench.ring()
    assert isinstance(up, TimeUp)
    assert up.due == bench.clock
    assert bench.tick(0.1) == ()


def test_a_late_tick_does_not_change_the_dwell() -> None:
    bench = in_final()
    assert bench.state.heat is not None
    deadline = bench.state.heat.deadline
    assert deadline is not None
    bench.until(deadline + 3.0)
    up = bench.tick()[0]
    assert isinstance(up, TimeUp)
    assert up.due == deadline
    opened = bench.ticket("12").opened
    assert opened is not None
    assert opened.clock == deadline
    assert opened.wall == bench.now.wall - 3.0
    assert bench.state.pressings[-1].ended == opened  # neither its own heat nor the pad's is longer


def test_a_tap_after_the_deadline_first_ends_the_time() -> None:
    bench = in_final(PeelPlace.PRESS)
    assert bench.state.heat is not None
    bench.until((bench.state.heat.deadline or 0) + 1.0)
    assert bench.names(c.PutOnHold("phone")) == ("TimeUp", "Held")


def test_opened_before_the_deadline_asks_and_the_clock_runs_on() -> None:
    bench = in_final()
    bench.wait(3.0)
    assert bench.names(c.SayOpened()) == ("AskedClosed",)
    assert bench.is_in(ScreenKind.ASK_CLOSED)
    assert bench.bar.owner is BarOwner.NOBODY
    assert bench.ring()[0] == TimeUp(bench.now, "1/1/1", 4, bench.clock)
    assert not bench.state.asked_closed


def test_an_unexplained_early_opening_is_marked_for_inspection() -> None:
    bench = in_final(PeelPlace.PRESS)
    bench.wait(3.0)
    bench.do(c.SayOpened())
    bench.ring()
    assert bench.slot.marks == ("early",)
    words = [WORDS.say(line) for line in view(bench.state, bench.now).lines]
    assert "called open too soon: try the edges" in words


def test_not_closed_gives_the_ticket_back_with_its_final_and_no_heat() -> None:
    bench = in_final()
    bench.wait(3.0)
    bench.do(c.SayOpened())
    bench.wait(2.0)
    assert isinstance(bench.do(c.SayClosed(False))[0], NotClosed)
    assert bench.state.heat is None
    assert (bench.slot.step, bench.slot.finals, bench.slot.marks) == (4, 0, ())
    assert bench.verb == "close 12"


@pytest.mark.parametrize(("after", "heat"), [(0.4, 0.0), (1.0, 0.0), (3.5, 2.5)])
def test_heat_is_counted_from_the_end_of_the_count_in(after: float, heat: float) -> None:
    """design.md section 3: the clock starts 1 s after the tap went down."""
    bench = in_final()
    bench.wait(after)
    bench.do(c.SayOpened())
    bench.wait(0.2)
    (was,) = bench.do(c.SayClosed(closed=True))
    assert isinstance(was, WasClosed)
    assert was.heat_seconds == pytest.approx(heat)


def test_the_question_is_asked_once_whether_person_or_switch_reports_the_opening() -> None:
    bench = in_final()
    bench.wait(0.2)
    bench.do(c.SayOpened())
    asked = bench.state.asked
    bench.wait(0.2)
    assert bench.refused(c.PressOpened()) == "refuse.press_opened.already"
    assert bench.state.asked == asked


def test_the_answer_closed_counts_heat_until_opened_was_tapped() -> None:
    bench = in_final()
    bench.wait(4.0)
    bench.do(c.SayOpened())
    bench.wait(2.0)
    tapped = bench.clock - 2.0
    was = bench.do(c.SayClosed(True))[0]
    assert isinstance(was, WasClosed)
    assert bench.slot.opened is not None
    assert (bench.slot.opened.clock, bench.slot.opened_seen) == (tapped, TimeSource.DECLARED)
    assert was.heat_seconds == pytest.approx(3.0)  # 4 s after a tap that counted 1 s in
    assert bench.state.pressings[-1].ended.clock == tapped


def test_a_short_final_is_marked_stays_used_up_and_is_never_topped_up() -> None:
    bench = in_final()
    bench.wait(4.0)
    bench.do(c.SayOpened())
    bench.do(c.SayClosed(True))
    assert (bench.slot.finals, bench.slot.marks, bench.slot.step) == (1, ("short",), 5)
    assert bench.verb == "go on 12"
    bench.tap()
    assert bench.ticket("12").stage is TicketStage.COOLING
    assert bench.ticket("12").marks == ("short",)


def test_a_short_final_to_be_peeled_at_the_press_can_be_good_or_not() -> None:
    bench = in_final(PeelPlace.PRESS)
    bench.wait(4.0)
    bench.do(c.SayOpened())
    bench.do(c.SayClosed(True))
    assert bench.verb == "finish 12"


def test_a_short_final_that_is_not_good_keeps_its_carrier_for_the_re_press() -> None:
    bench = in_final(PeelPlace.PRESS)
    bench.wait(4.0)
    bench.do(c.SayOpened())
    bench.do(c.SayClosed(True))
    bench.wait(300.0)
    done = bench.do(c.Inspect("1/1/1", TicketStage.REWORK, "lifted_edge", "short_press"))[0]
    assert isinstance(done, Finished)
    assert not done.peeled


def test_a_short_tack_goes_on_with_its_mark() -> None:
    bench = bench_with(plan_of(stack()))
    bench.tap()
    bench.ring()
    bench.tap()
    bench.wait(2.0)
    bench.do(c.SayOpened())
    bench.do(c.SayClosed(True))
    assert (bench.slot.step, bench.slot.marks) == (4, ("short",))
    assert bench.verb == "close 12"


def test_both_events_of_an_early_opening_stay_in_the_record() -> None:
    bench = in_final()
    bench.wait(3.0)
    bench.do(c.SayOpened())
    bench.do(c.SayClosed(False))
    assert [type(e).__name__ for e in bench.events[-2:]] == ["AskedClosed", "NotClosed"]


def test_an_early_opening_cannot_be_reported_twice() -> None:
    bench = in_final()
    bench.wait(3.0)
    bench.do(c.SayOpened())
    assert bench.refused(c.SayOpened()) == "refuse.while.ask_closed"


def test_the_next_closing_confirms_the_way_to_the_rack() -> None:
    bench = in_final()
    bench.ring()
    assert bench.job.leaving == "1/1/1"
    (closed,) = bench.tap()
    assert isinstance(closed, Closed)
    assert closed.racked == "1/1/1"
    assert bench.job.leaving == ""


def test_no_hand_command_is_taken_while_the_press_is_hot() -> None:
    bench = in_final()
    for command in (c.Back(), c.PutOnHold(), c.PutAside("x"), c.Skip("x"), c.HandOver()):
        assert bench.refused(command) == "refuse.while.heat"
