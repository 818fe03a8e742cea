"""Answering the work screen's questions by touch and by pedal."""

from __future__ import annotations

import pytest
from station_harness import Bench
from station_screen import Requests, screen_of
from station_tree import button, walk

from kiosk.catalog.base.notes import say
from kiosk.run.state.commands import AnswerQuestion, PutOnHold, ReadSetting, SayClosed
from kiosk.station.desk.sheet import HoldOption
from kiosk.station.glass.screens.ask import ChoiceButton
from kiosk.station.glass.screens.work import WorkScreen
from kiosk.station.glass.widgets.buttons import NumberPad


def choices(screen: WorkScreen) -> list[ChoiceButton]:
    return [each for each in walk(screen) if isinstance(each, ChoiceButton)]


def pad(screen: WorkScreen) -> NumberPad:
    (found,) = (each for each in walk(screen) if isinstance(each, NumberPad))
    return found


def tread(bench: Bench, screen: WorkScreen, seconds: float = 0.1) -> None:
    screen.pedal_down()
    bench.wait(seconds)
    screen.pedal_up()
    bench.frames(1)


def test_a_touched_choice_is_the_answer(bench: Bench) -> None:
    asked = Requests()
    screen = screen_of(bench, "ask-size", asked)
    wanted = choices(screen)[2]
    bench.tap(*wanted.box.centre)
    assert asked.only == AnswerQuestion(wanted.text)


def test_a_short_pedal_press_steps_and_a_long_one_chooses(bench: Bench) -> None:
    asked = Requests()
    screen = screen_of(bench, "ask-number", asked)
    tread(bench, screen)  # turns the pad to the choices
    for _ in range(3):
        tread(bench, screen)
    tread(bench, screen, 1.4)
    assert asked.only == AnswerQuestion(choices(screen)[2].text)


def test_nothing_is_chosen_before_the_pedal_has_stepped(bench: Bench) -> None:
    asked = Requests()
    screen = screen_of(bench, "ask-number", asked)
    tread(bench, screen)
    tread(bench, screen, 1.4)
    assert AnswerQuestion not in {type(action) for action in asked.actions}


@pytest.mark.parametrize(("more", "first"), [(0, False), (1, True)])
def test_after_the_last_choice_comes_hold_and_then_the_first(
    bench: Bench, more: int, first: bool
) -> None:
    asked = Requests()
    screen = screen_of(bench, "ask-number", asked)
    tread(bench, screen)
    for _ in range(len(choices(screen)) + 1 + more):
        tread(bench, screen)
    tread(bench, screen, 1.4)
    assert asked.only == (AnswerQuestion(choices(screen)[0].text) if first else PutOnHold())


@pytest.mark.parametrize(("label", "closed"), [("Closed", True), ("Not closed", False)])
def test_closed_or_not_is_answered_by_touch(bench: Bench, label: str, closed: bool) -> None:
    asked = Requests()
    screen = screen_of(bench, "ask-closed", asked)
    bench.tap(*button(screen, label).box.centre)
    assert asked.only == SayClosed(closed)


def test_the_press_reading_is_typed_in_figures(bench: Bench) -> None:
    asked = Requests()
    screen = screen_of(bench, "setting", asked)
    foot = screen.painted.foot if screen.painted else None
    assert foot is not None
    bench.tap(*foot.bar.centre)
    bench.wait(1.0)
    for key in ("3", "1", "erase", "0", "0", "enter"):
        bench.tap(*button(screen, key).box.centre)
    assert asked.only == ReadSetting(300)


def test_by_pedal_three_figures_move_the_mark_to_enter(bench: Bench) -> None:
    """Taps step over the keys and cancel, a long press takes one: 312 took 11 more."""
    asked = Requests()
    screen = screen_of(bench, "setting", asked)
    tread(bench, screen)
    bench.wait(1.0)
    keys = [*(each.label for each in pad(screen).buttons), "cancel"]
    at, taps = -1, 0
    for key in ("3", "1", "2"):
        while at < 0 or keys[at] != key:
            tread(bench, screen)
            at, taps = (at + 1) % len(keys), taps + 1
        tread(bench, screen, 1.4)
        assert not asked.actions
    tread(bench, screen, 1.4)
    assert asked.only == ReadSetting(312)
    assert taps == len(keys) + 2


def test_options_come_back_as_they_were_given(bench: Bench) -> None:
    asked = Requests()
    mine = object()
    screen = screen_of(
        bench, "held", asked, options=lambda view: (HoldOption(say("work.scrap"), mine),)
    )
    bench.tap(*button(screen, "Scrap").box.centre)
    assert asked.only is mine
