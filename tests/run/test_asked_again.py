"""Questions asked again: after a break, of another operator, about an unattended press."""

from __future__ import annotations

import pytest
from run_samples import HOT, bench_with, one_piece, plan_of, team
from test_questions import begun, open_questions, press_whole

from kiosk.plan.model import PeelPlace
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state import commands as c
from kiosk.run.state.model import ConfirmMode
from kiosk.run.state.rules import QuestionCause, QuestionKind


def test_after_a_break_over_ten_minutes_the_number_is_asked() -> None:
    bench = bench_with()
    bench.wait(600.0)
    assert bench.is_in(ScreenKind.HANDS)
    bench.wait(1.0)
    assert bench.is_in(ScreenKind.ASK)
    bench.tick()
    assert open_questions(bench) == [(QuestionKind.NUMBER, QuestionCause.BREAK)]
    bench.answer()
    assert bench.verb == "close 12"


@pytest.mark.parametrize("number", ["12", ""])
@pytest.mark.parametrize(("seconds", "asks"), [(3500.0, False), (3601.0, True), (60_000.0, True)])
def test_after_an_hour_away_the_press_is_read_again(
    number: str, seconds: float, asks: bool
) -> None:
    """It may have been switched off, or have switched itself off: common practice, no source."""
    bench = bench_with(numbers=(number, "13"))
    for _ in range(3):
        bench.tick(seconds / 3)
    assert bench.is_in(ScreenKind.SETTING) is asks
    bench.answer()
    assert bench.is_in(ScreenKind.HANDS)
    bench.tick(1.0)
    assert bench.is_in(ScreenKind.HANDS)  # once


def test_a_garment_that_is_called_after_an_hour_away_waits_for_the_press_too() -> None:
    bench = bench_with(plan_of(one_piece(PeelPlace.PRESS, HOT)))
    press_whole(bench)
    bench.tick(4000.0)
    assert bench.is_in(ScreenKind.SETTING)


@pytest.mark.parametrize(("to", "asks"), [("", True), ("AB", False)])
def test_a_shift_that_ends_with_nobody_leaves_a_press_that_is_off(to: str, asks: bool) -> None:
    bench = bench_with()
    bench.tick(30.0)
    bench.do(c.HandOver(to))
    bench.tick(60.0)
    bench.do(c.SignOn(to or "MK", ConfirmMode.GROUPED))
    assert bench.is_in(ScreenKind.SETTING) is asks


def test_a_tap_after_a_break_that_no_tick_noticed_is_refused() -> None:
    bench = bench_with()
    meant = bench.forward()
    bench.wait(1000.0)
    late = c.Forward(meant.meaning, bench.clock)
    assert bench.refused(late) == "refuse.while.ask"


def test_a_long_hold_is_a_break() -> None:
    bench = bench_with()
    bench.do(c.PutOnHold("lunch"))
    bench.tick(900.0)
    bench.tap()
    assert bench.is_in(ScreenKind.ASK)


def test_another_operator_reads_the_current_garments_number() -> None:
    bench = bench_with()
    bench.do(c.HandOver())
    bench.do(c.SignOn("AB", ConfirmMode.GROUPED))
    assert open_questions(bench) == [(QuestionKind.NUMBER, QuestionCause.OPERATOR)]
    bench.answer()
    assert bench.verb == "close 12"
    assert open_questions(bench) == []


def test_another_operator_is_asked_for_a_number_until_one_was_read() -> None:
    bench = bench_with()
    bench.do(c.HandOver())
    bench.do(c.SignOn("AB", ConfirmMode.GROUPED))
    bench.do(c.PutAside("cannot find it"))
    assert open_questions(bench) == [
        (QuestionKind.SIZE, QuestionCause.SIZE),
        (QuestionKind.NUMBER, QuestionCause.OPERATOR),
    ]
    press_whole(bench)
    assert open_questions(bench) == []


def test_neither_a_size_nor_a_wrong_number_answers_the_number_question() -> None:
    bench = begun(team("12", "13"))
    bench.do(c.HandOver("AB"))
    bench.do(c.SignOn("AB", ConfirmMode.GROUPED))
    bench.do(c.AnswerQuestion("L"))
    bench.do(c.AnswerQuestion("21"))
    bench.do(c.PutAside("cannot find it"))
    assert (QuestionKind.NUMBER, QuestionCause.OPERATOR) in open_questions(bench)


def test_a_number_question_already_open_serves_the_next_operator_too() -> None:
    bench = begun(team("16", "91"))
    bench.do(c.HandOver("AB"))
    bench.do(c.SignOn("AB", ConfirmMode.GROUPED))
    bench.do(c.AnswerQuestion("L"))
    bench.do(c.AnswerQuestion("16"))
    assert open_questions(bench) == []
    assert bench.verb == "close 16"


def test_the_very_first_operator_is_not_a_change_of_operator() -> None:
    assert QuestionCause.OPERATOR not in [why for _, why in open_questions(begun(team("12")))]
