"""What happens every frame, when a shown number changes next, whether the screen stays on."""

import os
import sys
from collections.abc import Callable, Iterator
from math import floor

from kivy.base import ExceptionManager

from kiosk.run.show import View

APART_SECONDS = 0.1  # the clock of a garment beside the record may run faster than the station's


def unending(act: Callable[[], object]) -> Callable[[float], None]:
    """Return `act` as an interval that goes on though it raised; errors go to ExceptionManager."""

    def each_frame(dt: float) -> None:
        try:
            act()
        except Exception as problem:
            if ExceptionManager.handle_exception(problem) == ExceptionManager.RAISE:
                raise

    return each_frame


AT_LEAST_EVERY = 1.0  # seconds: notices end, rows change on disk, the record is tried again


def next_change(view: View, clock: float) -> float:
    """Return the clock at which some number shown by `view` (computed at `clock`) changes next."""
    waits = [wait for wait in _waits(view) if wait > 0]
    return clock + min([AT_LEAST_EVERY, *waits])


def _waits(view: View) -> Iterator[float]:
    """Seconds until each number that runs down (or up) shows another whole second."""
    down: list[float] = []
    if view.countdown is not None:
        down += [view.countdown.left, view.countdown.counting_in]
        yield from (wait for wait in (view.countdown.left, view.countdown.counting_in) if wait > 0)
    for chip in view.chips:
        down += [chip.from_seconds, chip.to_seconds]
    for left in down:
        yield left - floor(left) or 1.0
    if view.open_since is not None:
        yield 1.0 - (view.open_since - floor(view.open_since))


AWAKE = frozenset({"x11", "wayland", "windows", "cocoa", "uikit", "android"})
"""SDL's video drivers that can keep a screen awake (SDL 2's sources, from memory)."""


def stays_awake() -> bool:
    """Return whether the screen is asked to stay on, and this machine's driver can do it."""
    from kivy.core.window import Window  # opens it

    driver = os.environ.get("SDL_VIDEODRIVER", "").lower()
    if not driver and sys.platform == "linux":  # as SDL chooses; a bare console cannot
        graphic = {"DISPLAY", "WAYLAND_DISPLAY", "ANDROID_ARGUMENT"} & os.environ.keys()
        driver = "x11" if graphic else "kmsdrm"
    return not Window.allow_screensaver and (not driver or driver in AWAKE)
