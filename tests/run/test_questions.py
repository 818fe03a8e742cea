"""What is asked, when, and what an answer does."""

from __future__ import annotations

from run_samples import Bench, bench_with, on_shift, one_piece, plan_of, team

from kiosk.plan.model import PeelPlace, Plan
from kiosk.run.facts.questions import ScreenKind, question_at_hand
from kiosk.run.state import commands as c
from kiosk.run.state.events import ReadBack
from kiosk.run.state.model import ConfirmMode, Garment
from kiosk.run.state.rules import NO_RULES, QuestionCause, QuestionKind, Rules


def begun(
    garments: tuple[Garment, ...],
    plan: Plan | None = None,
    setting: bool = True,
    rules: Rules = NO_RULES,
) -> Bench:
    """A bench with a job begun, the press set, and nothing else answered."""
    bench = on_shift()
    plan = plan or plan_of(one_piece())
    bench.do(c.StartJob(plan.job, plan, "hash", garments, rules=rules))
    if setting:
        bench.do(c.ReadSetting(300))
    return bench


def open_questions(bench: Bench) -> list[tuple[QuestionKind, QuestionCause]]:
    return [(q.ask, q.because) for q in bench.job.questions]


def press_whole(bench: Bench) -> None:
    """Take the garment at the press to its end (or to the rack)."""
    name = bench.job.slot
    while bench.job.slot == name:
        if bench.state.heat is not None:
            bench.ring()
        else:
            bench.answer()
            bench.tap()


def test_the_first_garment_of_a_job_is_asked_for_its_size() -> None:
    assert open_questions(begun(team("12", "13"))) == [(QuestionKind.SIZE, QuestionCause.SIZE)]


def test_the_same_size_again_is_not_asked() -> None:
    bench = begun(team("12", "13"))
    press_whole(bench)
    assert open_questions(bench) == []


def test_another_size_is_asked() -> None:
    bench = begun((*team("12"), Garment("2", "13", "XL", "d")))
    press_whole(bench)
    assert open_questions(bench) == [(QuestionKind.SIZE, QuestionCause.SIZE)]
    question = question_at_hand(bench.job)
    assert question is not None
    assert question.right == "XL"


def test_a_right_answer_ends_the_question() -> None:
    bench = begun(team("12", "13"))
    assert bench.do(c.AnswerQuestion(" L ")) == (
        ReadBack(bench.now, "1/1/1", QuestionKind.SIZE, "L", True),
    )
    assert bench.verb == "close 12"


def test_a_wrong_answer_is_recorded_and_the_choices_are_reshuffled() -> None:
    bench = begun(team("12", "13"))
    first = bench.job.questions[0]
    assert bench.do(c.AnswerQuestion("S")) == (
        ReadBack(bench.now, "1/1/1", QuestionKind.SIZE, "S", False),
    )
    again = bench.job.questions[0]
    assert again.tries == 1
    assert sorted(again.choices) == sorted(first.choices)
    assert again.choices != first.choices
    assert bench.is_in(ScreenKind.ASK)


def test_choices_stay_the_same_between_frames() -> None:
    bench = begun(team("12", "13"))
    first = question_at_hand(bench.job)
    bench.tick(0.03)
    assert question_at_hand(bench.job) == first


def test_a_number_with_its_twin_in_the_job_is_asked() -> None:
    bench = begun(team("16", "91", "12"))
    assert open_questions(bench) == [
        (QuestionKind.SIZE, QuestionCause.SIZE),
        (QuestionKind.NUMBER, QuestionCause.TWIN),
    ]
    assert "91" in bench.job.questions[1].choices


def test_a_number_without_its_twin_in_the_job_is_not_asked() -> None:
    assert open_questions(begun(team("16", "12"))) == [(QuestionKind.SIZE, QuestionCause.SIZE)]


def test_in_a_later_pass_the_number_on_the_shirt_is_entered() -> None:
    bench = begun(team("12"), plan_of(one_piece(), one_piece(panel="front")))
    press_whole(bench)
    bench.tick(61.0)
    bench.tap()
    assert open_questions(bench) == [(QuestionKind.NUMBER, QuestionCause.LATER_PASS)]


def test_in_the_second_pass_of_one_run_nothing_is_asked() -> None:
    bench = begun(team("12"), plan_of(one_piece(), one_piece(panel="front"), runs=((0, 1),)))
    press_whole(bench)
    bench.tick(61.0)
    bench.tap()
    assert open_questions(bench) == []


def test_at_most_one_question_for_size_and_one_for_number() -> None:
    bench = begun(team("16", "91"))
    bench.do(c.HandOver())
    bench.do(c.SignOn("AB", ConfirmMode.GROUPED))
    bench.tick(700.0)
    assert [ask for ask, _ in open_questions(bench)] == [QuestionKind.SIZE, QuestionKind.NUMBER]


def test_there_is_no_heat_while_a_question_is_open() -> None:
    bench = begun(team("12", "13"))
    close = c.Forward(c.Meaning(c.Verb.CLOSE, "1/1/1", 1), bench.clock)
    assert bench.refused(close) == "refuse.while.ask"


def test_nothing_is_asked_of_a_garment_whose_heat_is_done() -> None:
    bench = bench_with(plan_of(one_piece(PeelPlace.PRESS)))
    for _ in range(2):
        bench.tap()
        bench.ring()
    bench.tick(700.0)
    assert bench.verb == "finish 12"


def test_a_job_without_numbers_asks_for_none() -> None:
    bench = begun(team("", ""))
    bench.do(c.AnswerQuestion("L"))
    bench.tick(700.0)
    assert open_questions(bench) == []
    assert bench.tick(1.0) == ()


def test_nobody_is_asked_while_the_press_is_closed_or_nobody_is_there() -> None:
    closed = bench_with()
    closed.do(c.PutOnHold("phone"))
    closed.do(c.PressClosed())
    assert closed.tick(700.0) == ()
    alone = bench_with()
    alone.do(c.HandOver())
    assert alone.tick(700.0) == ()
