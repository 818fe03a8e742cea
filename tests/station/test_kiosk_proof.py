"""No stray hand, sleeve, foot or key does harm or ends the program."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from kivy.base import EventLoop
from kivy.core.window import Window
from station_driver import PIN, Foot, Person, small
from station_harness import FRAME, Bench
from station_tree import buttons, targets

from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.events import Closed, TimeUp
from kiosk.station.demo.hands import READS
from kiosk.station.desk.sheet import PageKind
from kiosk.station.glass.boxes import Box
from kiosk.station.glass.devices import DEFAULT_KEYS, SPACE

ESCAPE, F1, F4, F11, BACK = (41, 27), (58, 282), (61, 285), (68, 292), (270, 1073742094)
PRINT, PAUSE, MENU, SUPER, TAB, HOME = (70, 0), (72, 0), (101, 0), (227, 0), (43, 9), (74, 0)
WAYS_OUT = (ESCAPE, F1, F4, F11, BACK, PRINT, PAUSE, MENU, SUPER, TAB, HOME)
OURS = frozenset().union(*DEFAULT_KEYS.values())


def at_the_press(person: Person) -> None:
    person.answer()


def under_heat(person: Person) -> None:
    person.to_heat()


def asked(person: Person) -> None:
    person.stage.pass_time(READS)


def held(person: Person) -> None:
    person.answer()
    person.side()


def at_the_pin(person: Person) -> None:
    held(person)
    person.choose("Supervisor")


def at_the_supervisors(person: Person) -> None:
    at_the_pin(person)
    person.choose(*PIN, "Enter")


def at_the_jobs(person: Person) -> None:
    held(person)
    person.choose("Put the job back")


def at_set_up(person: Person) -> None:
    at_the_jobs(person)
    person.choose("Orsavel")


def signed_off(person: Person) -> None:
    held(person)
    person.choose("hand over", "Next:", "Next:", "Nobody yet")


PICTURES: dict[str, Callable[[Person], None]] = {
    each.__name__: each
    for each in (
        at_the_press, under_heat, asked, held, at_the_pin, at_the_supervisors, at_the_jobs,
        at_set_up, signed_off,
    )
}  # fmt: skip


@pytest.fixture(params=PICTURES)
def person(request: pytest.FixtureRequest, bench: Bench, tmp_path: Path) -> Iterator[Person]:
    """A person at each kind of screen."""
    person = small(bench, tmp_path)
    PICTURES[request.param](person)
    bench.pass_time(READS)
    yield person
    person.close()


def seen(person: Person) -> tuple[object, ...]:
    """Return what must not change: the record, the page, the entry, and that the program runs on.

    The end of a heat's time is not counted: the clock causes it.
    """
    station = person.station
    sheet = station.sheet.sheet.title if station.sheet is not None else ""
    return (
        sum(not isinstance(event, TimeUp) for event in person.events()),
        station.desk.page, sheet, station.desk.entry, station.shell.focus,
        tuple(Window.children) == (station,), person.has_left, EventLoop.quit, EventLoop.status,
    )  # fmt: skip


def free_points(person: Person) -> list[tuple[float, float]]:
    """Return points all over the screen where nothing can be touched."""
    station = person.station
    sheet = station.sheet
    boxes = targets(station.screen) if sheet is None else [b.box for b in buttons(sheet)]
    wide, high = Window.size
    grid = [(x + 0.5, y + 0.5) for x in range(7, wide, 97) for y in range(5, high, 83)]
    gaps = [(box.x - 3, box.centre[1]) for box in boxes] + [
        (box.right + 3, box.centre[1]) for box in boxes
    ]
    inside = Box(0, 0, wide, high)
    return [
        point
        for point in grid + gaps
        if inside.holds(*point) and not any(box.holds(*point) for box in boxes)
    ]


def test_no_key_ends_the_program_or_changes_anything(person: Person) -> None:
    before, further = seen(person), list[int]()
    listen = lambda window, key, *_: further.append(key)  # noqa: E731 - unbound by its name
    Window.bind(on_keyboard=listen)  # where Kivy's own Escape and F1 listen
    for scancode, keycode in WAYS_OUT:
        person.stage.typed(scancode, keycode)
    for scancode in set(range(44, 290)) - OURS - set(range(89, 100)):  # keypad: figures
        person.stage.typed(scancode)
    Window.unbind(on_keyboard=listen)
    assert seen(person) == before
    assert further == []


def test_asking_to_close_the_window_changes_nothing(person: Person) -> None:
    before = seen(person)
    person.stage.ask_to_close()
    assert seen(person) == before


def test_touches_outside_every_target_do_nothing(person: Person) -> None:
    points = free_points(person)
    assert len(points) > 20
    before = seen(person)
    for nth, point in enumerate(points):
        person.stage.tap(*point, seconds=1.3 if nth % 20 == 0 else FRAME)
    first, second = person.stage.down(*points[0]), person.stage.down(*points[-1])
    person.stage.move(first, *points[1])
    person.stage.up(second)
    person.stage.up(first)
    assert seen(person) == before


def test_two_fingers_on_the_bar_are_one_press(bench: Bench, tmp_path: Path) -> None:
    person = small(bench, tmp_path)
    person.answer()
    bench.pass_time(person.works())
    before = person.station.shell.recorder.last
    bar = person._foot().bar
    first = bench.down(*bar.centre)
    second = bench.down(bar.x + 20, bar.centre[1])
    bench.up(first)
    bench.up(second)
    assert [type(e) for e in person.events()[before:]] == [Closed]


def test_a_resting_finger_blocks_other_touches_only_for_a_while(
    bench: Bench, tmp_path: Path
) -> None:
    person = small(bench, tmp_path)
    person.answer()
    bench.pass_time(person.works())
    before = person.station.shell.recorder.last
    bench.down(*free_points(person)[0])  # a touch whose end is lost
    bench.tap(*person._foot().bar.centre)
    assert person.station.shell.recorder.last == before
    bench.pass_time(20.0)
    bench.tap(*person._foot().bar.centre)
    assert person.station.shell.recorder.last == before + 1


def test_a_double_tap_is_one_tap(bench: Bench, tmp_path: Path) -> None:
    person = small(bench, tmp_path)
    person.to_heat()
    person.until_open()
    bench.pass_time(person.works())
    bar, before = person._foot().bar.centre, len(person.events())
    bench.tap(*bar, seconds=0.05)
    bench.pass_time(0.1)
    bench.tap(*bar, seconds=0.05)
    bench.pass_time(1.0)
    assert [type(e) for e in person.events()[before:]] == [Closed]


def test_a_double_tap_on_the_last_result_does_not_put_the_job_away(
    bench: Bench, tmp_path: Path
) -> None:
    person = small(bench, tmp_path, "swim-school", lines="1")
    while not (person.view.inspecting and person.view.kind is ScreenKind.HANDS):
        person.move_on()
    bench.pass_time(READS)
    bar = person._foot().bar.centre
    bench.tap(*bar, seconds=0.05)
    bench.tap(*bar, seconds=0.05)
    bench.pass_time(1.0)
    assert person.station.sheet is not None
    assert person.station.shell.state.job is not None
    assert "All garments done" in person.texts()


def test_a_bouncing_pedal_is_one_press(bench: Bench, tmp_path: Path) -> None:
    person = small(bench, tmp_path, by=Foot)
    person.answer()
    bench.pass_time(person.works())
    before = person.station.shell.recorder.last
    for down in (True, False, True, False, True, False):
        bench.key(SPACE, down=down)
    bench.pass_time(1.0)
    assert [type(e) for e in person.events()[before:]] == [Closed]


def test_a_foot_resting_on_the_pedal_does_nothing(bench: Bench, tmp_path: Path) -> None:
    person = small(bench, tmp_path, by=Foot)
    person.answer()
    bench.pass_time(person.works())
    before = len(person.events())
    bench.key(SPACE)
    for _ in range(200):  # auto-repeat goes on through the whole closing
        bench.key(SPACE, repeat=1)
        bench.pass_time(0.1)
    bench.key(SPACE, down=False)
    bench.pass_time(1.0)
    names = [type(e).__name__ for e in person.events()[before:]]
    assert names == []  # forward acts on release; a press of 1.2 s or more is no forward


def test_a_pedal_works_again_after_a_missed_release(bench: Bench, tmp_path: Path) -> None:
    person = small(bench, tmp_path, by=Foot)
    person.to_heat()
    bench.key(SPACE)
    bench.lose_the_keyboard()
    bench.pass_time(3.0)
    before = len(person.events())
    person.until_open()
    person.move_on()
    names = [type(e).__name__ for e in person.events()[before:]]
    assert names == ["TimeUp", "Closed"]


def test_leaving_needs_the_supervisors_pin(bench: Bench, tmp_path: Path) -> None:
    person = small(bench, tmp_path)
    at_the_pin(person)
    person.choose(*"1357", "Enter")
    assert person.station.desk.page is PageKind.PIN
    assert "Wrong PIN." in person.texts()
    assert not person.has_left
    person.choose(*PIN, "Enter", "Leave the kiosk")
    assert person.has_left
