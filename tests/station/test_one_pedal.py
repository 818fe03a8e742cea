"""Everything besides going on, with one pedal: a short press steps, a long one chooses."""

from __future__ import annotations

from pathlib import Path

import pytest
from kivy.clock import Clock
from station_driver import LONG_SECONDS, Foot, small
from station_harness import Bench

from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.events import (
    Closed,
    Finished,
    ReadBack,
    SetAside,
    SettingRead,
    TakenBack,
)  # fmt: skip
from kiosk.run.state.events_station import Held, Restarted, Touched
from kiosk.run.state.model import TicketStage
from kiosk.station.demo.hands import READS
from kiosk.station.desk.sheet import PageKind
from kiosk.station.glass.devices import SPACE
from kiosk.station.glass.inputs import HELD_FPS, PressSource, PressTimer

PLAIN = "swim-school"  # one layer, peeled hot at the press
RACK = "ice-crew"


def on_foot(bench: Bench, place: Path, job: str = PLAIN, lines: str = "123") -> Foot:
    foot = small(bench, place, job, lines, by=Foot)
    assert isinstance(foot, Foot)
    return foot


def long(foot: Foot) -> None:
    foot.stage.pass_time(0.7)
    foot.press_pedal(LONG_SECONDS)


def at_result(bench: Bench, place: Path) -> Foot:
    foot = on_foot(bench, place)
    while not foot.view.inspecting:
        foot.move_on()
    bench.pass_time(1.0)
    return foot


def shown(foot: Foot) -> ScreenKind:
    return foot.view.kind


def count(foot: Foot, kind: type) -> int:
    return sum(isinstance(event, kind) for event in foot.events())


def test_a_long_press_at_the_lay_never_starts_heat(bench: Bench, tmp_path: Path) -> None:
    foot = on_foot(bench, tmp_path)
    foot.answer()
    foot.stage.pass_time(3.0)
    long(foot)
    assert count(foot, Closed) == 0
    assert foot.station.desk.page is PageKind.CHOICES
    assert foot._marked() is None  # nothing is chosen beforehand
    long(foot)  # with nothing marked, a second one does nothing either
    assert (count(foot, Closed), foot.station.desk.page) == (0, PageKind.CHOICES)
    foot.choose("Go on")
    foot.forward()
    assert count(foot, Closed) == 1


def test_a_short_press_counts_from_the_moment_the_foot_went_down(
    bench: Bench, tmp_path: Path
) -> None:
    foot = on_foot(bench, tmp_path)
    foot.answer()
    foot.stage.pass_time(5.0)
    down = foot.now().clock
    foot.press_pedal(0.6)
    heat = foot.station.shell.state.heat
    job = foot.station.shell.state.job
    assert heat is not None
    assert job is not None
    assert heat.starts == pytest.approx(down + job.plan.closes_in_seconds, abs=0.05)


def test_hold_and_go_on(bench: Bench, tmp_path: Path) -> None:
    foot = on_foot(bench, tmp_path)
    foot.answer()
    long(foot)
    foot.choose("hold")
    assert shown(foot) is ScreenKind.HELD
    long(foot)
    assert foot.station.desk.page is PageKind.CHOICES  # what hold offers is there for the foot too
    foot.choose("Go on")
    assert (count(foot, Held), count(foot, Restarted)) == (1, 1)
    assert shown(foot) is ScreenKind.HANDS


@pytest.mark.parametrize(
    ("label", "stage"),
    [
        ("Rework", TicketStage.REWORK),
        ("Scrap", TicketStage.SCRAP),
        ("Accept", TicketStage.ACCEPTED),
    ],
)
def test_rework_scrap_and_accept_by_pedal(
    label: str, stage: TicketStage, bench: Bench, tmp_path: Path
) -> None:
    foot = at_result(bench, tmp_path)
    number, ticket = foot.view.number, foot.view.ticket
    long(foot)
    foot.choose(f"{number}: {label}")
    assert foot.station.desk.page is PageKind.WORK
    foot.choose("scorch", "pressed too long")
    (result,) = [event for event in foot.events() if isinstance(event, Finished)]
    assert (result.ticket, result.stage) == (ticket, stage)
    assert (result.defect, result.cause) == ("scorch", "over_run")


def test_a_long_press_shows_its_choice_at_once(bench: Bench, tmp_path: Path) -> None:
    """Within a tenth of a second, which people perceive as at once.

    R. B. Miller, Response time in man-computer conversational transactions, 1968.
    """
    foot = at_result(bench, tmp_path)
    long(foot)
    foot.choose(f"{foot.view.number}: Scrap")
    foot.stage.pass_time(1.0)
    foot._step_to("scorch")
    bench.key(SPACE)
    bench.wait(1.2 + 0.1)
    assert "pressed too long" in foot._steps()
    assert "scorch" not in foot._steps()
    bench.key(SPACE, down=False)


def test_the_page_of_defects_can_be_left_again(bench: Bench, tmp_path: Path) -> None:
    foot = at_result(bench, tmp_path)
    long(foot)
    foot.choose(f"{foot.view.number}: Scrap")
    long(foot)  # nothing marked: the choices again
    foot.choose("Go on")
    assert foot.view.bar.meaning is not None
    foot.forward()
    (result,) = [event for event in foot.events() if isinstance(event, Finished)]
    assert result.stage is TicketStage.GOOD


def test_put_aside_and_back_one(bench: Bench, tmp_path: Path) -> None:
    foot = on_foot(bench, tmp_path)
    foot.answer()
    ticket, number = foot.view.ticket, foot.view.number
    long(foot)
    foot.choose("Put this garment aside", "not here")
    assert count(foot, SetAside) == 1
    assert foot.view.ticket != ticket
    long(foot)
    foot.choose(f"Back one: {number}")
    assert count(foot, TakenBack) == 1
    assert foot.view.ticket == ticket


def test_a_garment_on_the_rack_is_inspected_and_scrapped(bench: Bench, tmp_path: Path) -> None:
    foot = on_foot(bench, tmp_path, RACK)
    while not foot.view.chips:
        foot.move_on()
    foot.answer()
    chip = foot.view.chips[0]
    long(foot)
    foot.choose(f"Number {chip.number}")
    assert foot.view.inspect_ticket == chip.ticket
    foot.choose("Scrap", "scorch", "pressed too long")
    (result,) = [event for event in foot.events() if isinstance(event, Finished)]
    assert (result.ticket, result.stage) == (chip.ticket, TicketStage.SCRAP)


@pytest.mark.parametrize("marked", ["", "Scrap"])
def test_inspecting_a_racked_garment_can_be_cancelled_by_pedal(
    bench: Bench, tmp_path: Path, marked: str
) -> None:
    """A foot cannot touch a chip or unmark a choice, so leaving has to be a choice too."""
    foot = on_foot(bench, tmp_path, RACK)
    while not foot.view.chips:
        foot.move_on()
    foot.answer()
    before = foot.view
    long(foot)
    foot.choose(f"Number {before.chips[0].number}")
    assert "touch" not in str(foot.texts())
    if marked:
        foot.stage.pass_time(READS)
        foot._step_to(marked)
    foot.choose("cancel")
    assert foot.view.touched == ""
    assert foot.view.bar.meaning == before.bar.meaning is not None
    assert not any(isinstance(each, Finished | TakenBack) for each in foot.events())


def test_a_finger_cancels_at_the_left_and_takes_nothing_back(bench: Bench, tmp_path: Path) -> None:
    person = on_foot(bench, tmp_path, RACK)
    while not person.view.chips:
        person.move_on()
    person.answer()
    long(person)
    person.choose(f"Number {person.view.chips[0].number}")
    bench.pass_time(READS)
    person.side(right=False)
    assert person.view.touched == ""
    assert not any(isinstance(each, TakenBack) for each in person.events())


def test_at_a_question_no_racked_garment_is_offered(bench: Bench, tmp_path: Path) -> None:
    """It once offered one: the question stayed, and the bar asked for another garment's result."""
    foot = on_foot(bench, tmp_path, RACK)
    while not (foot.view.chips and foot.view.kind is ScreenKind.ASK):
        foot.move_on()
    long(foot)
    assert f"Number {foot.view.chips[0].number}" not in foot._steps()


def test_the_choices_open_at_a_question_and_at_the_setting_too(
    bench: Bench, tmp_path: Path
) -> None:
    foot = on_foot(bench, tmp_path)
    for kind in (ScreenKind.SETTING, ScreenKind.ASK):
        assert foot.view.kind is kind
        long(foot)
        assert foot.station.desk.page is PageKind.CHOICES
        foot.choose("Go on")
        assert foot.view.kind is kind
        foot.move_on()


def test_the_choices_open_at_the_end_of_a_job_too(bench: Bench, tmp_path: Path) -> None:
    foot = on_foot(bench, tmp_path, lines="1")
    foot.press_all()
    number = next(iter(foot.station.shell.state.jobs.values())).tickets["1/1/1"].garment.number
    long(foot)
    foot.choose(f"Back one: {number}")
    assert foot.view.kind is ScreenKind.HANDS
    assert foot.view.inspecting


# -- while forward is held: its result is drawn ahead, its end is polled often -----------------


def drawn_anew(foot: Foot) -> bytes:
    """Return the pixels of the same moment, painted from nothing."""
    before, foot.station.screen._key = foot.station.screen._picture, None
    foot.station.refresh()
    assert foot.station.screen._picture is not before
    return foot.stage.pixels().data


def test_the_next_picture_is_drawn_while_forward_is_held(bench: Bench, tmp_path: Path) -> None:
    foot = on_foot(bench, tmp_path)
    screen, store = foot.station.screen, foot.station.shell.recorder.store
    while shown(foot) is not ScreenKind.ASK:
        foot.move_on()
    bench.pass_time(1.0)
    answered = screen._next_picture
    assert answered is not None
    foot.move_on()
    assert screen._picture is answered
    foot.answer()
    bench.pass_time(foot.works())
    finger = bench.down(*foot._foot().bar.centre)
    bench.wait(0.1)
    views, written = foot.station._refreshes, store.last
    bench.up(finger)
    assert store.last > written
    assert foot.station._refreshes == views + 1  # a tap makes one view
    turned: set[tuple[ScreenKind, ScreenKind]] = set()
    while len(turned) < 2:  # to a closing, to the next move of the hands
        while foot.answer().bar.meaning is None:
            foot.move_on()
        bench.pass_time(foot.works())
        there, kind, written = bench.pixels(), shown(foot), store.last
        bench.key(SPACE)
        ahead = screen._next_picture
        assert ahead is not None
        assert (bench.pixels(), store.last) == (there, written)  # nothing is done, nothing shown
        bench.key(SPACE, down=False)
        bench.pass_time(0.3)
        assert store.last > written
        if shown(foot) not in (ScreenKind.ASK, ScreenKind.DONE):
            assert screen._picture is ahead
            foot.station.refresh()  # a minute of the wall clock may have passed
            assert bench.pixels().data == drawn_anew(foot)
            turned.add((kind, shown(foot)))
    foot.answer()
    bench.pass_time(foot.works())
    bench.key(SPACE)
    ahead = screen._next_picture
    assert ahead is not None
    foot.side()  # a finger holds the work meanwhile, and that counts
    bench.key(SPACE, down=False)
    bench.pass_time(0.3)
    assert shown(foot) is ScreenKind.HELD
    assert screen._picture is not ahead
    assert bench.pixels().data == drawn_anew(foot)


def test_the_release_of_a_press_is_polled_often_until_the_press_is_long(bench: Bench) -> None:
    nothing = lambda by, since: None  # noqa: E731 - what it does is not tested here
    press = PressTimer(bench.clock, lambda by, since: False, nothing, nothing)
    Clock._max_fps = 60.0
    try:
        press.down(PressSource.PEDAL)
        assert Clock._max_fps == HELD_FPS
        press.up(PressSource.PEDAL)
        assert Clock._max_fps == 60
        press.down(PressSource.PEDAL)
        bench.now += LONG_SECONDS
        press._is_long()
        assert Clock._max_fps == 60  # a pedal that stays down does not keep the machine busy
        press.up(PressSource.PEDAL)
        press.down(PressSource.PEDAL)
        press.drop()
        assert Clock._max_fps == 60
    finally:
        Clock._max_fps = 0.0  # the stage's value


def marked_at_a_question(bench: Bench, place: Path) -> Foot:
    """Return a foot that by reflex pressed forward at a question, so the first size is marked."""
    foot = on_foot(bench, place)
    while shown(foot) is not ScreenKind.ASK:
        foot.move_on()
    foot.stage.pass_time(1.0)
    foot.press_pedal()
    assert foot._marked() is not None
    return foot


def test_a_question_can_be_left_unanswered(bench: Bench, tmp_path: Path) -> None:
    """The garment is not there: no size can be read, and a guess would count as a slip."""
    foot = marked_at_a_question(bench, tmp_path)
    ticket = foot.view.ticket
    foot.choose("hold")
    assert shown(foot) is ScreenKind.HELD
    long(foot)
    foot.choose("Put this garment aside", "not here")
    assert [event.ticket for event in foot.events() if isinstance(event, SetAside)] == [ticket]
    assert count(foot, ReadBack) == 0


def test_the_press_reading_can_be_left_empty(bench: Bench, tmp_path: Path) -> None:
    foot = on_foot(bench, tmp_path)
    foot.press_pedal()
    foot.choose("2", "cancel")
    assert (shown(foot), foot._steps()) == (ScreenKind.SETTING, [])
    long(foot)
    foot.choose("hold")
    assert shown(foot) is ScreenKind.HELD
    assert count(foot, SettingRead) == 0


def test_three_figures_move_the_mark_to_enter(bench: Bench, tmp_path: Path) -> None:
    foot = on_foot(bench, tmp_path)
    foot.press_pedal()
    foot.choose("1", "1", "8")
    assert foot._marked() == "enter"


def test_a_thermometer_reading_can_be_left_empty(bench: Bench, tmp_path: Path) -> None:
    foot = on_foot(bench, tmp_path, RACK)
    while not foot.view.chips:
        foot.move_on()
    foot.answer()
    foot.stage.pass_time(1.0)
    long(foot)
    foot.choose("Number", "Cooling", "Thermometer")
    foot.choose("4", "cancel", "cancel")
    assert count(foot, Touched) == 0
