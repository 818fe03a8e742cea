"""Checks frame by frame whether the seconds on the screen match the clock."""

from __future__ import annotations

import time
from collections.abc import Callable
from math import ceil

from bench_hands import Flips
from kivy.base import EventLoop
from kivy.clock import Clock
from kivy.uix.widget import Widget

from kiosk.station.glass.app import StationWidget
from kiosk.station.glass.widgets.marks import Digits

STALL_SECONDS = 0.3
STALLS_AT = (1.45, 4.5, 7.85)  # after the start: across a full second or between two
LOOKED_SECONDS = 0.002  # from the station's reading of the clock to this one's, in the same frame


class Watch:
    """Watches a countdown for `seconds`.

    `done` gets the number of frames that did not show the clock's second at the frame's start,
    and two longest times in seconds, without stalls: of a second shown after its end, and of a
    frame.
    """

    def __init__(self, station: StationWidget, seconds: float, done: Callable[..., None]) -> None:
        heat = station.shell.state.heat
        assert heat is not None
        assert heat.deadline is not None
        self._deadline = heat.deadline
        self._station, self._done = station, done
        self._began = self._looked = self._ended = self._clock()
        self._ends = self._began + seconds
        self._stalls = list(STALLS_AT)
        self._stalled = self._after_stall = False
        self._frames = self._wrong = 0
        self._late = self._longest = 0.0
        self._shown = ""
        Flips(lambda now: self._flipped())
        self._idle, EventLoop.idle = EventLoop.idle, self._frame
        Clock.schedule_interval(self._begins, 0)

    def _clock(self) -> float:
        return self._station.parts.now().clock

    def _begins(self, dt: float) -> None:
        """Stall now, right after the station's reading of the clock, the latest possible moment."""
        self._looked = self._clock()
        if self._stalls and self._looked - self._began >= self._stalls[0]:
            self._stalls.pop(0)
            self._stalled = True
            time.sleep(STALL_SECONDS)

    def _frame(self) -> bool:
        over = bool(self._idle())
        ended, shown = self._clock(), seconds_shown(self._station)
        right = {_seconds(self._deadline - self._looked + past) for past in (0, LOOKED_SECONDS)}
        if self._looked >= self._deadline:
            right.add("")  # the next screen is already there
        self._frames += 1
        self._wrong += shown not in right
        if not self._stalled:
            self._longest = max(self._longest, ended - self._ended)
        self._after_stall, self._stalled, self._ended = self._stalled, False, ended
        if ended >= self._ends:
            EventLoop.idle = self._idle
            self._done(
                frames=self._frames, wrong=self._wrong, late=self._late, longest=self._longest
            )
        return over

    def _flipped(self) -> None:
        shown = seconds_shown(self._station)
        if shown != self._shown and self._shown and not (self._stalled or self._after_stall):
            self._late = max(self._late, self._clock() - (self._deadline - int(shown)))
        self._shown = shown


def _seconds(left: float) -> str:
    return str(ceil(max(0.0, left)))


def seconds_shown(station: StationWidget) -> str:
    """Return the figures of the time on the screen, "" if there are none."""
    return next((each.text for each in _walk(station) if isinstance(each, Digits)), "")


def _walk(widget: Widget) -> list[Widget]:
    return [each for child in widget.children for each in (child, *_walk(child))]
