"""What the work screen asks for when it is touched, and how little it draws."""

from __future__ import annotations

from dataclasses import replace

import pytest
from kivy.core.window import Window
from station_harness import Bench
from station_scenes import SCENES
from station_screen import Asked, make_screen, screen_of
from station_tree import button, buttons, texts, walk

from kiosk.catalog.message import say
from kiosk.run.commands import (
    Back,
    Forward,
    HoldOn,
    Inspect,
    Meaning,
    Read,
    ReadSetting,
    SayClosed,
    SayOpened,
    Verb,
)
from kiosk.run.model import Stage
from kiosk.run.views import View
from kiosk.station.actions import ChipTouched, Option, Refused
from kiosk.station.boxes import Box
from kiosk.station.inputs.fingers import OneFinger
from kiosk.station.screens.ask import ChoiceButton
from kiosk.station.screens.work import WorkScreen
from kiosk.station.theme import NIGHT, PAPER
from kiosk.station.widgets.chips import ChipBox
from kiosk.station.widgets.digits import Digits
from kiosk.station.widgets.hatch import PracticeFrame
from kiosk.station.widgets.paint import ground
from kiosk.station.widgets.progress import Progress


def bar(screen: WorkScreen) -> tuple[float, float]:
    assert screen._painted is not None
    return screen._painted.foot.bar.centre


def side(screen: WorkScreen, which: str) -> tuple[float, float]:
    assert screen._painted is not None
    box = screen._painted.foot.back if which == "back" else screen._painted.foot.right
    assert box is not None
    return box.centre


def meaning(name: str) -> Meaning:
    found = SCENES[name]()[0].bar.meaning
    assert found is not None
    return found


def assert_forward(asked: Asked, meant: Meaning, down: float, within: float) -> None:
    assert isinstance(asked.only, Forward)
    assert asked.only.meaning == meant
    assert asked.only.down == pytest.approx(down, abs=within)


# -- forward ---------------------------------------------------------------


def test_a_bar_that_closes_the_press_acts_on_the_way_down(bench: Bench) -> None:
    asked = Asked()
    screen = screen_of(bench, "lay", asked)
    before = bench.now
    finger = bench.down(*bar(screen))
    assert_forward(asked, meaning("lay"), before, 0.1)
    bench.wait(2.0)
    bench.up(finger)
    assert len(asked.actions) == 1  # a long press still starts the clock, and is no hold


def test_another_bar_acts_as_the_finger_lifts_wherever_it_has_drifted(bench: Bench) -> None:
    asked = Asked()
    screen = screen_of(bench, "inspect", asked)
    assert meaning("inspect").verb is Verb.FINISH
    finger = bench.down(*bar(screen))
    down = bench.now
    bench.wait(0.5)
    bench.move(finger, 10, 700)
    assert asked.actions == []
    bench.up(finger)
    assert_forward(asked, meaning("inspect"), down, 0.05)


def test_a_long_press_with_the_press_open_is_hold(bench: Bench) -> None:
    asked = Asked()
    screen = screen_of(bench, "inspect", asked)
    finger = bench.down(*bar(screen))
    bench.wait(1.15)
    assert asked.actions == []
    bench.wait(0.1)
    assert asked.only == HoldOn()
    bench.up(finger)
    assert len(asked.actions) == 1


def test_a_long_press_with_the_press_closed_is_opened(bench: Bench) -> None:
    asked = Asked()
    screen = screen_of(bench, "chips-due", asked)
    finger = bench.down(*bar(screen))
    bench.wait(1.3)
    bench.up(finger)
    assert asked.only == SayOpened()


def test_a_bar_that_means_nothing_is_refused(bench: Bench) -> None:
    asked = Asked()
    screen = screen_of(bench, "final-cold", asked)
    bench.tap(*bar(screen))
    assert asked.only == Refused()


def test_what_is_meant_is_what_the_bar_said_as_the_finger_went_down(bench: Bench) -> None:
    asked = Asked()
    screen = screen_of(bench, "inspect", asked)
    finger = bench.down(*bar(screen))
    view, plan = SCENES["final-cold"]()
    screen.plan = plan
    screen.show(view)
    bench.up(finger)
    assert asked.only.meaning == meaning("inspect")


def test_a_second_finger_is_not_heard_while_the_first_is_down(bench: Bench) -> None:
    asked = Asked()
    one_finger = OneFinger(bench.clock)
    screen = screen_of(bench, "inspect", asked)
    one_finger.bind(Window)
    first = bench.down(*bar(screen))
    second = bench.down(*side(screen, "right"))
    bench.up(second)
    bench.up(first)
    one_finger.unbind(Window)
    assert_forward(asked, meaning("inspect"), bench.now, 0.2)


def test_the_pedal_is_not_heard_while_a_finger_is_on_the_bar(bench: Bench) -> None:
    asked = Asked()
    screen = screen_of(bench, "inspect", asked)
    finger = bench.down(*bar(screen))
    screen.pedal_down()
    screen.pedal_up()
    assert asked.actions == []
    bench.up(finger)
    assert len(asked.actions) == 1


def test_the_pedal_asks_for_the_same_as_the_bar(bench: Bench) -> None:
    asked = Asked()
    screen = screen_of(bench, "chips-due", asked)
    screen.pedal_down()
    bench.wait(0.2)
    screen.pedal_up()
    assert asked.only.meaning == meaning("chips-due")
    assert asked.only.meaning.verb is Verb.PEELED


# -- beside the bar --------------------------------------------------------


def test_back_hold_and_opened_stand_beside_the_bar(bench: Bench) -> None:
    asked = Asked()
    screen = screen_of(bench, "aside", asked)
    bench.tap(*side(screen, "back"))
    bench.tap(*side(screen, "right"))
    assert asked.actions == [Back(), HoldOn()]
    asked.actions.clear()
    screen = screen_of(bench, "final-cold", asked)
    bench.tap(*side(screen, "right"))
    assert asked.only == SayOpened()


def test_nothing_can_be_taken_back_while_hot(bench: Bench) -> None:
    screen = screen_of(bench, "final-cold")
    assert screen._painted is not None
    assert screen._painted.foot.back is None


def test_a_touch_on_a_picture_that_has_just_come_up_is_refused(bench: Bench) -> None:
    asked = Asked()
    screen = screen_of(bench, "aside", asked)
    view, plan = SCENES["inspect"]()
    screen.plan = plan
    screen.show(view)
    bench.wait(0.2)
    bench.tap(*button(screen, "Scrap").box.centre)
    bench.tap(*side(screen, "right"), seconds=0.05)
    assert asked.actions == [Refused(), Refused()]


# -- chips and results -----------------------------------------------------


def test_a_touched_chip_asks_for_a_look_at_its_garment(bench: Bench) -> None:
    asked = Asked()
    screen = screen_of(bench, "chips-dark", asked)
    chips = [each for each in walk(screen) if isinstance(each, ChipBox)]
    bench.tap(*chips[1].box.centre)
    assert screen.view is not None
    assert asked.only == ChipTouched(screen.view.chips[1].ticket)


def test_a_result_asks_for_class_and_cause_a_page_each(bench: Bench) -> None:
    asked = Asked()
    screen = screen_of(bench, "inspect", asked)
    view = screen.view
    assert view is not None
    for label in ("Rework", "marks", "pressed too long"):
        bench.tap(*button(screen, label).box.centre)
        assert asked.actions == [] or label == "pressed too long"
        screen.show(view)
        bench.wait(0.6)
    assert asked.only == Inspect(view.inspect_ticket, Stage.REWORK, "marks", "over_run")


def test_cancel_goes_back_page_by_page_and_forward_steps(bench: Bench) -> None:
    asked = Asked()
    screen = screen_of(bench, "inspect", asked)
    view = screen.view
    assert view is not None
    for label in ("Scrap", "scorch"):
        bench.tap(*button(screen, label).box.centre)
        screen.show(view)
        bench.wait(0.6)
    bench.tap(*bar(screen))
    assert asked.actions == []
    assert screen.painted is not None
    assert screen.painted.choices.at == 0
    bench.tap(*side(screen, "back"))
    screen.show(view)
    bench.wait(0.6)
    assert buttons(screen)[0].label == "lifted edge"
    bench.tap(*side(screen, "back"))
    screen.show(view)
    assert [each.label for each in buttons(screen)] == ["Rework", "Scrap", "Accept"]


def test_a_garment_that_the_bar_cannot_call_good_has_a_button_for_it(bench: Bench) -> None:
    asked = Asked()
    screen = screen_of(bench, "touched-dark", asked)
    assert screen.view is not None
    bench.tap(*button(screen, "Good").box.centre)
    assert asked.only == Inspect(screen.view.inspect_ticket, Stage.GOOD)


# -- questions -------------------------------------------------------------


def choices(screen: WorkScreen) -> list[ChoiceButton]:
    return [each for each in walk(screen) if isinstance(each, ChoiceButton)]


def tread(bench: Bench, screen: WorkScreen, seconds: float = 0.1) -> None:
    screen.pedal_down()
    bench.wait(seconds)
    screen.pedal_up()
    bench.frames(1)


def test_a_touched_choice_is_read(bench: Bench) -> None:
    asked = Asked()
    screen = screen_of(bench, "ask-size", asked)
    wanted = choices(screen)[2]
    bench.tap(*wanted.box.centre)
    assert asked.only == Read(wanted.text)


def test_with_the_pedal_short_steps_and_long_chooses(bench: Bench) -> None:
    asked = Asked()
    screen = screen_of(bench, "ask-number", asked)
    tread(bench, screen)  # turns the pad to the choices
    for _ in range(3):
        tread(bench, screen)
    tread(bench, screen, 1.4)
    assert asked.only == Read(choices(screen)[2].text)


def test_nothing_is_chosen_before_the_pedal_has_stepped(bench: Bench) -> None:
    asked = Asked()
    screen = screen_of(bench, "ask-number", asked)
    tread(bench, screen)
    tread(bench, screen, 1.4)
    assert Read not in {type(action) for action in asked.actions}


def test_after_the_last_choice_comes_the_first(bench: Bench) -> None:
    asked = Asked()
    screen = screen_of(bench, "ask-number", asked)
    tread(bench, screen)
    for _ in range(len(choices(screen)) + 1):
        tread(bench, screen)
    tread(bench, screen, 1.4)
    assert asked.only == Read(choices(screen)[0].text)


@pytest.mark.parametrize(("label", "closed"), [("Closed", True), ("Not closed", False)])
def test_closed_or_not_is_answered_by_touch(bench: Bench, label: str, closed: bool) -> None:
    asked = Asked()
    screen = screen_of(bench, "ask-closed", asked)
    bench.tap(*button(screen, label).box.centre)
    assert asked.only == SayClosed(closed)


def test_what_the_press_shows_is_typed_in_figures(bench: Bench) -> None:
    asked = Asked()
    screen = screen_of(bench, "setting", asked)
    for key in ("3", "1", "clear", "3", "0", "0", "enter"):
        bench.tap(*button(screen, key).box.centre)
    assert asked.only == ReadSetting(300)


def test_options_come_back_as_they_were_given(bench: Bench) -> None:
    asked = Asked()
    mine = object()
    screen = screen_of(
        bench, "held", asked, options=lambda view: (Option(say("work.scrap"), mine),)
    )
    bench.tap(*button(screen, "Scrap").box.centre)
    assert asked.only is mine


# -- showing ---------------------------------------------------------------


def redrawn(bench: Bench, screen: WorkScreen, view: View) -> bool:
    """Whether showing a view makes the window draw again."""
    bench.frames(2)
    screen.show(view)
    return bool(Window.canvas.needs_redraw)


def later(view: View, seconds: float) -> View:
    assert view.countdown is not None
    time = replace(view.countdown, left=view.countdown.left - seconds)
    return replace(view, countdown=time)


def test_showing_the_same_view_again_draws_nothing(bench: Bench) -> None:
    for scene in SCENES:
        screen = screen_of(bench, scene)
        assert not redrawn(bench, screen, SCENES[scene]()[0]), scene
        Window.remove_widget(screen)


def test_a_countdown_draws_once_a_second(bench: Bench) -> None:
    view, plan = SCENES["final-cold"]()  # 11.999 s are left
    screen = make_screen(bench, view, plan)
    widgets = list(walk(screen))
    drawn = 0
    for frame in range(1, 121):
        drawn += redrawn(bench, screen, later(view, frame / 60))
    assert drawn == 2
    assert list(walk(screen)) == widgets  # nothing is built anew for a second


def test_the_seconds_are_whole_and_never_show_less_than_is_left(bench: Bench) -> None:
    view, plan = SCENES["final-cold"]()
    assert view.countdown is not None
    screen = make_screen(bench, view, plan)
    digits = next(each for each in walk(screen) if isinstance(each, Digits))
    shown = []
    for left in (15.0, 14.2, 14.0, 0.4, 0.0):
        screen.show(replace(view, countdown=replace(view.countdown, left=left)))
        shown.append(digits.text)
    assert shown == ["15", "15", "14", "1", "0"]


def test_over_time_is_counted_up_with_its_lines(bench: Bench) -> None:
    view, plan = SCENES["over"]()
    screen = make_screen(bench, view, plan)
    first = say("line.over", over=107, total=15)
    screen.show(replace(later(view, 103.0), lines=(first, *view.lines[1:])))
    assert "107 s past 15 s" in [text.text for text in texts(screen)]
    assert next(each for each in walk(screen) if isinstance(each, Digits)).text == "+107"


def test_the_bar_of_progress_is_full_when_the_time_is_up(bench: Bench) -> None:
    view, plan = SCENES["final-stack"]()
    assert view.countdown is not None
    screen = make_screen(bench, view, plan)
    bar = next(each for each in walk(screen) if isinstance(each, Progress))
    assert bar.share == pytest.approx(3 / 15)
    screen.show(replace(view, countdown=replace(view.countdown, left=0.0)))
    assert bar.share == 1.0


def test_the_seconds_since_the_tone_run_without_a_new_picture(bench: Bench) -> None:
    view, plan = SCENES["lay"]()
    screen = make_screen(bench, view, plan)
    widgets = list(walk(screen))
    screen.show(replace(view, open_since=9.7))
    said = [text.text for text in texts(screen)]
    assert "OPEN" in said
    assert "9 s" in said
    assert not any("safe" in text.lower() for text in said)
    assert list(walk(screen)) == widgets


def test_a_notice_lies_over_the_header_and_moves_nothing(bench: Bench) -> None:
    view, plan = SCENES["lay-one"]()
    screen = make_screen(bench, view, plan)
    before = [text.box for text in texts(screen)]
    screen.show(view, (say("work.sound_off"),))
    assert [text.box for text in texts(screen)][: len(before)] == before
    notice = texts(screen)[-1]
    assert notice.text == "sound off"
    assert screen._painted is not None
    content = Box(0, 0, Window.width, screen._painted.notices.y)
    assert notice.box.y >= content.top
    screen.show(view)
    assert "sound off" not in [text.text for text in texts(screen)]


def test_flags_stand_before_the_title(bench: Bench) -> None:
    view, plan = SCENES["load"]()
    screen = make_screen(bench, view, plan)
    screen.show(view, flags=(say("work.sound_off"),))
    assert "sound off · Harbour Lanterns, away" in [text.text for text in texts(screen)]


def test_practice_has_its_word_and_frame_on_every_picture(bench: Bench) -> None:
    for scene in SCENES:
        screen = screen_of(bench, scene, practice=True)
        assert any(isinstance(each, PracticeFrame) for each in walk(screen))
        assert "PRACTICE" in [text.text for text in texts(screen)]
        Window.remove_widget(screen)


def test_a_dark_screen_is_dark_again_after_another_page(bench: Bench) -> None:
    view, plan = SCENES["final-cold"]()
    screen = make_screen(bench, view, plan)
    Window.remove_widget(screen)
    ground(PAPER)
    screen.show(view)
    bench.show(screen)
    picture = bench.pixels()
    assert picture.at(640, 300) == (NIGHT.red, NIGHT.green, NIGHT.blue)


def test_a_turned_tablet_is_drawn_anew(bench: Bench) -> None:
    view, plan = SCENES["lay-one"]()
    bench.resize(1280, 800)
    screen = make_screen(bench, view, plan)
    bench.resize(800, 1280)
    screen.show(view)
    assert tuple(screen.size) == (800, 1280)
    assert max(text.box.top for text in texts(screen)) > 1200
