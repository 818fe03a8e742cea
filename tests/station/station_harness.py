"""The bench: a Kivy window stepped by hand, with true touches and true SDL keys."""

from __future__ import annotations

import ctypes
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import Any

import kivy
import kivy.input.motionevent
import kivy.input.postproc.doubletap
import kivy.input.postproc.tripletap
import kivy.uix.behaviors.button
from kivy.base import EventLoop, runTouchApp
from kivy.clock import Clock
from kivy.config import Config
from kivy.core.window import Window
from kivy.graphics.opengl import GL_RGB, GL_UNSIGNED_BYTE, glReadPixels
from kivy.input.motionevent import MotionEvent
from kivy.input.provider import MotionEventProvider
from kivy.uix.widget import Widget

FRAME = 1 / 60
SDL_KEYDOWN, SDL_KEYUP = 0x300, 0x301
TAKE_TIME: tuple[ModuleType, ...] = (
    kivy.input.motionevent,
    kivy.input.postproc.doubletap,
    kivy.input.postproc.tripletap,
    kivy.uix.behaviors.button,
)


class Finger(MotionEvent):  # type: ignore[misc]  # Kivy has no types
    """One touch of one finger."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs, is_touch=True, type_id="touch")

    def depack(self, args: Any) -> None:
        """Take a position, each 0..1 of the window."""
        self.sx, self.sy = args
        self.profile = ["pos"]
        super().depack(args)


class Fingers(MotionEventProvider):  # type: ignore[misc]  # Kivy has no types
    """Hands the tests' touches to Kivy in its own loop."""

    def __init__(self) -> None:
        super().__init__("bench", "")
        self.queue: list[tuple[str, Finger]] = []

    def update(self, dispatch_fn: Callable[[str, Finger], None]) -> None:
        """Dispatch what was queued."""
        while self.queue:
            dispatch_fn(*self.queue.pop(0))


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


class Bench:
    """The window, its clock, fingers and keys. `now` is never set back."""

    def __init__(self) -> None:
        Config.set("graphics", "maxfps", "0")
        self.now = 1000.0
        Clock.time = lambda: self.now
        Clock._last_tick = self.now
        for module in TAKE_TIME:
            module.time = lambda: self.now  # type: ignore[attr-defined]  # a module's own name
        self.fingers = Fingers()
        runTouchApp(Widget(), embedded=True)
        EventLoop.add_input_provider(self.fingers)
        self._sdl = ctypes.CDLL(_sdl_library())
        self._touches = 0
        self.clear()
        self.resize(1280, 800)

    def clock(self) -> float:
        """The bench's clock, seconds."""
        return self.now

    def frames(self, count: int = 1) -> None:
        """Run frames, a 60th of a second each."""
        for _ in range(count):
            self.now += FRAME
            EventLoop.idle()
            Window.mainloop()

    def wait(self, seconds: float) -> None:
        """Run as many frames as `seconds` hold."""
        self.frames(round(seconds / FRAME))

    def resize(self, width: int, height: int) -> None:
        """Give the window another size."""
        if tuple(Window.size) != (width, height):
            Window.size = (width, height)
            self.frames(12)
        assert tuple(Window.size) == (width, height)

    def show(self, widget: Widget) -> Widget:
        """Put a widget into the empty window."""
        Window.add_widget(widget)
        self.frames(2)
        return widget

    def clear(self) -> None:
        """Empty the window and let what is scheduled run out."""
        for child in Window.children[:]:
            Window.remove_widget(child)
        self.now += 60.0
        self.frames(3)

    def down(self, x: float, y: float) -> Finger:
        """Put a finger down at a point of the window."""
        self._touches += 1
        finger = Finger("bench", self._touches, self._place(x, y))
        self.fingers.queue.append(("begin", finger))
        self.frames(1)
        return finger

    def move(self, finger: Finger, x: float, y: float) -> None:
        """Move a finger that is down."""
        finger.move(self._place(x, y))
        self.fingers.queue.append(("update", finger))
        self.frames(1)

    def up(self, finger: Finger) -> None:
        """Lift a finger."""
        self.fingers.queue.append(("end", finger))
        self.frames(1)

    def tap(self, x: float, y: float, seconds: float = 0.1) -> None:
        """Touch a point for a while."""
        finger = self.down(x, y)
        self.wait(seconds)
        self.up(finger)

    def key(self, scancode: int, down: bool = True, keycode: int = 0, repeat: int = 0) -> None:
        """Send a true SDL key event."""
        event = (ctypes.c_uint8 * 56)()
        kind = SDL_KEYDOWN if down else SDL_KEYUP
        ctypes.c_uint32.from_buffer(event, 0).value = kind
        ctypes.c_uint32.from_buffer(event, 8).value = 1
        ctypes.c_uint8.from_buffer(event, 12).value = int(down)
        ctypes.c_uint8.from_buffer(event, 13).value = repeat
        ctypes.c_int32.from_buffer(event, 16).value = scancode
        ctypes.c_int32.from_buffer(event, 20).value = keycode or (scancode | 1 << 30)
        self._sdl.SDL_PushEvent(ctypes.byref(event))
        self.frames(2)

    def picture(self, path: Path) -> Path:
        """Draw the window once more and save what it shows as a PNG at exactly `path`."""
        taken: list[str] = []

        def shoot(*_: object) -> None:
            taken.append(Window.screenshot(str(path.with_suffix(".png"))))

        Window.bind(on_flip=shoot)
        Window.canvas.ask_update()
        self.frames(1)
        Window.unbind(on_flip=shoot)
        Path(taken[0]).replace(path)
        return path

    def pixels(self) -> Picture:
        """Draw the window once more and return what it shows."""
        taken: list[bytes] = []
        wide, high = Window.size

        def read(*_: object) -> None:
            taken.append(glReadPixels(0, 0, wide, high, GL_RGB, GL_UNSIGNED_BYTE))

        Window.bind(on_flip=read)
        Window.canvas.ask_update()
        self.frames(1)
        Window.unbind(on_flip=read)
        return Picture(wide, high, bytes(taken[0]))

    def _place(self, x: float, y: float) -> tuple[float, float]:
        return x / (Window.width - 1), y / (Window.height - 1)


def _sdl_library() -> str:
    """The SDL that the Kivy wheel carries: events have to go into the same copy."""
    libs = Path(kivy.__file__).resolve().parents[1] / "Kivy.libs"
    found = sorted(libs.glob("libSDL2-2*.so*"))
    return str(found[0]) if found else "libSDL2-2.0.so.0"
