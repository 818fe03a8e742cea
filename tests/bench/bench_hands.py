"""Real SDL touches, and the time a frame is shown."""

from __future__ import annotations

import ctypes
import queue
import random
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import kivy
from kivy.core.window import Window
from kivy.graphics.opengl import glFinish

MOUSE_DOWN, MOUSE_UP, LEFT = 0x401, 0x402, 1
HELD_SECONDS = 0.04


class Touch(NamedTuple):
    """A place in Kivy's pixels, and whether touching acts on the way down."""

    x: float
    y: float
    on_down: bool


class Finger(threading.Thread):
    """Touches at random times relative to the frames; `began` is when it acted."""

    def __init__(self) -> None:
        super().__init__(daemon=True)
        self.began = 0.0
        self.resting = threading.Event()
        self.resting.set()
        self._touches: queue.SimpleQueue[Touch] = queue.SimpleQueue()
        self._sdl = ctypes.CDLL(_sdl_library())
        self._chance = random.Random(7)

    def touch(self, touch: Touch) -> None:
        """Touch there soon."""
        self.resting.clear()
        self._touches.put(touch)

    def run(self) -> None:
        """Do one touch after another."""
        while True:
            touch = self._touches.get()
            time.sleep(self._chance.uniform(0.02, 0.06))
            self._push(touch, MOUSE_DOWN, acts=touch.on_down)
            time.sleep(HELD_SECONDS)
            self._push(touch, MOUSE_UP, acts=not touch.on_down)
            self.resting.set()

    def _push(self, touch: Touch, kind: int, acts: bool) -> None:
        event = (ctypes.c_uint8 * 56)()
        ctypes.c_uint32.from_buffer(event, 0).value = kind
        ctypes.c_uint32.from_buffer(event, 8).value = 1
        ctypes.c_uint8.from_buffer(event, 16).value = LEFT
        ctypes.c_uint8.from_buffer(event, 17).value = int(kind == MOUSE_DOWN)
        ctypes.c_int32.from_buffer(event, 20).value = round(touch.x)
        ctypes.c_int32.from_buffer(event, 24).value = round(Window.height - 1 - touch.y)
        if acts:
            self.began = time.perf_counter()
        self._sdl.SDL_PushEvent(ctypes.byref(event))


def _sdl_library() -> str:
    """Return the SDL in the Kivy wheel: touches have to go into the same copy."""
    libs = Path(kivy.__file__).resolve().parents[1] / "Kivy.libs"
    found = sorted(libs.glob("libSDL2-2*.so*"))
    return str(found[0]) if found else "libSDL2-2.0.so.0"


class Flips:
    """Finishes each frame and calls `seen` with the time when it was drawn.

    Without a screen nothing consumes the frames: their draw calls would wait in a queue, and a
    later frame would pay for them.
    """

    def __init__(self, seen: Callable[[float], None] = lambda now: None) -> None:
        self.seen = seen
        self._flip = Window.flip
        Window.flip = self._flipped

    def _flipped(self) -> None:
        self._flip()
        glFinish()
        self.seen(time.perf_counter())
