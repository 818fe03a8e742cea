"""The whole program in a process of its own, with a script of real mouse and key events.

`python station_program.py SCRIPT PLACE`: opens the station of the folder PLACE as `kiosk run` does,
off screen, lets SCRIPT send its events from a thread, and prints what it saw as JSON.
"""

from __future__ import annotations

import ctypes
import json
import os
import resource
import signal
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

PIN = "2468"
OLD_ENOUGH = 0.6  # seconds after which a page takes touches
LEFT, MIDDLE, RIGHT = 1, 2, 3
MOUSE_DOWN, MOUSE_UP, KEY_DOWN, KEY_UP, QUIT, WINDOW = 0x401, 0x402, 0x300, 0x301, 0x100, 0x200
CLOSE = 14
PATIENCE = 120.0  # only ends a wait for something that will never come


class Hands:
    """Pushes events into SDL, and finds what is on the screen."""

    def __init__(self) -> None:
        from station_harness import _sdl_library

        self._sdl = ctypes.CDLL(_sdl_library())
        self.saw: dict[str, Any] = {}

    @property
    def station(self) -> Any:
        """The running station."""
        from kivy.app import App

        return self.wait(lambda: getattr(App.get_running_app(), "station", None))

    def wait(self, found: Callable[[], Any]) -> Any:
        """Wait until `found` returns something, and return that."""
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            if result := found():
                return result
            time.sleep(0.01)
        raise TimeoutError(self.texts())

    def push(self, kind: int, *fields: tuple[type, int, int]) -> None:
        """Push an event; each of `fields` is a type, a place and a value."""
        event = (ctypes.c_uint8 * 56)()
        fields = ((ctypes.c_uint32, 0, kind), (ctypes.c_uint32, 8, 1), *fields)
        for type_, place, value in fields:
            type_.from_buffer(event, place).value = value  # type: ignore[attr-defined] # ctypes
        self._sdl.SDL_PushEvent(ctypes.byref(event))

    def key(self, scancode: int, keycode: int) -> None:
        """Press and release a key."""
        for kind, state in ((KEY_DOWN, 1), (KEY_UP, 0)):
            self.push(
                kind,
                (ctypes.c_uint8, 12, state),
                (ctypes.c_int32, 16, scancode),
                (ctypes.c_int32, 20, keycode),
            )
            time.sleep(0.03)

    def click(self, x: float, y: float, button: int = LEFT) -> None:
        """Click a point of the window, in Kivy's pixels."""
        from kivy.core.window import Window

        for kind, state in ((MOUSE_DOWN, 1), (MOUSE_UP, 0)):
            self.push(
                kind,
                (ctypes.c_uint8, 16, button),
                (ctypes.c_uint8, 17, state),
                (ctypes.c_uint8, 18, 1),
                (ctypes.c_int32, 20, int(x)),
                (ctypes.c_int32, 24, int(Window.height - 1 - y)),
            )
            time.sleep(0.06)

    def labelled(self, label: str) -> Any:
        """Wait for a button whose label begins with `label`, and return it."""
        from station_tree import buttons

        return self.wait(
            lambda: next((b for b in buttons(self.station) if b.label.startswith(label)), None)
        )

    def touch(self, *labels: str, button: int = LEFT) -> None:
        """Touch buttons, one after the other, each on a page that is old enough."""
        for label in labels:
            self.labelled(label)
            time.sleep(OLD_ENOUGH)
            x, y = self.labelled(label).box.centre
            self.click(x, y, button)

    def type(self, text: str) -> None:
        """Touch the keys of one page in quick succession."""
        time.sleep(OLD_ENOUGH)
        for key in text:
            self.click(*self.labelled(key).box.centre)

    def texts(self) -> str:
        """Return what is written on the screen."""
        from station_tree import written

        return "\n".join(each.text for each in written(self.station))

    def bar(self) -> None:
        """Touch the forward bar."""
        time.sleep(OLD_ENOUGH)
        self.click(*self.station.screen.painted.foot.bar.centre)

    def leave(self) -> None:
        """Leave with the supervisor's PIN."""
        self.touch("Supervisor")
        self.labelled("Enter")
        self.type(PIN)
        self.touch("Enter", "Leave the kiosk")


def keys_and_buttons(hands: Hands) -> None:
    """Sign on with left, middle and right button; then try everything that might lead out."""
    hands.touch("New here", button=RIGHT)
    hands.labelled("This is me")
    hands.type("IK")
    hands.touch("This is me", button=MIDDLE)
    hands.labelled("hand over")
    hands.key(41, 27)  # Escape
    hands.key(58, 1073741882)  # F1
    hands.key(270, 1073742094)  # a tablet's back key
    hands.push(WINDOW, (ctypes.c_uint8, 12, CLOSE))
    hands.push(QUIT)
    os.kill(os.getpid(), signal.SIGINT)  # as Ctrl-C of a keyboard that is also the console's
    time.sleep(0.5)
    hands.saw["texts"] = hands.wait(hands.texts)
    hands.saw["page"] = hands.station.desk.page.name
    hands.saw["operator"] = hands.station.shell.state.operator
    hands.saw["in the window"] = [type(each).__name__ for each in window()]
    hands.leave()


def a_look(hands: Hands) -> None:
    """Only look at the screen, then leave."""
    hands.wait(lambda: hands.station.parent)
    time.sleep(0.3)
    hands.saw["texts"] = hands.wait(hands.texts)  # not between two pictures
    if "OPEN THE PRESS first" in hands.saw["texts"]:
        hands.bar()
    hands.leave()


def not_opened(hands: Hands) -> None:
    """Read why the record cannot be opened, then leave."""
    hands.labelled("Leave the kiosk")
    hands.saw["texts"] = hands.texts()
    hands.touch("Leave the kiosk")


def room_again(hands: Hands) -> None:
    """Start on a full disk; make room, and see what the same start becomes, by itself."""
    if "SEEN" in os.environ:  # started again, without any touch
        hands.labelled("New here")
        hands.saw["before"], hands.saw["texts"] = os.environ["SEEN"], hands.texts()
        hands.leave()
        return
    hands.labelled("Leave the kiosk")
    os.environ["SEEN"] = hands.texts()
    limit = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit[1], limit[1]))


def first_shop(hands: Hands) -> None:
    """Start on a full disk before there is a shop; make room, and see the first page of a shop."""
    if "SEEN" in os.environ:
        hands.labelled("2")
        hands.saw["before"], hands.saw["texts"] = os.environ["SEEN"], hands.texts()
        print(json.dumps(hands.saw), flush=True)
        os.kill(os.getpid(), signal.SIGTERM)
        return
    room_again(hands)


def stays(hands: Hands) -> None:
    """Report that the station is running, and do nothing more."""
    hands.labelled("New here")
    print("there", flush=True)


def broken_tones(hands: Hands) -> None:
    """Let the tones fail during a press: its time runs, and runs out, all the same."""
    station = hands.station
    hands.wait(lambda: station.screen.painted)

    def fail(name: str) -> None:
        raise RuntimeError(name)

    station.cues.player.play = fail
    hands.bar()
    error = "Something went wrong inside (RuntimeError)"
    hands.wait(lambda: error in hands.texts())
    hands.saw["heat"] = station.shell.state.heat is not None

    def opened_texts() -> str:
        """Return the texts once the press should be opened: a busy machine draws late."""
        texts = hands.texts()
        return texts if error in texts and "since the tone" in texts else ""

    hands.saw["texts"] = hands.wait(opened_texts)
    print(json.dumps(hands.saw), flush=True)
    os.kill(os.getpid(), signal.SIGTERM)  # as a machine does when it shuts down


def window() -> list[Any]:
    """Return the widgets in the window."""
    from kivy.core.window import Window

    return list(Window.children)


SCRIPTS: dict[str, Callable[[Hands], None]] = {
    each.__name__: each
    for each in (keys_and_buttons, a_look, not_opened, room_again, first_shop, stays, broken_tones)
}


def play(script: str, hands: Hands) -> None:
    """Play a script; print any error along with what it saw."""
    try:
        SCRIPTS[script](hands)
    except BaseException as problem:
        print(json.dumps({**hands.saw, "problem": repr(problem)}), flush=True)
        os._exit(9)


def open_later(folder: Path) -> None:
    """Open the station a minute after its log ended, in the same boot."""
    from kiosk.log.record.recorder import start
    from kiosk.run.state.event import Now
    from kiosk.station.glass import open as header

    header.prepare()
    from kiosk.station.desk.desk import Identity, StationParts
    from kiosk.station.desk.jobs.library import Library
    from kiosk.station.desk.side_files import PinFile
    from kiosk.station.glass.program import StationApp

    began, shift = time.monotonic(), [Now("", 0.0, 0.0)]

    def now() -> Now:
        passed = time.monotonic() - began
        return Now(shift[0].boot, shift[0].clock + passed, shift[0].wall + passed)

    recorder, _ = start(folder / "log.sqlite3", now())
    last = recorder.state.last
    assert last is not None
    shift[0] = Now(last.boot, last.clock + 60.0, last.wall + 60.0)
    library = Library(folder / "recipes", folder / "jobs")
    pin = PinFile(folder / "supervisor-pin")
    StationApp(StationParts(recorder, library, pin, Identity("demo/log", "0"), now)).run()


def main(script: str, place: str) -> None:
    """Open the station, play the script, and print what it saw."""
    os.environ["SDL_VIDEODRIVER"], os.environ["SDL_AUDIODRIVER"] = "offscreen", "dummy"
    os.environ["KIVY_NO_CONSOLELOG"] = "1"
    from kiosk.__main__ import main as kiosk
    from kiosk.station.glass.open import run_station

    folder, mended = Path(place), None
    hands = Hands()
    threading.Thread(target=play, args=(script, hands), daemon=True).start()
    if script in (room_again.__name__, first_shop.__name__) and "SEEN" not in os.environ:
        hard = resource.getrlimit(resource.RLIMIT_FSIZE)[1]
        resource.setrlimit(resource.RLIMIT_FSIZE, (0, hard))  # no file grows, as on a full disk
    if script in (not_opened.__name__, room_again.__name__):
        recipes, log = str(folder / "recipes"), str(folder / "log.sqlite3")
        code = kiosk(["run", "--on-screen", "--recipes", recipes, "--log", log])
        print(json.dumps(hands.saw))
        sys.exit(code)
    if script == first_shop.__name__:
        shop = ["--shop", str(folder / "shop"), str(Path.cwd())]
        kiosk(["run", "--on-screen", *shop, "--log", str(folder / "log.sqlite3")])
    if script == broken_tones.__name__:
        open_later(folder)
    else:
        mended, _ = run_station(folder / "recipes", folder / "jobs", folder / "log.sqlite3")
    print(json.dumps({**hands.saw, "mended": mended is not None}))


if __name__ == "__main__":
    main(*sys.argv[1:])
