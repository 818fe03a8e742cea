"""The station asks once, gently, about a move confirmed too quickly to be done."""

from __future__ import annotations

from run_samples import COLD, WARM, Bench, bench_with, one_piece, plan_of, staged

from kiosk.plan.model import PeelPlace, Phase, Step
from kiosk.run.facts.hands import least_seconds, seconds_missing
from kiosk.run.show.view import view
from kiosk.run.state import commands as c
from kiosk.run.state.events import AskedQuick, Closed, Confirmed, Finished
from kiosk.run.state.model import ConfirmMode
from kiosk.words import Words

WORDS = Words("en")


def laying(seconds: float) -> Bench:
    """The first garment after its pre-press, its piece to lay, `seconds` later."""
    bench = bench_with(plan_of(one_piece(PeelPlace.RACK, COLD)))
    bench.answer()
    bench.tap()
    bench.ring()
    bench.wait(seconds)
    return bench


def test_laying_and_the_sheet_take_two_and_a_half_seconds_at_the_least() -> None:
    """Common practice, no source: starts low."""
    assert least_seconds(Step(Phase.LAY, ("number.1", "name.1"))) == 4.0
    assert least_seconds(Step(Phase.COVER)) == 0.5
    assert least_seconds(Step(Phase.LOAD)) == 2.0


def test_a_move_faster_than_hands_is_asked_about_and_the_second_press_goes_on() -> None:
    bench = laying(1.0)
    (asked,) = bench.do(bench.forward())
    assert isinstance(asked, AskedQuick)
    assert asked.missing == 1.5
    assert bench.state.heat is None
    bench.wait(0.6)
    assert isinstance(bench.do(bench.forward())[0], Closed)


def test_the_question_is_on_the_screen_until_it_is_pressed_again() -> None:
    bench = laying(1.0)
    bench.do(bench.forward())
    shown = view(bench.state, bench.now)
    assert WORDS.say(shown.move) == "Is it all laid?"
    assert WORDS.say(shown.lines[0]) == "too quick: press again when it is done"
    bench.tap()
    bench.ring()
    assert WORDS.say(view(bench.state, bench.now).move) != "Is it all laid?"


def test_a_double_press_does_not_answer_it() -> None:
    bench = laying(1.0)
    bench.do(bench.forward())
    bench.wait(0.2)
    assert bench.refused(bench.forward()) == "refuse.forward.too_soon"


def test_it_is_not_forgotten_when_the_station_starts_again() -> None:
    """The same boot: the program came back, and the operator presses again."""
    bench = laying(1.0)
    bench.do(bench.forward())
    bench.do(c.Start("1.0"))
    bench.wait(1.0)
    assert isinstance(bench.do(bench.forward())[0], Closed)


def test_hands_that_take_their_time_are_not_asked() -> None:
    bench = laying(2.5)
    assert isinstance(bench.do(bench.forward())[0], Closed)


def test_a_move_before_a_closing_that_never_happened_is_not_questioned_again() -> None:
    """Its pieces are still laid."""
    bench = laying(4.0)
    bench.do(bench.forward())
    bench.wait(0.5)
    bench.do(c.SayOpened())
    bench.wait(0.5)
    bench.do(c.SayClosed(False))
    bench.wait(0.6)
    assert isinstance(bench.do(bench.forward())[0], Closed)


def test_a_move_taken_back_is_not_questioned() -> None:
    bench = laying(4.0)
    bench.do(c.PutAside("later"))
    bench.do(c.Back())
    bench.wait(0.6)
    assert seconds_missing(bench.state, bench.now) == 0.0


def test_a_hot_peel_at_the_press_may_be_as_quick_as_it_likes() -> None:
    bench = bench_with(plan_of(staged()), ("12",))
    bench.answer()
    bench.tap()
    bench.ring()
    assert seconds_missing(bench.state, bench.now) == 0.0


def test_peeled_good_is_asked_about_once_while_it_is_too_soon_in_the_hands() -> None:
    bench = peeling_in_hand(ConfirmMode.GROUPED)
    bench.wait(1.0)
    (asked,) = bench.do(bench.forward())
    assert isinstance(asked, AskedQuick)
    assert asked.missing == WARM.from_seconds - 1.0
    assert WORDS.say(view(bench.state, bench.now).move) == "Is it ready to peel?"
    bench.wait(0.6)
    assert isinstance(bench.do(bench.forward())[0], Finished)


def test_a_peel_asked_about_too_soon_is_called_normally_once_it_is_due() -> None:
    """It went on saying "too quick" for as long as nobody tapped, even when the peel was late."""
    bench = peeling_in_hand(ConfirmMode.GROUPED)
    bench.wait(1.0)
    bench.do(bench.forward())
    asked = view(bench.state, bench.now)
    assert WORDS.say(asked.lines[0]) == "too quick: press again when it is done"
    bench.wait(WARM.from_seconds)
    shown = view(bench.state, bench.now)
    assert WORDS.say(shown.move) == "Peel warm, look"
    assert not [line for line in shown.lines if "too quick" in WORDS.say(line)]
    bench.wait(WARM.to_seconds)
    assert "late" in " ".join(WORDS.say(line) for line in view(bench.state, bench.now).lines)


def test_peeled_good_at_its_time_is_not_asked_about() -> None:
    bench = peeling_in_hand(ConfirmMode.GROUPED)
    bench.wait(WARM.from_seconds)
    assert isinstance(bench.do(bench.forward())[0], Finished)


def test_a_trainee_is_asked_about_a_peel_that_is_too_soon() -> None:
    bench = peeling_in_hand()
    bench.wait(3.0)
    (asked,) = bench.do(bench.forward())
    assert isinstance(asked, AskedQuick)
    assert asked.missing == WARM.from_seconds - 3.0
    assert WORDS.say(view(bench.state, bench.now).move) == "Is it ready to peel?"
    bench.wait(1.0)
    (peeled,) = bench.do(bench.forward())
    assert isinstance(peeled, Confirmed)
    assert peeled.early_seconds == WARM.from_seconds - 4.0


def test_a_trainee_is_not_asked_about_a_peel_at_its_time() -> None:
    bench = peeling_in_hand()
    bench.wait(WARM.from_seconds)
    assert isinstance(bench.do(bench.forward())[0], Confirmed)


def peeling_in_hand(confirm: ConfirmMode = ConfirmMode.EACH) -> Bench:
    """The final has just ended; its peel waits in the hands."""
    bench = bench_with(plan_of(one_piece(PeelPlace.HAND, WARM)), confirm=confirm)
    bench.answer()
    steps = one_piece(PeelPlace.HAND, WARM).steps
    while steps[bench.slot.step].phase is not Phase.PEEL:
        if bench.state.heat is None:
            bench.wait(8.0)
            bench.tap()
        else:
            bench.ring()
    return bench
