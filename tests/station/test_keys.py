"""Pedal and switch, by real SDL key events: nothing counts twice."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import pytest
from kivy.core.window import Window
from station_harness import FRAME, Bench

from kiosk.station.glass.devices import F13, PEDAL, PRESS_CLOSED, PRESS_OPENED, SPACE, Pedal, Switch
from kiosk.station.glass.inputs import PressSource, PressTimer

ESCAPE, F1 = 41, 58  # scancodes (USB HID usage tables)


@dataclass
class Foot:
    """What a pedal did, in order, and the pedal itself."""

    heard: list[str] = field(default_factory=list)
    pedal: Pedal | None = None


@pytest.fixture
def foot(bench: Bench) -> Iterator[Foot]:
    foot = Foot()
    foot.pedal = Pedal(
        bench.clock,
        lambda: foot.heard.append("down"),
        lambda: foot.heard.append("up"),
        lambda: foot.heard.append("lost"),
    )
    foot.pedal.bind(Window)
    yield foot
    foot.pedal.unbind(Window)


def test_a_press_of_the_pedal_is_one_down_and_one_up(bench: Bench, foot: Foot) -> None:
    bench.key(SPACE)
    bench.wait(0.4)
    assert foot.heard == ["down"]
    bench.key(SPACE, down=False)
    bench.wait(0.1)
    assert foot.heard == ["down", "up"]


def test_a_held_key_that_repeats_is_one_press(bench: Bench, foot: Foot) -> None:
    for _ in range(23):  # from a key held 1.5 s (kivy.md section 0)
        bench.key(SPACE, repeat=1)
        bench.wait(0.03)
    bench.key(SPACE, down=False)
    bench.wait(0.1)
    assert foot.heard == ["down", "up"]


def test_a_repeating_key_that_also_sends_ups_is_one_press(bench: Bench, foot: Foot) -> None:
    bench.key(SPACE)
    for _ in range(20):
        bench.wait(0.03)
        bench.key(SPACE, down=False)
        bench.key(SPACE)
    bench.key(SPACE, down=False)
    bench.wait(0.1)
    assert foot.heard == ["down", "up"]


def test_a_bouncing_contact_is_one_press(bench: Bench, foot: Foot) -> None:
    for down in (True, False, True, False, True):
        bench.key(SPACE, down=down)
    bench.wait(0.5)
    assert foot.heard == ["down"]
    for down in (False, True, False):
        bench.key(SPACE, down=down)
    bench.wait(0.5)
    assert foot.heard == ["down", "up"]


def test_a_second_press_too_soon_after_the_first_is_a_bounce(bench: Bench, foot: Foot) -> None:
    bench.key(SPACE)
    bench.key(SPACE, down=False)
    bench.wait(0.1)
    bench.key(SPACE)
    bench.key(SPACE, down=False)
    bench.wait(0.4)
    assert foot.heard == ["down", "up"]
    bench.key(SPACE)
    assert foot.heard == ["down", "up", "down"]


def test_a_press_that_comes_too_soon_does_not_count_later_when_held(
    bench: Bench, foot: Foot
) -> None:
    bench.key(SPACE)
    bench.key(SPACE, down=False)
    bench.wait(0.1)
    bench.key(SPACE)
    bench.wait(0.66)  # the delay before a held key repeats (kivy.md section 0)
    bench.key(SPACE, repeat=1)
    assert foot.heard == ["down", "up"]


@pytest.mark.parametrize("held", [0.15, 0.4])
def test_a_bounce_as_the_foot_leaves_is_not_a_second_press(
    bench: Bench, foot: Foot, held: float
) -> None:
    """Gaps of 60 and 80 ms, longer than the debounce: worn contacts; common practice, no source."""
    for gap in (0.06, 0.08):
        bench.key(SPACE)
        bench.wait(held)
        for _ in range(2):
            bench.key(SPACE, down=False)
            bench.wait(gap)
            bench.key(SPACE)
            bench.wait(0.01)
        bench.key(SPACE, down=False)
        bench.wait(0.5)
    assert foot.heard == ["down", "up"] * 2


def test_f13_is_recognised_by_its_scancode(bench: Bench, foot: Foot) -> None:
    bench.key(F13, keycode=1073741928)  # the raw SDL code of F13 (kivy.md section 5)
    assert foot.heard == ["down"]
    assert F13 in PEDAL


def test_other_keys_do_not_count_as_the_pedal(bench: Bench, foot: Foot) -> None:
    passed: list[int] = []

    def rest(window: object, key: int, scancode: int, *_: object) -> bool:
        passed.append(scancode)
        return True

    Window.bind(on_key_down=rest)
    assert foot.pedal is not None
    foot.pedal.unbind(Window)
    foot.pedal.bind(Window)  # the last bound is called first
    for scancode in (ESCAPE, F1, SPACE):
        bench.key(scancode)
        bench.key(scancode, down=False)
    Window.unbind(on_key_down=rest)
    assert passed == [ESCAPE, F1]
    assert foot.heard[:1] == ["down"]


def test_a_press_held_while_the_window_loses_the_keyboard_is_dropped(
    bench: Bench, foot: Foot
) -> None:
    bench.key(SPACE)
    Window._focus = False
    bench.frames(2)
    assert foot.heard == ["down", "lost"]
    Window._focus = True
    bench.wait(0.5)
    bench.key(SPACE)
    assert foot.heard == ["down", "lost", "down"]


def test_a_bouncing_switch_settles_on_its_last_state(bench: Bench) -> None:
    """Closed, open and closed again within 20 ms: the press is closed."""
    told: list[str] = []
    switch = Switch(lambda: told.append("closed"), lambda: told.append("opened"), bench.clock)
    switch.bind(Window)
    for first, other in ((PRESS_CLOSED, PRESS_OPENED), (PRESS_OPENED, PRESS_CLOSED)):
        for code in (first, other, first):
            bench.key(code)
            bench.key(code, down=False)
            bench.wait(0.01)
        bench.wait(2.0)
    switch.unbind(Window)
    assert told == ["closed", "opened"]


def test_the_switch_reports_closed_and_opened_once_each(bench: Bench) -> None:
    heard: list[str] = []
    switch = Switch(
        lambda: heard.append("closed"), lambda: heard.append("opened"), clock=bench.clock
    )
    switch.bind(Window)
    for scancode in (PRESS_CLOSED, PRESS_OPENED):
        for down in (True, True, False, True, False):
            bench.key(scancode, down=down)
        bench.wait(1.0)
    bench.key(PRESS_CLOSED)
    switch.unbind(Window)
    assert heard == ["closed", "opened", "closed"]


# -- short and long --------------------------------------------------------


@dataclass
class Pressed:
    heard: list[tuple[str, PressSource]] = field(default_factory=list)
    spends: bool = False

    def press(self, bench: Bench) -> PressTimer:
        return PressTimer(
            bench.clock,
            self.down,
            lambda by, since: self.heard.append(("short", by)),
            lambda by, since: self.heard.append(("long", by)),
        )

    def down(self, by: PressSource, since: float) -> bool:
        self.heard.append(("down", by))
        return self.spends


@pytest.mark.parametrize(("seconds", "kind"), [(1.2 - 2 * FRAME, "short"), (1.2 + FRAME, "long")])
def test_a_press_of_1_2_seconds_or_more_is_long(bench: Bench, seconds: float, kind: str) -> None:
    pressed = Pressed()
    press = pressed.press(bench)
    press.down(PressSource.PEDAL)
    bench.now += seconds - FRAME
    bench.frames(1)
    press.up(PressSource.PEDAL)
    assert pressed.heard == [("down", PressSource.PEDAL), (kind, PressSource.PEDAL)]


def test_a_press_that_acts_on_the_way_down_is_neither_short_nor_long(bench: Bench) -> None:
    pressed = Pressed(spends=True)
    press = pressed.press(bench)
    press.down(PressSource.FINGER)
    bench.wait(1.5)
    press.up(PressSource.FINGER)
    assert pressed.heard == [("down", PressSource.FINGER)]
    assert not press.held


def test_a_dropped_press_does_nothing(bench: Bench) -> None:
    pressed = Pressed()
    press = pressed.press(bench)
    press.down(PressSource.PEDAL)
    press.drop()
    bench.wait(1.5)
    press.up(PressSource.PEDAL)
    assert pressed.heard == [("down", PressSource.PEDAL)]
