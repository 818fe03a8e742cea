"""Opens the station: prepares Kivy for a kiosk, then its record, its recipes, its window."""

from __future__ import annotations

import os
import signal
import socket
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING

import kiosk

if TYPE_CHECKING:
    from kiosk.catalog.model import StationSettings
    from kiosk.log.record import Recorder
    from kiosk.log.rescue import Mended
    from kiosk.log.store import LogFault
    from kiosk.station.desk.beside import Beside


def run_station(
    recipes: Path,
    jobs: Path,
    log: Path,
    job: Path | None = None,
    progress: Callable[[int, int], None] = lambda done, of: None,
) -> tuple[Mended | None, Recorder]:
    """Open the station full screen and return when the supervisor leaves it.

    `jobs` holds the job folders, `job` is the one to set up first; `progress` is told how much
    of a long record is read anew. Returns what became of a
    damaged log, and the recorder, closed. Raises LogFault when the record cannot be opened.
    """
    from kiosk.log.facts import LONG
    from kiosk.log.record import start
    from kiosk.log.store import now

    recorder, mended = start(log, now(), progress=progress, at_once=LONG)
    prepare()
    from kiosk.station.desk.desk import Identity, Parts
    from kiosk.station.desk.jobs.library import Library
    from kiosk.station.desk.side_files import PinFile, kept_beside, kept_of
    from kiosk.station.glass.program import StationApp

    kept = kept_of(kept_beside(log), recipes)
    library = Library(recipes, job.parent if job is not None else jobs, kept)
    parts = Parts(
        recorder,
        library,
        PinFile(log.with_name("supervisor-pin")),
        Identity(f"{socket.gethostname()}/{log.stem}", kiosk.__version__),
        now,
        beside=_beside(recorder.store.path, recipes) if library.has_server else None,
    )
    app = StationApp(parts, job, mended)
    # Not raised: that would break into the middle of whatever is being done.
    signal.signal(signal.SIGINT, app.end if in_a_terminal() else signal.SIG_IGN)
    app.run()
    return mended, recorder


def say_not_opened(fault: LogFault, settings: StationSettings) -> None:
    """Say on the screen why the record cannot be opened; return once that was read."""
    prepare()
    from kiosk.station.glass.not_opened import NotOpened

    NotOpened(fault, settings).run()


TERMINALS = ("/dev/pts/", "/dev/ttys")  # of windows and remote shells, as Linux and macOS name them


def in_a_terminal() -> bool:
    """Return whether Ctrl-C comes from a terminal's window, not from a key of the station.

    A service and a menu's program have no terminal; of a console the pedal's own keyboard is one.
    """
    with suppress(AttributeError, OSError, ValueError):  # no stdin, none of a terminal, Windows
        return os.ttyname(sys.stdin.fileno()).startswith(TERMINALS)
    return False


def _beside(log: Path, recipes: Path) -> Beside:
    from kiosk.station.desk.beside import Beside, command

    return Beside(command(log, recipes))


# Kivy must not read our arguments, a stray config of the user's, or write logs beside ours.
ENVIRONMENT = {
    "KIVY_NO_ARGS": "1",
    "KIVY_NO_CONFIG": "1",
    "KIVY_NO_FILELOG": "1",
    "KIVY_LOG_MODE": "MIXED",  # else the root logger, and every library's, falls to DEBUG
    "KIVY_CLIPBOARD": "dummy",
    "KIVY_WINDOW": "sdl2",
    "KIVY_TEXT": "sdl2",
    "KIVY_AUDIO": "sdl2",
    "SDL_NO_SIGNAL_HANDLERS": "1",  # else a shutdown asks the window to close, which it refuses
}

SETTINGS = (
    ("kivy", "exit_on_escape", "0"),
    ("kivy", "desktop", "0"),
    ("kivy", "keyboard_mode", "system"),
    ("kivy", "pause_on_minimize", "0"),
    ("kivy", "kivy_clock", "default"),
    ("kivy", "log_level", "warning"),
    ("graphics", "fullscreen", "auto"),
    ("graphics", "borderless", "1"),
    ("graphics", "resizable", "0"),
    ("graphics", "show_cursor", "0"),
    ("graphics", "allow_screensaver", "0"),
    ("graphics", "always_on_top", "1"),
    ("graphics", "multisamples", "0"),
    ("graphics", "maxfps", "60"),
    ("graphics", "min_state_time", "0"),
)


def prepare(
    window: tuple[int, int] | None = None, fingers: bool = True, whole: bool = False
) -> None:
    """Set Kivy's environment and Config: full screen, one mouse-like input, no exit keys.

    `window` gives a plain window of that size in pixels instead of the full screen;
    without `fingers` no input provider is made at all (tests bring their own). `whole` keeps
    what no screen of the station uses: see `_do_without`.
    """
    for name, value in ENVIRONMENT.items():
        os.environ.setdefault(name, value)
    if not whole:
        _do_without()
    from kivy.config import Config

    for section, key, value in SETTINGS:
        Config.set(section, key, value)
    Config.remove_section("input")  # two providers for one finger would advance twice
    Config.add_section("input")
    if fingers:
        Config.set("input", "mouse", "mouse,disable_multitouch")
    if window is not None:
        Config.set("graphics", "fullscreen", "0")
        Config.set("graphics", "width", str(window[0]))
        Config.set("graphics", "height", str(window[1]))


def _do_without() -> None:
    """Spare a start what is never seen or done: the looks of Kivy's own buttons, other libraries.

    Every widget here draws itself (`glass/widgets/paint.py`); a third of the time that Kivy
    takes to open a window went into reading the rules of the others (style.kv). Kivy's clock
    takes in `asyncio` for programs that are coroutines, its pictures `filetype`, to look into
    the files: both for one name each.
    """
    os.environ.setdefault("KIVY_IMAGE", "sdl2")
    _stand_in("filetype", guess_extension=lambda file: None)  # by its name then, as also before
    stood_in = _stand_in("asyncio", wait_for=None)
    import kivy.clock  # noqa: F401 - the one that asks for it
    from kivy import kivy_data_dir, resources
    from kivy.cache import Cache

    if stood_in:
        del sys.modules["asyncio"]
    assert resources.Cache is Cache  # it has made its place there
    Cache.append("kv.resourcefind", str(Path(kivy_data_dir, "style.kv")), os.devnull)


def _stand_in(name: str, **what: object) -> bool:
    """Put a module of `what` in the place of one that nobody imported yet; else return False."""
    if name in sys.modules:
        return False
    sys.modules[name] = ModuleType(name)
    vars(sys.modules[name]).update(what)
    return True
