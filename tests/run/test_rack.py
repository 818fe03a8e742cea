"""One pedal for press and rack, and when a peel is due."""

from __future__ import annotations

from dataclasses import replace

import pytest
from run_samples import WARM, Bench, bench_with, one_piece, plan_of

from kiosk.plan.model import PeelPlace
from kiosk.run.facts.peels import oldest_due, peel_time
from kiosk.run.facts.questions import BarOwner, ScreenKind
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.cooling import TouchFeel
from kiosk.run.state.events import Finished
from kiosk.run.state.model import TicketStage


def racked(numbers: tuple[str, ...] = ("12", "13", "14")) -> Bench:
    """A bench whose first garment has just gone to the rack; its peel is due in 60 s."""
    bench = bench_with(numbers=numbers)
    bench.tap()
    bench.ring()
    bench.tap()
    bench.ring()
    return bench


def press_next(bench: Bench) -> Bench:
    """Load the next garment and close on its pre-press."""
    bench.tap()
    return bench


def test_a_garment_joins_the_rack_when_its_final_ends_and_the_next_is_called() -> None:
    bench = racked()
    assert bench.numbers(bench.job.rack) == ("12",)
    assert bench.slot.garment.number == "13"


def test_during_the_question_whether_it_closed_the_bar_does_nothing() -> None:
    """design.md section 3: forward acts on the rack with the press closed; here nobody knows."""
    bench = racked()
    bench.tick(70.0)
    press_next(bench)
    bench.ring()
    press_next(bench)
    bench.wait(8.0)
    assert (bench.verb, bench.bar.owner) == ("peeled 12", BarOwner.RACK)
    bench.do(c.SayOpened())
    bench.wait(1.0)
    assert bench.is_in(ScreenKind.ASK_CLOSED)
    assert (bench.verb, bench.bar.owner) == ("-", BarOwner.NOBODY)


def test_the_press_is_free_while_garments_cool() -> None:
    bench = racked()
    assert (bench.verb, bench.bar.owner) == ("close 13", BarOwner.PRESS)


def test_press_open_means_the_press_even_when_a_peel_is_due() -> None:
    bench = racked()
    bench.tick(100.0)
    assert bench.verb == "close 13"


def test_a_peel_is_due_by_the_plans_wait_after_the_opening() -> None:
    bench = racked()
    bench.wait(10.0)
    time = peel_time(bench.job, bench.ticket("12"), bench.now)
    assert time is not None
    assert (time.from_seconds, time.to_seconds, time.uncertain) == (50.0, 590.0, False)
    assert oldest_due(bench.job, bench.now) is None
    bench.wait(50.0)
    due = oldest_due(bench.job, bench.now)
    assert due == (bench.ticket("12"), 0.0)


def test_before_five_seconds_of_closed_press_forward_means_nothing() -> None:
    bench = racked()
    bench.tick(70.0)
    press_next(bench)
    bench.ring()
    press_next(bench)
    assert bench.state.heat is not None
    bench.until(bench.state.heat.starts + 4.9)
    assert (bench.verb, bench.bar.owner) == ("-", BarOwner.NOBODY)


def test_from_five_seconds_of_closed_press_forward_is_peeled_for_the_oldest_due() -> None:
    bench = racked()
    bench.tick(70.0)
    press_next(bench)
    bench.ring()
    press_next(bench)
    assert bench.state.heat is not None
    bench.until(bench.state.heat.starts + 5.0)
    assert (bench.verb, bench.bar.owner) == ("peeled 12", BarOwner.RACK)
    assert bench.bar.since == bench.clock


def test_with_none_due_a_press_on_the_closed_press_is_refused() -> None:
    bench = racked()
    bench.tap()
    bench.ring()
    bench.tap()
    bench.wait(7.0)
    peel_too_early = c.Forward(c.Meaning(c.Verb.PEELED, "1/1/1", 5), bench.clock)
    assert bench.refused(peel_too_early) == "refuse.forward.hot"


def test_a_peel_that_was_due_before_the_closing_is_logged_at_or_before() -> None:
    bench = racked()
    bench.tick(70.0)
    bench.tap()
    bench.ring()
    bench.tap()
    bench.wait(7.0)
    done = bench.tap()[0]
    assert isinstance(done, Finished)
    assert (done.ticket, done.stage, done.peeled, done.before) == (
        "1/1/1",
        TicketStage.GOOD,
        True,
        True,
    )


def test_a_peel_that_came_due_in_the_closing_is_logged_at_its_moment() -> None:
    bench = racked()
    bench.tick(40.0)
    bench.tap()
    bench.ring()
    bench.tap()
    bench.wait(10.0)
    bench.tick(4.0)
    assert bench.verb == "peeled 12"
    done = bench.tap()[0]
    assert isinstance(done, Finished)
    assert not done.before


def test_the_label_comes_up_when_the_peel_is_due() -> None:
    bench = racked()
    due = bench.clock + 60.0
    bench.tick(40.0)
    bench.tap()
    bench.ring()
    bench.tap()
    assert bench.state.heat is not None
    assert bench.state.heat.starts + 5.0 < due + 1.0 < bench.state.heat.starts + 15.0
    bench.until(due + 0.2)
    assert bench.verb == "peeled 12"
    assert bench.bar.since == pytest.approx(due)
    assert bench.refused(bench.forward()) == "refuse.forward.too_soon"


def test_a_press_that_bounces_peels_no_second_garment() -> None:
    """design.md section 3: within half a second of a new label a press is refused."""
    bench = racked(("12", "13", "14"))
    press_next(bench)
    bench.ring()
    press_next(bench)
    bench.ring()
    bench.tick(300.0)
    press_next(bench)
    bench.ring()
    press_next(bench)
    bench.wait(8.0)
    assert bench.verb == "peeled 12"
    bench.do(bench.forward())
    assert bench.verb == "peeled 13"
    bench.wait(0.3)
    assert bench.refused(bench.forward()) == "refuse.forward.too_soon"
    bench.wait(0.3)
    bench.do(bench.forward())
    assert bench.job.rack == ()


def test_nothing_left_to_load_means_the_rack_once_a_peel_is_due() -> None:
    bench = racked(("12",))
    assert bench.is_in(ScreenKind.HANDS)
    assert bench.verb == "-"
    assert bench.refused(c.Forward(c.Meaning(c.Verb.PEELED), bench.clock)) == (
        "refuse.forward.nobody"
    )
    bench.tick(60.0)
    assert (bench.verb, bench.bar.owner) == ("peeled 12", BarOwner.RACK)
    bench.tap()
    assert bench.job.done


def test_a_chip_can_always_be_touched_and_an_early_peel_is_noted() -> None:
    bench = racked()
    bench.wait(20.0)
    done = bench.do(c.Inspect("1/1/1", TicketStage.GOOD))[0]
    assert isinstance(done, Finished)
    assert done.early_seconds == pytest.approx(40.0)
    bench.do(c.Back())
    bench.tap()
    bench.wait(1.0)
    done = bench.do(c.Inspect("1/1/1", TicketStage.GOOD))[0]
    assert isinstance(done, Finished)
    assert not done.before
    assert bench.state.heat is not None


def test_any_number_of_garments_can_cool_oldest_first() -> None:
    bench = bench_with(numbers=tuple(str(n) for n in range(20, 30)))
    while bench.job.slot:
        bench.tap()
        bench.ring()
    assert bench.numbers(bench.job.rack)[-3:] == ("27", "28", "29")
    bench.tick(61.0)
    first = bench.job.rack[0]
    done = bench.tap()[0]
    assert isinstance(done, Finished)
    assert done.ticket == first


def test_a_garment_with_a_short_wait_can_be_due_before_an_older_one() -> None:
    both = plan_of(one_piece(), one_piece(PeelPlace.RACK, WARM, panel="front"), runs=((0, 1),))
    bench = bench_with(both, ("12", "13"))
    bench.tap()
    bench.ring()
    bench.tap()
    bench.ring()
    assert bench.slot.garment.number == "13", "12 cannot go into its next pass before its peel"
    bench.do(c.Inspect("1/1/1", TicketStage.GOOD))
    bench.tap()
    bench.ring()
    bench.tap()
    bench.ring()
    bench.answer()
    assert (bench.slot.garment.number, bench.slot.passage) == ("12", 1)
    bench.tap()
    bench.ring()
    bench.tap()
    bench.ring()
    bench.wait(10.0)
    assert bench.job.rack == ("2/1/1", "1/2/1")
    due = oldest_due(bench.job, bench.now)
    assert due is not None
    assert due.ticket.id == "1/2/1"


@pytest.mark.parametrize("celsius", [None, -5.0, 900.0])
def test_an_impossible_thermometer_reading_is_refused(celsius: float | None) -> None:
    bench = bench_with()
    for _ in range(2):
        bench.tap()
        bench.ring()
    touch = s.ReportTouch("1/1/1", TouchFeel.READING, celsius)
    assert bench.refused(touch) == "refuse.touch.reading"
    assert bench.names(replace(touch, celsius=48.0)) == ("Touched",)
