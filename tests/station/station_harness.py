"""The bench: the demo's stage, with real SDL events in addition to touches."""

from __future__ import annotations

import ctypes
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import kivy
from kivy.core.window import Window

from kiosk.station.demo.stage import FRAME, DemoWindow, Finger

if TYPE_CHECKING:
    from kiosk.station.demo.hands import DemoHands

__all__ = ["FRAME", "Bench", "Finger", "Picture"]

SDL_QUIT, SDL_WINDOWEVENT, SDL_KEYDOWN, SDL_KEYUP = 0x100, 0x200, 0x300, 0x301
SDL_WINDOWEVENT_FOCUS_GAINED, SDL_WINDOWEVENT_FOCUS_LOST = 12, 13
SDL_WINDOWEVENT_CLOSE = 14  # what a window manager sends for its close button and for Alt+F4


@dataclass(frozen=True)
class Picture:
    """What the window shows: RGB, rows from the bottom."""

    wide: int
    high: int
    data: bytes

    def at(self, x: float, y: float) -> tuple[int, int, int]:
        """Return the colour of a pixel."""
        i = 3 * (int(y) * self.wide + int(x))
        return self.data[i], self.data[i + 1], self.data[i + 2]


class Bench(DemoWindow):
    """The window, its clock, fingers and keys. `now` never goes back.

    `stations` are the open ones: one that a failed test leaves open is closed before the next.
    """

    def __init__(self, size: tuple[int, int] = (1280, 800)) -> None:
        self.stations: list[DemoHands] = []
        super().__init__()
        self._sdl = ctypes.CDLL(_sdl_library())
        self.resize(*size)

    def clear(self) -> None:
        """Close what is still open, and empty the window."""
        for station in self.stations[:]:
            station.close()
        super().clear()

    def key(self, scancode: int, down: bool = True, keycode: int = 0, repeat: int = 0) -> None:
        """Send a real SDL key event."""
        event = (ctypes.c_uint8 * 56)()
        ctypes.c_uint32.from_buffer(event, 8).value = 1
        ctypes.c_uint8.from_buffer(event, 12).value = int(down)
        ctypes.c_uint8.from_buffer(event, 13).value = repeat
        ctypes.c_int32.from_buffer(event, 16).value = scancode
        ctypes.c_int32.from_buffer(event, 20).value = keycode or (scancode | 1 << 30)
        self._push(event, SDL_KEYDOWN if down else SDL_KEYUP)

    def typed(self, scancode: int, keycode: int = 0) -> None:
        """Press and release a key."""
        self.key(scancode, keycode=keycode)
        self.key(scancode, down=False, keycode=keycode)

    def lose_the_keyboard(self) -> None:
        """Let another window take the keyboard for a moment."""
        for window_event in (SDL_WINDOWEVENT_FOCUS_LOST, SDL_WINDOWEVENT_FOCUS_GAINED):
            event = (ctypes.c_uint8 * 56)()
            ctypes.c_uint32.from_buffer(event, 8).value = 1
            ctypes.c_uint8.from_buffer(event, 12).value = window_event
            self._push(event, SDL_WINDOWEVENT)

    def ask_to_close(self) -> None:
        """Ask the window to close, then the program to quit."""
        event = (ctypes.c_uint8 * 56)()
        ctypes.c_uint32.from_buffer(event, 8).value = 1
        ctypes.c_uint8.from_buffer(event, 12).value = SDL_WINDOWEVENT_CLOSE
        self._push(event, SDL_WINDOWEVENT)
        self._push((ctypes.c_uint8 * 56)(), SDL_QUIT)

    def _push(self, event: ctypes.Array[ctypes.c_uint8], kind: int) -> None:
        ctypes.c_uint32.from_buffer(event, 0).value = kind
        self._sdl.SDL_PushEvent(ctypes.byref(event))
        self.frames(2)

    def pixels(self) -> Picture:
        """Draw the window again and return what it shows."""
        wide, high = Window.size
        return Picture(wide, high, self.shown())


def _sdl_library() -> str:
    """Return the SDL library of the Kivy wheel: events have to go to the same copy."""
    libs = Path(kivy.__file__).resolve().parents[1] / "Kivy.libs"
    found = sorted(libs.glob("libSDL2-2*.so*"))
    return str(found[0]) if found else "libSDL2-2.0.so.0"
