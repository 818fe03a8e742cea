"""What the work screen asks for when it is touched."""

from __future__ import annotations

from dataclasses import replace

import pytest
from kivy.core.window import Window
from station_harness import Bench
from station_scenes import SCENES
from station_screen import Requests, screen_of
from station_tree import button, buttons, walk

from kiosk.catalog.base import say
from kiosk.run.state.commands import Back, Forward, Inspect, Meaning, PutOnHold, SayOpened, Verb
from kiosk.run.state.model import TicketStage
from kiosk.station.desk.sheet import ChipTouched, DullClick, ShowChoices
from kiosk.station.glass.devices import OneFinger
from kiosk.station.glass.screens.work import WorkScreen
from kiosk.station.glass.widgets.ribbon import ChipBox
from kiosk.station.glass.widgets.text import Text


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


def assert_forward(asked: Requests, meant: Meaning, down: float, within: float) -> None:
    assert isinstance(asked.only, Forward)
    assert asked.only.meaning == meant
    assert asked.only.down == pytest.approx(down, abs=within)


# -- forward ---------------------------------------------------------------


def test_a_closing_bar_acts_on_release_and_counts_from_finger_down(bench: Bench) -> None:
    asked = Requests()
    screen = screen_of(bench, "lay", asked)
    before = bench.now
    finger = bench.down(*bar(screen))
    bench.wait(0.8)
    assert asked.actions == []
    bench.up(finger)
    assert_forward(asked, meaning("lay"), before, 0.1)


def test_a_long_press_on_a_closing_bar_never_closes_the_press(bench: Bench) -> None:
    asked = Requests()
    screen = screen_of(bench, "lay", asked)
    finger = bench.down(*bar(screen))
    bench.wait(2.0)
    bench.up(finger)
    assert asked.only == ShowChoices()


def test_another_bar_acts_on_release_wherever_the_finger_drifted(bench: Bench) -> None:
    asked = Requests()
    screen = screen_of(bench, "inspect", asked)
    assert meaning("inspect").verb is Verb.FINISH
    finger = bench.down(*bar(screen))
    down = bench.now
    bench.wait(0.5)
    bench.move(finger, 10, 700)
    assert asked.actions == []
    bench.up(finger)
    assert_forward(asked, meaning("inspect"), down, 0.05)


def test_a_long_press_with_the_press_open_shows_the_choices(bench: Bench) -> None:
    asked = Requests()
    screen = screen_of(bench, "inspect", asked)
    finger = bench.down(*bar(screen))
    bench.wait(1.15)
    assert asked.actions == []
    bench.wait(0.1)
    assert asked.only == ShowChoices()
    bench.up(finger)
    assert len(asked.actions) == 1


def test_a_long_press_with_the_press_closed_means_opened(bench: Bench) -> None:
    asked = Requests()
    screen = screen_of(bench, "chips-due", asked)
    finger = bench.down(*bar(screen))
    bench.wait(1.3)
    bench.up(finger)
    assert asked.only == SayOpened()


def test_a_tap_on_a_bar_without_a_meaning_is_refused(bench: Bench) -> None:
    asked = Requests()
    screen = screen_of(bench, "final-cold", asked)
    bench.tap(*bar(screen))
    assert asked.only == DullClick()


def test_a_press_means_what_the_bar_said_when_the_finger_went_down(bench: Bench) -> None:
    asked = Requests()
    screen = screen_of(bench, "inspect", asked)
    finger = bench.down(*bar(screen))
    view, plan = SCENES["final-cold"]()
    screen.plan = plan
    screen.show(view)
    bench.up(finger)
    assert asked.only.meaning == meaning("inspect")


def test_a_second_finger_is_ignored_while_the_first_is_down(bench: Bench) -> None:
    asked = Requests()
    one_finger = OneFinger(bench.clock)
    screen = screen_of(bench, "inspect", asked)
    one_finger.bind(Window)
    first = bench.down(*bar(screen))
    second = bench.down(*side(screen, "right"))
    bench.up(second)
    bench.up(first)
    one_finger.unbind(Window)
    assert_forward(asked, meaning("inspect"), bench.now, 0.2)


def test_the_pedal_is_ignored_while_a_finger_is_on_the_bar(bench: Bench) -> None:
    asked = Requests()
    screen = screen_of(bench, "inspect", asked)
    finger = bench.down(*bar(screen))
    screen.pedal_down()
    screen.pedal_up()
    assert asked.actions == []
    bench.up(finger)
    assert len(asked.actions) == 1


def test_the_pedal_does_the_same_as_the_bar(bench: Bench) -> None:
    asked = Requests()
    screen = screen_of(bench, "chips-due", asked)
    screen.pedal_down()
    bench.wait(0.2)
    screen.pedal_up()
    assert asked.only.meaning == meaning("chips-due")
    assert asked.only.meaning.verb is Verb.PEELED


# -- beside the bar --------------------------------------------------------


def test_back_hold_and_opened_are_beside_the_bar(bench: Bench) -> None:
    asked = Requests()
    screen = screen_of(bench, "aside", asked)
    bench.tap(*side(screen, "back"))
    bench.tap(*side(screen, "right"))
    assert asked.actions == [Back(), PutOnHold()]
    asked.actions.clear()
    screen = screen_of(bench, "final-cold", asked)
    bench.tap(*side(screen, "right"))
    assert asked.only == SayOpened()


def test_seconds_in_a_light_line_run_down_in_the_same_picture(bench: Bench) -> None:
    asked = Requests()
    screen = screen_of(bench, "lay", asked)
    assert screen.view is not None
    told = {}
    for low in (40, 35):
        zone = say("chip.seconds", low=low, high=low + 20)
        beside = say("line.beside.guess", start=60, end=240)
        line = say("line.zone", zone=zone, beside=beside)
        screen.show(replace(screen.view, lines=(line, say("line.flat"))))
        told[low] = screen._picture, {each.text for each in walk(screen) if isinstance(each, Text)}
    (first, words), (second, later) = told.values()
    assert first is second
    assert [any(f"{low} to {low + 20} s" in text for text in later) for low in told] == [
        False,
        True,
    ]
    assert len(words) == len(later)
    late = say("line.zone", zone=say("chip.late_guess"), beside=beside)
    screen.show(replace(screen.view, lines=(late, say("line.flat"))))
    assert screen._picture is not second  # another sentence may need a different layout


def test_nothing_can_be_taken_back_while_hot(bench: Bench) -> None:
    screen = screen_of(bench, "final-cold")
    assert screen._painted is not None
    assert screen._painted.foot.back is None


def test_a_touch_on_a_picture_that_just_appeared_is_refused(bench: Bench) -> None:
    asked = Requests()
    screen = screen_of(bench, "aside", asked)
    view, plan = SCENES["inspect"]()
    screen.plan = plan
    screen.show(view)
    bench.wait(0.2)
    bench.tap(*button(screen, "Scrap").box.centre)
    bench.tap(*side(screen, "right"), seconds=0.05)
    assert asked.actions == [DullClick(), DullClick()]


# -- chips and results -----------------------------------------------------


def test_touching_a_chip_asks_to_inspect_its_garment(bench: Bench) -> None:
    asked = Requests()
    screen = screen_of(bench, "chips-dark", asked)
    chips = [each for each in walk(screen) if isinstance(each, ChipBox)]
    bench.tap(*chips[1].box.centre)
    assert screen.view is not None
    assert asked.only == ChipTouched(screen.view.chips[1].ticket)


def test_a_result_asks_for_defect_and_cause_on_a_page_each(bench: Bench) -> None:
    asked = Requests()
    screen = screen_of(bench, "inspect", asked)
    view = screen.view
    assert view is not None
    for label in ("Rework", "marks", "pressed too long"):
        bench.tap(*button(screen, label).box.centre)
        assert asked.actions == [] or label == "pressed too long"
        screen.show(view)
        bench.wait(0.6)
    assert asked.only == Inspect(view.inspect_ticket, TicketStage.REWORK, "marks", "over_run")


def test_cancel_goes_back_page_by_page_and_forward_steps(bench: Bench) -> None:
    asked = Requests()
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


def test_a_garment_the_bar_cannot_call_good_has_a_good_button(bench: Bench) -> None:
    asked = Requests()
    screen = screen_of(bench, "touched-dark", asked)
    assert screen.view is not None
    bench.tap(*button(screen, "Good").box.centre)
    assert asked.only == Inspect(screen.view.inspect_ticket, TicketStage.GOOD)
