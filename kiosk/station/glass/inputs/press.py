"""One finger at a time, touches that press once, and keyboards that are plugged in."""

import re
from collections.abc import Callable
from enum import Enum
from pathlib import Path
from typing import Any

from kivy.clock import Clock

LONG_SECONDS = 1.2


class By(Enum):
    """What pressed."""

    FINGER = "finger"
    PEDAL = "pedal"


class Press:
    """Calls `on_down` at once, then `on_long` as soon as it is long, or `on_short` on the way up.

    `on_down` returns whether the press has done its work; then the other two stay silent.
    While one of finger and pedal is down the other is not heard. Every call gets who pressed
    and the clock when it went down.
    """

    def __init__(
        self,
        clock: Callable[[], float],
        on_down: Callable[[By, float], bool],
        on_short: Callable[[By, float], None],
        on_long: Callable[[By, float], None],
    ) -> None:
        self._clock = clock
        self._on_down = on_down
        self._on_short = on_short
        self._on_long = on_long
        self._by: By | None = None
        self._since = 0.0
        self._spent = False
        self._timer: Any = None

    @property
    def held(self) -> bool:
        """Whether something is down."""
        return self._by is not None

    def down(self, by: By) -> None:
        """Begin a press, unless one is under way."""
        if self._by is not None:
            return
        self._by, self._since = by, self._clock()
        self._spent = self._on_down(by, self._since)
        if not self._spent:
            self._timer = Clock.schedule_once(self._is_long, LONG_SECONDS)

    def up(self, by: By) -> None:
        """End the press of `by`; wherever the finger has drifted to."""
        if self._by is not by:
            return
        self._is_long()
        self._by = None
        self._stop()
        if not self._spent:
            self._on_short(by, self._since)

    def drop(self) -> None:
        """Forget the press under way: its end will not be seen."""
        self._by = None
        self._stop()

    def _is_long(self, *_: object) -> None:
        """A timer may ring early: the clock decides."""
        if self._by is None or self._spent:
            return
        left = LONG_SECONDS - (self._clock() - self._since)
        if left > 0:
            self._stop()
            self._timer = Clock.schedule_once(self._is_long, left)
            return
        self._spent = True
        self._on_long(self._by, self._since)

    def _stop(self) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None


SAME_FINGER_SECONDS = 0.35  # a panel that also plays mouse repeats a touch within this
SAME_FINGER_SHARE = 0.03  # of the window's width and height: as far off at the most
STALE_SECONDS = 20.0  # a touch whose end was lost must not lock the screen


class OneFinger:
    """Lets the first touch through and swallows others until it ends.

    What another device repeats of it right after (a panel that plays mouse too) is the same
    finger and counts once.
    """

    def __init__(self, clock: Callable[[], float]) -> None:
        self._clock = clock
        self._touch: Any = None
        self._since = 0.0
        self._last: tuple[str, float, float, float] | None = None  # device, when, where it ended

    def bind(self, window: Any) -> None:
        """Stand before everything that a Kivy window does with touches."""
        window.bind(on_touch_down=self._down, on_touch_move=self._move, on_touch_up=self._up)

    def unbind(self, window: Any) -> None:
        """Stand there no more."""
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
        """Whether another device tells of the touch that has just ended."""
        if self._last is None:
            return False
        device, ended, sx, sy = self._last
        near = max(abs(touch.sx - sx), abs(touch.sy - sy)) <= SAME_FINGER_SHARE
        return touch.device != device and near and now - ended < SAME_FINGER_SECONDS


DEVICES = Path("/proc/bus/input/devices")  # Linux; elsewhere nothing is known of plugs
_NAME = re.compile(r'^N: Name="(.*)"$', re.MULTILINE)
_HANDLED = re.compile(r"^H: Handlers=.*\bkbd\b", re.MULTILINE)


def keyboards(text: str) -> frozenset[str]:
    """Return the names of what types keys, from the text of `/proc/bus/input/devices`."""
    blocks = (block for block in text.split("\n\n") if _HANDLED.search(block))
    return frozenset(found[1] for block in blocks if (found := _NAME.search(block)))


class Plugged:
    """Tells what has come and gone since it was last asked."""

    def __init__(self, devices: Path = DEVICES) -> None:
        self._devices = devices
        self._known = self._read()

    def changes(self) -> tuple[frozenset[str], frozenset[str]]:
        """Return the names of those that are gone, and of those that are new."""
        known, now = self._known, self._read()
        self._known = now
        return known - now, now - known

    def _read(self) -> frozenset[str]:
        try:
            return keyboards(self._devices.read_text("utf-8", "replace"))
        except OSError:
            return frozenset()
