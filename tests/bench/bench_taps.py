"""Taps in a row: from the touch to the frame that shows its result."""

from __future__ import annotations

from collections.abc import Callable

from bench_hands import Finger, Flips, Touch
from kivy.clock import Clock
from kivy.core.window import Window
from kivy.uix.label import Label

SETTLED_FRAMES = 4


class Taps:
    """Taps `count` times. `act` gives the next touch or seconds to wait, `acted` counts results.

    `skip` lets seconds pass, `done` gets the seconds each tap took and the result counted.
    """

    def __init__(
        self,
        count: int,
        act: Callable[[], Touch | float | None],
        acted: Callable[[], int],
        skip: Callable[[float], None],
        done: Callable[[list[float]], None],
    ) -> None:
        self.took: list[float] = []
        self._count, self._act, self._acted, self._skip, self._done = count, act, acted, skip, done
        self._before: int | None = None
        self._settle = 30
        self._finger = Finger()
        self._finger.start()
        self._flips = Flips(self._flipped)
        self._event = Clock.schedule_interval(self._frame, 0)

    def _frame(self, dt: float) -> None:
        self._settle -= 1
        if self._before is not None or self._settle > 0 or not self._finger.resting.is_set():
            return
        act = self._act() if len(self.took) < self._count else None
        if act is None:
            self._event.cancel()
            self._done(self.took)
        elif isinstance(act, Touch):
            self._before = self._acted()
            self._finger.touch(act)
        else:
            self._skip(act)
            self._settle = SETTLED_FRAMES

    def _flipped(self, now: float) -> None:
        if self._before is None or self._acted() == self._before:
            return
        self.took.append(now - self._finger.began)
        self._before = None
        self._settle = SETTLED_FRAMES


def tap_label(label: Label, count: int, done: Callable[[list[float]], None]) -> Taps:
    """Tap a window that changes a label, on the finger's way down and up in turn."""
    seen = [0]

    def change(window: object, touch: object, on_down: bool) -> None:
        if on_down == bool(seen[0] % 2):
            seen[0] += 1
            label.text = str(10 + seen[0] % 90)

    Window.bind(on_touch_down=lambda window, touch: change(window, touch, True))
    Window.bind(on_touch_up=lambda window, touch: change(window, touch, False))
    where = Window.center
    return Taps(
        count,
        lambda: Touch(where[0], where[1], bool(seen[0] % 2)),
        lambda: seen[0],
        lambda seconds: None,
        done,
    )
