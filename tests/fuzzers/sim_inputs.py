"""Feet on a real pedal and a press with a real switch, in simulated time."""

from __future__ import annotations

import os
from collections.abc import Callable
from random import Random

os.environ.setdefault("KIVY_NO_ARGS", "1")
os.environ.setdefault("KIVY_LOG_MODE", "PYTHON")  # or Kivy would redirect stderr

from kiosk.station.glass import devices, inputs
from kiosk.station.glass.devices import PRESS_CLOSED, PRESS_OPENED, SPACE

Strokes = tuple[tuple[float, bool], ...]
"""Seconds after the first stroke, and whether the key goes down."""
CLEAN: Strokes = ((0.0, True), (0.15, False))
UNCLEAN: tuple[Strokes, ...] = (
    ((0.0, True), (0.02, False), (0.03, True), (0.2, False)),
    ((0.0, True), (0.01, False), (0.015, True), (0.03, False), (0.05, True), (0.4, False)),
    ((0.0, True), (0.1, True), (0.13, True), (0.16, True), (0.2, False)),
    ((0.0, True), (0.1, False), (0.14, True), (0.17, False)),
    ((0.0, True), (0.1, False), (0.2, True), (0.24, False)),
    ((0.0, True), (1.1, False)),
)
LEAST_SECONDS = 1e-4  # no timer rings immediately
STUCK: Strokes = ((0.0, True), (14.0, False))


class Bell:
    """Kivy's clock for the inputs: calls are made in time order, as time passes."""

    _max_fps = 0.0  # no pause between frames

    def __init__(self) -> None:
        self.now = 0.0
        self._due: list[Ring] = []

    def schedule_once(self, call: Callable[..., object], seconds: float) -> Ring:
        ring = Ring(self._due, self.now + max(seconds, LEAST_SECONDS), call)
        self._due.append(ring)
        return ring

    def pass_to(self, clock: float) -> None:
        while self._due:
            first = min(self._due, key=lambda ring: ring.at)
            if first.at > clock:
                break
            self.now = max(self.now, first.at)
            first.cancel()
            first.call()
        self.now = max(self.now, clock)


class Ring:
    def __init__(self, due: list[Ring], at: float, call: Callable[..., object]) -> None:
        self._due, self.at, self.call = due, at, call

    def cancel(self) -> None:
        if self in self._due:
            self._due.remove(self)


BELL = Bell()


class Inputs:
    """The inputs of a station; `down` is called as the pedal goes down, others as in the glass."""

    def __init__(
        self, down: Callable[[], None], short: Callable[[float], None], long: Callable[[], None],
        closed: Callable[[], None], opened: Callable[[], None],
    ) -> None:  # fmt: skip
        devices.Clock = inputs.Clock = BELL
        self._down = down
        self.rested_at = 0.0  # after this, a stroke cannot be a bounce of the previous one

        def clock() -> float:
            return BELL.now

        self._press = inputs.PressTimer(
            clock, self._goes_down, lambda by, since: short(since), lambda by, since: long()
        )
        self._pedal = devices.Pedal(
            clock, lambda: self._press.down(inputs.PressSource.PEDAL),
            lambda: self._press.up(inputs.PressSource.PEDAL), self._press.drop,
        )  # fmt: skip
        self._switch = devices.Switch(closed, opened, clock)

    def _goes_down(self, by: inputs.PressSource, since: float) -> bool:
        self._down()
        return False

    def tread(self, strokes: Strokes) -> None:
        """Press the pedal once, until the key has come to rest."""
        self._play(self._pedal, SPACE, strokes)

    def throw(self, closed: bool, strokes: Strokes) -> None:
        """Let the press close or open under its switch, until the switch has reported it."""
        self._play(self._switch, PRESS_CLOSED if closed else PRESS_OPENED, strokes)
        BELL.pass_to(self.rested_at)  # one soon after another is reported once it is still

    def _play(self, key: devices.Pedal | devices.Switch, code: int, strokes: Strokes) -> None:
        first = BELL.now
        for seconds, down in strokes:
            BELL.pass_to(first + seconds)
            (key._key_down if down else key._key_up)(None, 0, code)
        self.rested_at = BELL.now + devices.BOUNCE_SECONDS
        BELL.pass_to(BELL.now + 2 * devices.SETTLE_SECONDS)


def strokes_of(dice: Random, unclean: bool) -> Strokes:
    return dice.choice(UNCLEAN) if unclean else CLEAN
