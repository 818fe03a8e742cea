"""What is asked, when, and what an answer does."""

from __future__ import annotations

from dataclasses import replace

import pytest
from run_samples import HOT, Bench, bench_with, on_shift, one_piece, plan_of, team

from kiosk.catalog.base.quantities import Pressure
from kiosk.plan.model import Pass, Phase, Place, Plan
from kiosk.run.facts.questions import Kind, question_at_hand
from kiosk.run.show import view
from kiosk.run.state import commands as c
from kiosk.run.state.events import ReadBack, SettingRead
from kiosk.run.state.model import Confirm, Garment
from kiosk.run.state.rules import NO_RULES, Ask, Changed, Rules
from kiosk.words import Words


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


def asked(bench: Bench) -> list[tuple[Ask, Changed]]:
    return [(q.ask, q.because) for q in bench.job.questions]


def press_whole(bench: Bench) -> None:
    """Take the garment at the press to its end (or the rack)."""
    name = bench.job.slot
    while bench.job.slot == name:
        if bench.state.heat is not None:
            bench.ring()
        else:
            bench.answer()
            bench.tap()


def test_a_job_begins_with_the_setting_of_the_press() -> None:
    bench = begun(team("12", "13"), setting=False)
    assert bench.is_in(Kind.SETTING)
    assert bench.bar.meaning is None


def test_a_wrong_setting_is_recorded_and_there_is_no_heat_until_it_is_right() -> None:
    bench = begun(team("12", "13"), setting=False)
    assert bench.do(c.ReadSetting(290)) == (SettingRead(bench.now, 290, 300),)
    assert bench.is_in(Kind.SETTING)
    bench.do(c.ReadSetting(300))
    assert bench.is_in(Kind.ASK)


@pytest.mark.parametrize(("shown", "fits"), [(294, False), (295, True), (305, True), (306, False)])
def test_what_the_press_shows_within_its_tolerance_is_kept_as_read(shown: int, fits: bool) -> None:
    bench = begun(team("12", "13"), setting=False, rules=Rules(tolerance=5))
    bench.do(c.ReadSetting(shown))
    assert bench.job.setting == shown
    assert bench.is_in(Kind.ASK) is fits
    assert bench.is_in(Kind.SETTING) is not fits


@pytest.mark.parametrize(
    ("films", "said"),
    [
        ((), "Up to 5 °F off is fine."),
        (((280, 320),), "Up to 5 °F off is fine."),
        (((280, 302),), "295 to 302 °F is fine: film and fabric allow no more."),
        (((298, 320),), "298 to 305 °F is fine: film and fabric allow no more."),
    ],
)
def test_no_reading_outside_a_films_own_window_is_called_fine(
    films: tuple[tuple[int, int], ...], said: str
) -> None:
    """A press's tolerance is a margin of the cloth's limit (rule 2 of the settings), no film's."""
    plan = replace(plan_of(one_piece()), films=films)
    bench = begun(team("12"), plan, setting=False, rules=Rules(tolerance=5))
    ask = view(bench.state, bench.now).ask
    assert ask is not None
    assert Words().say(ask.foot) == said


def test_the_first_garment_of_a_job_is_asked_for_its_size() -> None:
    assert asked(begun(team("12", "13"))) == [(Ask.SIZE, Changed.SIZE)]


def test_the_same_size_again_is_not_asked() -> None:
    bench = begun(team("12", "13"))
    press_whole(bench)
    assert asked(bench) == []


def test_another_size_is_asked() -> None:
    bench = begun((*team("12"), Garment("2", "13", "XL", "d")))
    press_whole(bench)
    assert asked(bench) == [(Ask.SIZE, Changed.SIZE)]
    question = question_at_hand(bench.job)
    assert question is not None
    assert question.right == "XL"


def test_a_right_answer_ends_the_question() -> None:
    bench = begun(team("12", "13"))
    assert bench.do(c.Read(" L ")) == (ReadBack(bench.now, "1/1/1", Ask.SIZE, "L", True),)
    assert bench.verb == "close 12"


def test_a_wrong_answer_is_recorded_and_the_choices_are_shuffled_anew() -> None:
    bench = begun(team("12", "13"))
    first = bench.job.questions[0]
    assert bench.do(c.Read("S")) == (ReadBack(bench.now, "1/1/1", Ask.SIZE, "S", False),)
    again = bench.job.questions[0]
    assert again.tries == 1
    assert sorted(again.choices) == sorted(first.choices)
    assert again.choices != first.choices
    assert bench.is_in(Kind.ASK)


def test_choices_stay_the_same_between_frames() -> None:
    bench = begun(team("12", "13"))
    first = question_at_hand(bench.job)
    bench.tick(0.03)
    assert question_at_hand(bench.job) == first


def test_a_number_with_its_twin_in_the_job_is_asked() -> None:
    bench = begun(team("16", "91", "12"))
    assert asked(bench) == [(Ask.SIZE, Changed.SIZE), (Ask.NUMBER, Changed.TWIN)]
    assert "91" in bench.job.questions[1].choices


def test_a_number_without_its_twin_in_the_job_is_not_asked() -> None:
    assert asked(begun(team("16", "12"))) == [(Ask.SIZE, Changed.SIZE)]


def test_in_a_later_pass_the_number_on_the_shirt_is_entered() -> None:
    bench = begun(team("12"), plan_of(one_piece(), one_piece(panel="front")))
    press_whole(bench)
    bench.tick(61.0)
    bench.tap()
    assert asked(bench) == [(Ask.NUMBER, Changed.LATER_PASS)]


def test_in_the_second_pass_of_one_run_nothing_is_asked() -> None:
    bench = begun(team("12"), plan_of(one_piece(), one_piece(panel="front"), runs=((0, 1),)))
    press_whole(bench)
    bench.tick(61.0)
    bench.tap()
    assert asked(bench) == []


def test_a_pass_with_another_temperature_asks_for_the_setting_again() -> None:
    plan = plan_of(one_piece(), one_piece(degrees=270, panel="front"))
    bench = begun(team("12"), plan)
    press_whole(bench)
    bench.tick(61.0)
    bench.tap()
    assert bench.is_in(Kind.SETTING)
    question = question_at_hand(bench.job)
    assert question is not None
    assert question.right == "270"


def test_a_reading_near_the_next_setting_too_is_no_reading_for_it() -> None:
    plan = plan_of(one_piece(), one_piece(degrees=304, panel="front"))
    bench = begun(team("12"), plan, setting=False, rules=Rules(tolerance=5))
    bench.do(c.ReadSetting(302))
    press_whole(bench)
    bench.tick(61.0)
    bench.tap()
    assert bench.is_in(Kind.SETTING)


def pressed_at(passage: Pass, low: Pressure, high: Pressure) -> Pass:
    """The pass with its closings at another pressure, and nothing else different."""
    steps = tuple(
        step if step.pressure_low is None else replace(step, pressure_low=low, pressure_high=high)
        for step in passage.steps
    )
    return replace(passage, steps=steps)


FRONT = one_piece(panel="front")  # medium to medium-firm, as `one_piece` is
PRESSURES = {
    "lighter": (Pressure.LIGHT, Pressure.LIGHT_MEDIUM, True),
    "narrower": (Pressure.MEDIUM_FIRM, Pressure.MEDIUM_FIRM, True),
    "the same": (Pressure.MEDIUM, Pressure.MEDIUM_FIRM, False),
    "wider": (Pressure.LIGHT, Pressure.FIRM, False),
}


@pytest.mark.parametrize(("low", "high", "asks"), PRESSURES.values(), ids=PRESSURES)
def test_a_pass_of_another_pressure_alone_asks_for_the_setting_again(
    low: Pressure, high: Pressure, asks: bool
) -> None:
    """What was set for the last pass may be too much or too little for this one.

    Common practice, no source: too firm crushes a soft film, too light leaves a film unbonded.
    """
    bench = begun(team("12"), plan_of(one_piece(), pressed_at(FRONT, low, high)))
    press_whole(bench)
    bench.tick(61.0)
    bench.tap()
    assert bench.is_in(Kind.SETTING) is asks
    if asks:
        shown = view(bench.state, bench.now)
        assert shown.ask is not None
        assert Words().say(shown.ask.title).startswith("Change the pressure: ")
        assert Words().say(shown.ask.line) == "It stays at 300 °F."
        bench.do(c.ReadSetting(300))
        assert not bench.is_in(Kind.SETTING)


@pytest.mark.parametrize("opens_itself", [True, False])
def test_a_press_that_opens_itself_is_asked_for_where_its_timer_changes(opens_itself: bool) -> None:
    """Its timer would open it too early, or leave it closed for longer than the film bears."""
    steps = tuple(replace(s, seconds=11) if s.phase is Phase.FINAL else s for s in FRONT.steps)
    plan = plan_of(one_piece(), replace(FRONT, steps=steps), opens_itself=opens_itself)
    bench = begun(team("12"), plan)
    press_whole(bench)
    bench.tick(61.0)
    bench.tap()
    assert bench.is_in(Kind.SETTING) is opens_itself
    ask = view(bench.state, bench.now).ask
    if opens_itself and ask is not None:
        assert Words().say(ask.title) == "Set its timer to 11 s"


def test_in_a_run_of_two_times_the_shorter_closing_is_opened_by_hand() -> None:
    """The timer stays at the longer one: nobody sets it twice a garment."""
    steps = tuple(replace(s, seconds=11) if s.phase is Phase.FINAL else s for s in FRONT.steps)
    plan = plan_of(one_piece(), replace(FRONT, steps=steps), runs=((0, 1),))
    bench = begun(team("12"), plan, setting=False)
    assert told(bench) == ["Pressure: medium to medium-firm. Press timer: 15 s"]
    bench.answer()
    said = []
    for _ in range(12):
        heat = bench.state.heat
        if heat is not None:
            said += [(heat.dwell_seconds, line) for line in told(bench) if "open" in line]
            bench.ring()
        elif bench.bar.meaning is None:
            bench.tick(61.0)
        else:
            bench.answer()
            bench.tap()
    assert (15.0, "opens by itself at the tone") in said
    assert (11.0, "open by hand at the tone") in said
    assert (11.0, "opens by itself at the tone") not in said


def test_a_run_is_set_to_what_serves_all_its_passes_and_asked_once() -> None:
    front = pressed_at(FRONT, Pressure.LIGHT, Pressure.MEDIUM)
    bench = begun(team("12"), plan_of(one_piece(), front, runs=((0, 1),)), setting=False)
    assert told(bench) == ["Pressure: medium. Press timer: 15 s"]
    bench.do(c.ReadSetting(300))
    press_whole(bench)
    bench.tick(61.0)
    bench.tap()
    assert not bench.is_in(Kind.SETTING)


def test_what_a_press_is_set_to_is_told_whole() -> None:
    """A press that opens by itself has a timer to be set; any other is opened at the tone."""
    plan = plan_of(one_piece())
    bench = begun(team("12"), plan, setting=False)
    assert told(bench) == ["Pressure: medium to medium-firm. Press timer: 15 s"]
    bench = begun(team("12"), replace(plan, opens_itself=False), setting=False)
    assert told(bench) == ["Pressure: medium to medium-firm"]


def told(bench: Bench) -> list[str]:
    return [Words().say(line) for line in view(bench.state, bench.now).lines]


def test_after_a_break_over_ten_minutes_the_number_is_asked() -> None:
    bench = bench_with()
    bench.wait(600.0)
    assert bench.is_in(Kind.HANDS)
    bench.wait(1.0)
    assert bench.is_in(Kind.ASK)
    bench.tick()
    assert asked(bench) == [(Ask.NUMBER, Changed.BREAK)]
    bench.answer()
    assert bench.verb == "close 12"


@pytest.mark.parametrize("number", ["12", ""])
@pytest.mark.parametrize(("seconds", "asks"), [(3500.0, False), (3601.0, True), (60_000.0, True)])
def test_after_an_hour_away_the_press_is_read_again(
    number: str, seconds: float, asks: bool
) -> None:
    """Somebody may have switched it off, or it did so itself: common practice, no source."""
    bench = bench_with(numbers=(number, "13"))
    for _ in range(3):
        bench.tick(seconds / 3)
    assert bench.is_in(Kind.SETTING) is asks
    bench.answer()
    assert bench.is_in(Kind.HANDS)
    bench.tick(1.0)
    assert bench.is_in(Kind.HANDS)  # once


def test_a_garment_that_is_called_after_an_hour_away_waits_for_the_press_too() -> None:
    bench = bench_with(plan_of(one_piece(Place.PRESS, HOT)))
    press_whole(bench)
    bench.tick(4000.0)
    assert bench.is_in(Kind.SETTING)


@pytest.mark.parametrize(("to", "asks"), [("", True), ("AB", False)])
def test_a_shift_that_ends_with_nobody_leaves_a_press_that_is_off(to: str, asks: bool) -> None:
    bench = bench_with()
    bench.tick(30.0)
    bench.do(c.HandOver(to))
    bench.tick(60.0)
    bench.do(c.SignOn(to or "MK", Confirm.GROUPED))
    assert bench.is_in(Kind.SETTING) is asks


def test_a_tap_after_a_break_that_no_tick_noticed_is_refused() -> None:
    bench = bench_with()
    meant = bench.forward()
    bench.wait(1000.0)
    late = c.Forward(meant.meaning, bench.clock)
    assert bench.refused(late) == "refuse.while.ask"


def test_a_long_hold_is_a_break() -> None:
    bench = bench_with()
    bench.do(c.HoldOn("lunch"))
    bench.tick(900.0)
    bench.tap()
    assert bench.is_in(Kind.ASK)


def test_another_operator_reads_the_number_of_the_garment_at_hand() -> None:
    bench = bench_with()
    bench.do(c.HandOver())
    bench.do(c.SignOn("AB", Confirm.GROUPED))
    assert asked(bench) == [(Ask.NUMBER, Changed.OPERATOR)]
    bench.answer()
    assert bench.verb == "close 12"
    assert asked(bench) == []


def test_another_operator_is_asked_for_a_number_until_one_was_read() -> None:
    bench = bench_with()
    bench.do(c.HandOver())
    bench.do(c.SignOn("AB", Confirm.GROUPED))
    bench.do(c.PutAside("cannot find it"))
    assert asked(bench) == [(Ask.SIZE, Changed.SIZE), (Ask.NUMBER, Changed.OPERATOR)]
    press_whole(bench)
    assert asked(bench) == []


def test_neither_a_size_nor_a_wrong_number_stands_for_the_number_that_was_to_be_read() -> None:
    bench = begun(team("12", "13"))
    bench.do(c.HandOver("AB"))
    bench.do(c.SignOn("AB", Confirm.GROUPED))
    bench.do(c.Read("L"))
    bench.do(c.Read("21"))
    bench.do(c.PutAside("cannot find it"))
    assert (Ask.NUMBER, Changed.OPERATOR) in asked(bench)


def test_a_number_that_is_asked_for_already_serves_another_operator_too() -> None:
    bench = begun(team("16", "91"))
    bench.do(c.HandOver("AB"))
    bench.do(c.SignOn("AB", Confirm.GROUPED))
    bench.do(c.Read("L"))
    bench.do(c.Read("16"))
    assert asked(bench) == []
    assert bench.verb == "close 16"


def test_the_first_operator_of_all_is_no_change() -> None:
    assert Changed.OPERATOR not in [why for _, why in asked(begun(team("12")))]


def test_at_most_one_question_for_size_and_one_for_number() -> None:
    bench = begun(team("16", "91"))
    bench.do(c.HandOver())
    bench.do(c.SignOn("AB", Confirm.GROUPED))
    bench.tick(700.0)
    assert [ask for ask, _ in asked(bench)] == [Ask.SIZE, Ask.NUMBER]


def test_there_is_no_heat_while_a_question_is_open() -> None:
    bench = begun(team("12", "13"))
    close = c.Forward(c.Meaning(c.Verb.CLOSE, "1/1/1", 1), bench.clock)
    assert bench.refused(close) == "refuse.while.ask"


def test_nothing_is_asked_of_a_garment_whose_heat_is_done() -> None:
    bench = bench_with(plan_of(one_piece(Place.PRESS)))
    for _ in range(2):
        bench.tap()
        bench.ring()
    bench.tick(700.0)
    assert bench.verb == "finish 12"


def test_a_job_without_numbers_asks_for_none() -> None:
    bench = begun(team("", ""))
    bench.do(c.Read("L"))
    bench.tick(700.0)
    assert asked(bench) == []
    assert bench.tick(1.0) == ()


def test_nobody_is_asked_while_the_press_is_closed_or_nobody_is_there() -> None:
    closed = bench_with()
    closed.do(c.HoldOn("phone"))
    closed.do(c.PressClosed())
    assert closed.tick(700.0) == ()
    alone = bench_with()
    alone.do(c.HandOver())
    assert alone.tick(700.0) == ()
