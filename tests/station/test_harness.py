"""The test bench itself: its stand-ins behave like the real thing."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest
from kivy.core.window import Window
from kivy.uix.widget import Widget
from station_driver import PIN, Foot, Person, lay_out
from station_harness import Bench

from kiosk.run.state import Event
from kiosk.station.desk.side_files import PinFile


class Heard(Widget):  # type: ignore[misc]  # Kivy has no types
    def __init__(self) -> None:
        super().__init__()
        self.heard: list[tuple[str, tuple[int, int]]] = []

    def on_touch_down(self, touch: Any) -> bool:
        self.heard.append(("down", (round(touch.x), round(touch.y))))
        return True

    def on_touch_up(self, touch: Any) -> bool:
        self.heard.append(("up", (round(touch.x), round(touch.y))))
        return True


def test_a_tap_reaches_the_widget_where_it_was_made(bench: Bench) -> None:
    heard = Heard()
    bench.show(heard)
    bench.tap(640, 200)
    assert heard.heard == [("down", (640, 200)), ("up", (640, 200))]


def test_a_key_reaches_the_window_with_its_scancode(bench: Bench) -> None:
    keys: list[int] = []

    def down(window: object, key: int, scancode: int, *rest: object) -> bool:
        keys.append(scancode)
        return True

    Window.bind(on_key_down=down)
    bench.key(44)
    Window.unbind(on_key_down=down)
    assert keys == [44]


def test_the_clock_moves_only_with_frames(bench: Bench) -> None:
    before = bench.clock()
    bench.frames(60)
    assert abs(bench.clock() - before - 1.0) < 1e-6


def test_a_picture_has_the_windows_size(bench: Bench, tmp_path: Path) -> None:
    bench.resize(800, 1280)
    picture = bench.picture(tmp_path / "empty.png").read_bytes()
    bench.resize(1280, 800)
    assert int.from_bytes(picture[16:20], "big") == 800  # width in the PNG header
    assert int.from_bytes(picture[20:24], "big") == 1280


@pytest.mark.parametrize("by", [Person, Foot], ids=["fingers", "pedal"])
def test_a_short_first_start_gives_the_same_record_as_a_touched_one(
    by: type[Person], bench: Bench, tmp_path: Path
) -> None:
    found = []
    for name, first_start, sign_off in (
        ("touched", by.touch_first_start, by.touch_sign_off),
        ("short", by.first_start, by.sign_off),
    ):
        place = tmp_path / name
        place.mkdir()
        person = by(bench, lay_out(place, "ice-crew"))
        first_start(person)
        sign_off(person)
        events = [{**attrs(each), "at": 0.0, "until": 0.0} for each in person.events()]
        found.append((events, person.texts(), person.station.shell.notices(person.now())))
        person.close()
        assert PinFile(place / "supervisor-pin").check(PIN)
    assert found[0] == found[1]
    assert len(found[0][0]) > 8


def attrs(event: Event) -> dict[str, object]:
    """Return an event's kind and values."""
    return {"": type(event)} | {each.name: getattr(event, each.name) for each in fields(event)}
