"""One finger at a time: a second one, laid on by mistake, is not heard."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

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
