"""What is bound to the window: one finger, pedals and switches by scancode, devices plugged in.

Scancodes are the same on every keyboard layout; Kivy's own names for F13 and up are wrong.
"""

import re
import time
from collections.abc import Callable, Collection, Mapping
from pathlib import Path
from typing import Any

from kivy.clock import Clock

from kiosk.run.state import Role

SPACE, ENTER, PAGE_DOWN, F13 = 44, 40, 78, 104
PEDAL = frozenset({SPACE, ENTER, PAGE_DOWN, F13})
PRESS_CLOSED, PRESS_OPENED = 105, 106  # F14 and F15
PAGE_UP, F16 = 75, 107
DEFAULT_KEYS = {
    Role.FORWARD: PEDAL,
    Role.SECOND: frozenset({PAGE_UP, F16}),
    Role.CLOSED: frozenset({PRESS_CLOSED}),
    Role.OPENED: frozenset({PRESS_OPENED}),
}

BOUNCE_SECONDS = 0.25  # a second press sooner than this is a bounce
STUCK_SECONDS = 10.0  # nobody presses that long: something lies on it, or it was unplugged
SETTLE_SECONDS = 0.05  # an up followed by a down within this is a bounce, or auto-repeat
REST_SECONDS = 0.12  # a down sooner than this after an up is the same press or a bounce


def keys_of(role: Role, learned: Mapping[int, Role]) -> frozenset[int]:
    """Return the scancodes of a role: those learned, else its known ones not learned elsewhere."""
    chosen = frozenset(code for code, its_role in learned.items() if its_role is role)
    return chosen or DEFAULT_KEYS[role] - frozenset(learned)


class Pedal:
    """A latch over some keys: one `on_down` and one `on_up` for each press of the foot.

    `on_lost` is called instead of `on_up` if the window loses the keyboard meanwhile, or the pedal
    stays down too long; `on_stuck` is then called too, repeatedly while it stays down.
    """

    def __init__(
        self,
        clock: Callable[[], float],
        on_down: Callable[[], None],
        on_up: Callable[[], None],
        on_lost: Callable[[], None],
        on_stuck: Callable[[], None] = lambda: None,
    ) -> None:
        self._clock = clock
        self._on_stuck = on_stuck
        self._stuck: Any = None
        self._on_down = on_down
        self._on_up = on_up
        self._on_lost = on_lost
        self._scancodes = frozenset(PEDAL)
        self._held: set[int] = set()
        self._pressed = False
        self._last = self._last_up = -BOUNCE_SECONDS
        self._release: Any = None

    def listen_to(self, scancodes: Collection[int]) -> None:
        """Listen to these keys from now on."""
        if self._scancodes != frozenset(scancodes):
            self._scancodes = frozenset(scancodes)
            self.forget()

    def bind(self, window: Any) -> None:
        """Listen to the keys of a Kivy window."""
        window.bind(on_key_down=self._key_down, on_key_up=self._key_up, focus=self._focus)

    def unbind(self, window: Any) -> None:
        """Stop listening."""
        window.unbind(on_key_down=self._key_down, on_key_up=self._key_up, focus=self._focus)

    def _key_down(self, window: object, key: int, scancode: int, *_: object) -> bool:
        if scancode not in self._scancodes:
            return False
        now, repeated = self._clock(), scancode in self._held
        self._held.add(scancode)
        if self._release is not None:  # it was not a real up
            self._release.cancel()
            self._release = None
        elif not (repeated or self._pressed or self._bounces(now)):
            self._end_press()
            self._pressed = True
            self._stuck = Clock.schedule_once(self._is_stuck, STUCK_SECONDS)
            self._on_down()
        self._last = now
        return True

    def _key_up(self, window: object, key: int, scancode: int, *_: object) -> bool:
        if scancode not in self._scancodes:
            return False
        self._held.discard(scancode)
        self._last_up = self._clock()
        if not self._pressed and not self._held:
            self._end_press()  # it was stuck
        if self._pressed and not self._held and self._release is None:
            self._release = Clock.schedule_once(self._up, SETTLE_SECONDS)
        return True

    def _bounces(self, now: float) -> bool:
        return now - self._last < BOUNCE_SECONDS or now - self._last_up < REST_SECONDS

    def _up(self, *_: object) -> None:
        self._release = None
        self._end_press()
        self._on_up()

    def _end_press(self) -> None:
        self._pressed = False
        if self._stuck is not None:
            self._stuck.cancel()
            self._stuck = None

    def _is_stuck(self, *_: object) -> None:
        """Report a stuck pedal and ignore its release; repeat until the keys come up."""
        if self._pressed:
            self._end_press()
            self._on_lost()
        self._on_stuck()
        self._stuck = Clock.schedule_once(self._is_stuck, STUCK_SECONDS)

    def _focus(self, window: object, focused: bool) -> None:
        if not focused:
            self.forget()

    def forget(self) -> None:
        """Treat every key as up: the release of a key still held will not be seen."""
        self._held.clear()
        pressed = self._pressed
        self._end_press()
        if pressed:
            self._on_lost()


class Switch:
    """A switch on the press that types one key when it closes and another when it opens.

    The first signal is passed on at once; while it bounces, only the last one is.
    """

    def __init__(
        self,
        on_closed: Callable[[], None],
        on_opened: Callable[[], None],
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._callbacks = (on_closed, on_opened)
        self._calls: dict[int, Callable[[], None]] = {}
        self._clock = clock
        self._last = -BOUNCE_SECONDS
        self._reported: Callable[[], None] | None = None
        self._latest: Callable[[], None] | None = None
        self._settling: Any = None
        self._held: set[int] = set()
        self.listen_to(DEFAULT_KEYS[Role.CLOSED], DEFAULT_KEYS[Role.OPENED])

    def listen_to(self, closed: Collection[int], opened: Collection[int]) -> None:
        """Listen to these keys from now on."""
        on_closed, on_opened = self._callbacks
        self._calls = dict.fromkeys(closed, on_closed) | dict.fromkeys(opened, on_opened)

    def bind(self, window: Any) -> None:
        """Listen to the keys of a Kivy window."""
        window.bind(on_key_down=self._key_down, on_key_up=self._key_up)

    def unbind(self, window: Any) -> None:
        """Stop listening."""
        window.unbind(on_key_down=self._key_down, on_key_up=self._key_up)

    def _key_down(self, window: object, key: int, scancode: int, *_: object) -> bool:
        if scancode not in self._calls:
            return False
        now = self._clock()
        bounces, self._last = now - self._last < BOUNCE_SECONDS, now
        if scancode not in self._held:
            self._latest = self._calls[scancode]
            if bounces:
                self._settle()
            else:
                self._report()
        self._held.add(scancode)
        return True

    def _settle(self) -> None:
        """Wait until the signals stop, then pass on the last one if it differs."""
        if self._settling is not None:
            self._settling.cancel()
        self._settling = Clock.schedule_once(self._report_settled, BOUNCE_SECONDS)

    def _report_settled(self, *_: object) -> None:
        self._settling = None
        if self._latest is not self._reported:
            self._report()

    def _report(self) -> None:
        self._reported = self._latest
        if self._reported is not None:
            self._reported()

    def _key_up(self, window: object, key: int, scancode: int, *_: object) -> bool:
        self._held.discard(scancode)
        return scancode in self._calls


DEVICES = Path("/proc/bus/input/devices")  # Linux; elsewhere plugged devices are not detected
_NAME = re.compile(r'^N: Name="(.*)"$', re.MULTILINE)
_HANDLED = re.compile(r"^H: Handlers=.*\bkbd\b", re.MULTILINE)


def keyboards(text: str) -> frozenset[str]:
    """Return the names of the keyboards listed in the text of `/proc/bus/input/devices`."""
    blocks = (block for block in text.split("\n\n") if _HANDLED.search(block))
    return frozenset(found[1] for block in blocks if (found := _NAME.search(block)))


class PlugWatch:
    """Tells which keyboards were unplugged or plugged in since the last call."""

    def __init__(self, devices: Path = DEVICES) -> None:
        self._devices = devices
        self._names = self._read()

    def changes(self) -> tuple[frozenset[str], frozenset[str]]:
        """Return the names that are gone and the names that are new."""
        before, now = self._names, self._read()
        self._names = now
        return before - now, now - before

    def _read(self) -> frozenset[str]:
        try:
            return keyboards(self._devices.read_text("utf-8", "replace"))
        except OSError:
            return frozenset()


SAME_FINGER_SECONDS = 0.35  # a panel that also emulates a mouse repeats a touch within this
SAME_FINGER_SHARE = 0.03  # of the window's width and height: no farther off than this
STALE_SECONDS = 20.0  # a touch whose end was lost must not lock the screen


class OneFinger:
    """Lets the first touch through and ignores others until it ends.

    A copy that another device sends right after it (a panel that also emulates a mouse) is
    ignored too.
    """

    def __init__(self, clock: Callable[[], float]) -> None:
        self._clock = clock
        self._touch: Any = None
        self._since = 0.0
        self._last: tuple[str, float, float, float] | None = None  # device, time, where it ended

    def bind(self, window: Any) -> None:
        """Take touches before any other handler of a Kivy window."""
        window.bind(on_touch_down=self._down, on_touch_move=self._move, on_touch_up=self._up)

    def unbind(self, window: Any) -> None:
        """Stop taking touches."""
        window.unbind(on_touch_down=self._down, on_touch_move=self._move, on_touch_up=self._up)

    def _down(self, window: object, touch: Any) -> bool:
        now = self._clock()
        if self._touch is not None and now - self._since < STALE_SECONDS:
            return True
        if self._repeats(touch, now):
            return True
        self._touch, self._since = touch, now
        return False

    def _move(self, window: object, touch: Any) -> bool:
        return touch is not self._touch

    def _up(self, window: object, touch: Any) -> bool:
        if touch is not self._touch:
            return True
        self._touch = None
        self._last = (touch.device, self._clock(), touch.sx, touch.sy)
        return False

    def _repeats(self, touch: Any, now: float) -> bool:
        """Return whether another device repeats the touch that has just ended."""
        if self._last is None:
            return False
        device, ended, sx, sy = self._last
        near = max(abs(touch.sx - sx), abs(touch.sy - sy)) <= SAME_FINGER_SHARE
        return touch.device != device and near and now - ended < SAME_FINGER_SECONDS
