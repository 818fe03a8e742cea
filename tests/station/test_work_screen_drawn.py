"""How little the work screen draws, and what every picture of it shows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from kivy.core.window import Window
from station_harness import Bench
from station_scenes import SCENES
from station_screen import make_screen, screen_of
from station_tree import texts, walk

from kiosk.catalog.base.notes import say
from kiosk.run.show.parts import View
from kiosk.station.glass.boxes import Box
from kiosk.station.glass.screens.work import WorkScreen
from kiosk.station.glass.theme import NIGHT, PAPER
from kiosk.station.glass.widgets.heading import Progress
from kiosk.station.glass.widgets.marks import Digits
from kiosk.station.glass.widgets.paint import ground
from kiosk.station.glass.widgets.text import PracticeFrame

# -- showing ---------------------------------------------------------------


@pytest.fixture
def drawing(bench: Bench) -> Iterator[Bench]:
    """The bench with every frame drawn, whether anybody reads it or not."""
    bench.drawn = True
    yield bench
    bench.drawn = False


def redrawn(bench: Bench, screen: WorkScreen, view: View) -> bool:
    """Return whether showing a view makes the window draw again."""
    bench.frames(2)
    screen.show(view)
    return bool(Window.canvas.needs_redraw)


def later(view: View, seconds: float) -> View:
    assert view.countdown is not None
    time = replace(view.countdown, left=view.countdown.left - seconds)
    return replace(view, countdown=time)


def test_showing_the_same_view_again_draws_nothing(drawing: Bench) -> None:
    for scene in SCENES:
        screen = screen_of(drawing, scene)
        assert not redrawn(drawing, screen, SCENES[scene]()[0]), scene
        Window.remove_widget(screen)


def test_a_countdown_draws_once_a_second(drawing: Bench) -> None:
    view, plan = SCENES["final-cold"]()  # 11.999 s are left
    screen = make_screen(drawing, view, plan)
    widgets = list(walk(screen))
    drawn = 0
    for frame in range(1, 121):
        drawn += redrawn(drawing, screen, later(view, frame / 60))
    assert drawn == 2
    assert list(walk(screen)) == widgets  # a new second rebuilds nothing


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


def test_time_over_counts_up_in_the_digits_and_the_line(bench: Bench) -> None:
    view, plan = SCENES["over"]()
    screen = make_screen(bench, view, plan)
    first = say("line.over", over=107, total=15)
    screen.show(replace(later(view, 103.0), lines=(first, *view.lines[1:])))
    assert "107 s past 15 s" in [text.text for text in texts(screen)]
    assert next(each for each in walk(screen) if isinstance(each, Digits)).text == "+107"


def test_the_progress_bar_is_full_when_the_time_is_up(bench: Bench) -> None:
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
    screen.show(view, (say("station.noted"),))
    assert [text.box for text in texts(screen)][: len(before)] == before
    notice = texts(screen)[-1]
    assert notice.text == "Noted"
    assert screen._painted is not None
    content = Box(0, 0, Window.width, screen._painted.notices.y)
    assert notice.box.y >= content.top
    screen.show(view)
    assert "Noted" not in [text.text for text in texts(screen)]


def test_flags_come_before_the_title(bench: Bench) -> None:
    view, plan = SCENES["load"]()
    screen = make_screen(bench, view, plan)
    screen.show(view, flags=(say("practice.level.guided"),))
    assert f"guided · {view.title}" in [text.text for text in texts(screen)]


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
    assert picture.at(640, 330) == (NIGHT.red, NIGHT.green, NIGHT.blue)


def test_a_turned_tablet_is_drawn_again(bench: Bench) -> None:
    view, plan = SCENES["lay-one"]()
    bench.resize(1280, 800)
    screen = make_screen(bench, view, plan)
    bench.resize(800, 1280)
    screen.show(view)
    assert tuple(screen.size) == (800, 1280)
    assert max(text.box.top for text in texts(screen)) > 1200
