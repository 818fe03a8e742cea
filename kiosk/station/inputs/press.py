"""One press of forward: short or long, by whichever of finger and pedal came first."""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum
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
