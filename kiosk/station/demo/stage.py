"""A Kivy window with frames stepped by hand on its own clock, and real touch events."""

import struct
import time
import zlib
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import kivy.input.motionevent
import kivy.input.postproc.doubletap
import kivy.input.postproc.tripletap
import kivy.uix.behaviors.button
from kivy.base import EventLoop, runTouchApp
from kivy.clock import Clock
from kivy.core.audio import Sound
from kivy.core.window import Window
from kivy.graphics.opengl import GL_RGB, GL_UNSIGNED_BYTE, glReadPixels
from kivy.input.motionevent import MotionEvent
from kivy.input.provider import MotionEventProvider
from kivy.lang import Builder
from kivy.uix.widget import Widget

FRAME = 1 / 60
COARSE_FRAME = 0.1  # longest frame while nobody watches and something may be changing
LEAST_FRAME = 0.001  # moments closer than this count as one
TAKE_TIME: tuple[ModuleType, ...] = (
    kivy.input.motionevent,
    kivy.input.postproc.doubletap,
    kivy.input.postproc.tripletap,
    kivy.uix.behaviors.button,
)


class Finger(MotionEvent):
    """One touch of one finger."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs, is_touch=True, type_id="touch")

    def depack(self, args: Any) -> None:
        """Take a position, each 0..1 of the window."""
        self.sx, self.sy = args
        self.profile = ["pos"]
        super().depack(args)


class Fingers(MotionEventProvider):
    """Passes queued touches to Kivy in its own loop."""

    def __init__(self) -> None:
        super().__init__("stage", "")
        self.queue: list[tuple[str, Finger]] = []

    def update(self, dispatch_fn: Callable[[str, Finger], None]) -> None:
        """Dispatch the queued touches."""
        while self.queue:
            dispatch_fn(*self.queue.pop(0))


class DemoWindow:
    """The window, its clock and fingers. `now` never goes back.

    `speed` is stage seconds per real second, for people to watch; 0 runs as fast as it can. `frame`
    is the length of a frame in stage seconds. Unless `drawn`, the window is drawn only for a
    picture; other frames do everything up to drawing. `changes` are functions that return the
    seconds until something in the window next changes by itself.
    """

    def __init__(self, speed: float = 0.0, frame: float = FRAME, drawn: bool = False) -> None:
        self.now = 1000.0
        self.speed = speed
        self.frame = frame
        self.drawn = drawn or speed > 0
        self.changes: list[Callable[[], float]] = []
        Clock.time = lambda: self.now
        Clock._last_tick = self.now
        Clock._max_fps = 0.0  # otherwise Kivy waits for a clock that does not move
        for module in TAKE_TIME:
            module.time = lambda: self.now  # type: ignore[attr-defined]  # the module's own `time`
        self.fingers = Fingers()
        runTouchApp(Widget(), embedded=True)
        EventLoop.add_input_provider(self.fingers)
        self._touches = 0
        self.clear()

    def clock(self) -> float:
        """Return the stage's clock, seconds."""
        return self.now

    def frames(self, count: int = 1) -> None:
        """Run `count` frames."""
        for _ in range(count):
            self.now += self.frame
            _frame(self.drawn)
            if self.speed:
                time.sleep(self.frame / self.speed)

    def wait(self, seconds: float) -> None:
        """Run as many frames as fit into `seconds`."""
        self.frames(round(seconds / self.frame))

    def pass_time(self, seconds: float) -> None:
        """Let time pass in undrawn frames, or in every frame if somebody is watching.

        There is a frame whenever something may change by itself, and one at the end.
        """
        if self.speed:
            self.wait(seconds)
            return
        end = self.now + seconds
        while self.now < end - 1e-6:
            self.now += min(self._still(), end - self.now)
            _frame(drawn=False)

    def _still(self) -> float:
        """Return the seconds until something may next happen without a touch."""
        waits = [change() or COARSE_FRAME for change in self.changes]
        each_frame = len(waits)
        for event in Clock.get_events():
            if event.loop and not event.timeout:
                each_frame -= 1
            elif not _is_of_a_sound(event):
                waits.append(event._last_dt + event.timeout - self.now)
        if each_frame < 0:  # something unknown runs in every frame
            waits.append(COARSE_FRAME)
        return max(LEAST_FRAME, min(waits))

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
        finger = Finger("stage", self._touches, self._place(x, y))
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
        self.pass_time(seconds)
        self.up(finger)

    def picture(self, path: Path) -> Path:
        """Draw the window again and save it as a PNG at exactly `path`."""
        wide, high = Window.size
        path.write_bytes(png(wide, high, self.shown()))
        return path

    def shown(self) -> bytes:
        """Draw the window again and return its pixels: RGB, rows from the bottom."""
        frames: list[bytes] = []
        wide, high = Window.size

        def read(*_: object) -> None:
            frames.append(glReadPixels(0, 0, wide, high, GL_RGB, GL_UNSIGNED_BYTE))

        Window.bind(on_flip=read)
        Window.canvas.ask_update()
        self.now += self.frame
        _frame(drawn=True)
        Window.unbind(on_flip=read)
        return bytes(frames[0])

    def _place(self, x: float, y: float) -> tuple[float, float]:
        return x / (Window.width - 1), y / (Window.height - 1)


def png(wide: int, high: int, rows: bytes) -> bytes:
    """Return RGB pixels, rows from the bottom, as a PNG; compressed for speed, not size."""
    row = 3 * wide
    lines = b"".join(b"\0" + rows[at : at + row] for at in range((high - 1) * row, -1, -row))
    head = struct.pack(">IIBBBBB", wide, high, 8, 2, 0, 0, 0)  # 8 bits, RGB, not interlaced
    parts = ((b"IHDR", head), (b"IDAT", zlib.compress(lines, 1)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        for kind, data in parts
    )


def _is_of_a_sound(event: Any) -> bool:
    """Return whether an event only polls a sound, which runs on its own clock."""
    return isinstance(getattr(event.get_callback(), "__self__", None), Sound)


def _frame(drawn: bool) -> None:
    """Run a frame as Kivy's loop does; stop short of drawing unless `drawn`."""
    if drawn:
        EventLoop.idle()
    else:
        Clock.tick()
        EventLoop.dispatch_input()
        Builder.sync()
        Clock.tick_draw()
        Builder.sync()
    Window.mainloop()
