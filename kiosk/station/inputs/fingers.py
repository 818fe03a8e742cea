"""One finger at a time: a second one, laid on by mistake, is not heard."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

STALE_SECONDS = 20.0  # a touch whose end was lost must not lock the screen


class OneFinger:
    """Lets the first touch through and swallows others until it ends."""

    def __init__(self, clock: Callable[[], float]) -> None:
        self._clock = clock
        self._touch: Any = None
        self._since = 0.0

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
        self._touch, self._since = touch, now
        return False

    def _move(self, window: object, touch: Any) -> bool:
        return touch is not self._touch

    def _up(self, window: object, touch: Any) -> bool:
        if touch is not self._touch:
            return True
        self._touch = None
        return False
