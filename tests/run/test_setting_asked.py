"""The press's setting: read at the beginning, and again when the next heat needs another."""

from __future__ import annotations

from dataclasses import replace

import pytest
from run_samples import Bench, one_piece, plan_of, team
from test_questions import begun, press_whole

from kiosk.catalog.base.quantities import Pressure
from kiosk.plan.model import Pass, Phase
from kiosk.run.facts.questions import ScreenKind, question_at_hand
from kiosk.run.show import view
from kiosk.run.state import commands as c
from kiosk.run.state.events import SettingRead
from kiosk.run.state.rules import Rules
from kiosk.words import Words


def test_a_job_begins_with_the_setting_of_the_press() -> None:
    bench = begun(team("12", "13"), setting=False)
    assert bench.is_in(ScreenKind.SETTING)
    assert bench.bar.meaning is None


def test_a_wrong_setting_is_recorded_and_there_is_no_heat_until_it_is_right() -> None:
    bench = begun(team("12", "13"), setting=False)
    assert bench.do(c.ReadSetting(290)) == (SettingRead(bench.now, 290, 300),)
    assert bench.is_in(ScreenKind.SETTING)
    bench.do(c.ReadSetting(300))
    assert bench.is_in(ScreenKind.ASK)


@pytest.mark.parametrize(("shown", "fits"), [(294, False), (295, True), (305, True), (306, False)])
def test_what_the_press_shows_within_its_tolerance_is_kept_as_read(shown: int, fits: bool) -> None:
    bench = begun(team("12", "13"), setting=False, rules=Rules(tolerance=5))
    bench.do(c.ReadSetting(shown))
    assert bench.job.setting == shown
    assert bench.is_in(ScreenKind.ASK) is fits
    assert bench.is_in(ScreenKind.SETTING) is not fits


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
    """A press's tolerance comes from the cloth's limit (rule 2 of the settings), not a film's."""
    plan = replace(plan_of(one_piece()), films=films)
    bench = begun(team("12"), plan, setting=False, rules=Rules(tolerance=5))
    ask = view(bench.state, bench.now).ask
    assert ask is not None
    assert Words().say(ask.foot) == said


def test_a_pass_with_another_temperature_asks_for_the_setting_again() -> None:
    plan = plan_of(one_piece(), one_piece(degrees=270, panel="front"))
    bench = begun(team("12"), plan)
    press_whole(bench)
    bench.tick(61.0)
    bench.tap()
    assert bench.is_in(ScreenKind.SETTING)
    question = question_at_hand(bench.job)
    assert question is not None
    assert question.right == "270"


def test_a_reading_also_near_the_next_setting_does_not_count_for_it() -> None:
    plan = plan_of(one_piece(), one_piece(degrees=304, panel="front"))
    bench = begun(team("12"), plan, setting=False, rules=Rules(tolerance=5))
    bench.do(c.ReadSetting(302))
    press_whole(bench)
    bench.tick(61.0)
    bench.tap()
    assert bench.is_in(ScreenKind.SETTING)


def pressed_at(passage: Pass, low: Pressure, high: Pressure) -> Pass:
    """The pass with only the pressure of its closings changed."""
    steps = tuple(
        step if step.pressure_low is None else replace(step, pressure_low=low, pressure_high=high)
        for step in passage.steps
    )
    return replace(passage, steps=steps)


FRONT = one_piece(panel="front")  # medium to medium-firm, like `one_piece`
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
    """The pressure set for the last pass may be too much or too little for this one.

    Common practice, no source: too firm crushes a soft film, too light leaves a film unbonded.
    """
    bench = begun(team("12"), plan_of(one_piece(), pressed_at(FRONT, low, high)))
    press_whole(bench)
    bench.tick(61.0)
    bench.tap()
    assert bench.is_in(ScreenKind.SETTING) is asks
    if asks:
        shown = view(bench.state, bench.now)
        assert shown.ask is not None
        assert Words().say(shown.ask.title).startswith("Change the pressure: ")
        assert Words().say(shown.ask.line) == "It stays at 300 °F."
        bench.do(c.ReadSetting(300))
        assert not bench.is_in(ScreenKind.SETTING)


@pytest.mark.parametrize("opens_itself", [True, False])
def test_a_press_that_opens_itself_is_set_again_when_its_timer_changes(opens_itself: bool) -> None:
    """Its timer would open it too early, or leave it closed longer than the film bears."""
    steps = tuple(replace(s, seconds=11) if s.phase is Phase.FINAL else s for s in FRONT.steps)
    plan = plan_of(one_piece(), replace(FRONT, steps=steps), opens_itself=opens_itself)
    bench = begun(team("12"), plan)
    press_whole(bench)
    bench.tick(61.0)
    bench.tap()
    assert bench.is_in(ScreenKind.SETTING) is opens_itself
    ask = view(bench.state, bench.now).ask
    if opens_itself and ask is not None:
        assert Words().say(ask.title) == "Set its timer to 11 s"


def test_in_a_run_with_two_dwells_the_shorter_closing_is_opened_by_hand() -> None:
    """The timer stays at the longer one: nobody sets it twice per garment."""
    steps = tuple(replace(s, seconds=11) if s.phase is Phase.FINAL else s for s in FRONT.steps)
    plan = plan_of(one_piece(), replace(FRONT, steps=steps), runs=((0, 1),))
    bench = begun(team("12"), plan, setting=False)
    assert dial_lines(bench) == ["Pressure: medium to medium-firm. Press timer: 15 s"]
    bench.answer()
    said = []
    for _ in range(12):
        heat = bench.state.heat
        if heat is not None:
            said += [(heat.dwell_seconds, line) for line in dial_lines(bench) if "open" in line]
            bench.ring()
        elif bench.bar.meaning is None:
            bench.tick(61.0)
        else:
            bench.answer()
            bench.tap()
    assert (15.0, "opens by itself at the tone") in said
    assert (11.0, "open by hand at the tone") in said
    assert (11.0, "opens by itself at the tone") not in said


def test_a_run_is_set_once_to_a_setting_that_suits_all_its_passes() -> None:
    front = pressed_at(FRONT, Pressure.LIGHT, Pressure.MEDIUM)
    bench = begun(team("12"), plan_of(one_piece(), front, runs=((0, 1),)), setting=False)
    assert dial_lines(bench) == ["Pressure: medium. Press timer: 15 s"]
    bench.do(c.ReadSetting(300))
    press_whole(bench)
    bench.tick(61.0)
    bench.tap()
    assert not bench.is_in(ScreenKind.SETTING)


def test_the_setting_is_shown_complete() -> None:
    """A press that opens by itself needs its timer set; any other is opened at the tone."""
    plan = plan_of(one_piece())
    bench = begun(team("12"), plan, setting=False)
    assert dial_lines(bench) == ["Pressure: medium to medium-firm. Press timer: 15 s"]
    bench = begun(team("12"), replace(plan, opens_itself=False), setting=False)
    assert dial_lines(bench) == ["Pressure: medium to medium-firm"]


def dial_lines(bench: Bench) -> list[str]:
    return [Words().say(line) for line in view(bench.state, bench.now).lines]
