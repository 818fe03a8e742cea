"""Opens the station: prepares Kivy for a kiosk, then the record, the recipes and the window."""

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
    from kiosk.log.rescue import Salvage
    from kiosk.log.store import LogFault
    from kiosk.station.desk.sending_process import SendingProcess


def run_station(
    recipes: Path,
    jobs: Path,
    log: Path,
    job: Path | None = None,
    progress: Callable[[int, int], None] = lambda done, of: None,
) -> tuple[Salvage | None, Recorder]:
    """Open the station full screen and return when the supervisor leaves it.

    `jobs` holds the job folders, `job` is the one to set up first; `progress` is called with the
    events read and their total while a long record is read again. Return how a damaged log was
    mended (or None), and the closed recorder. Raises LogFault if the record cannot be opened.
    """
    from kiosk.log.facts import LONG
    from kiosk.log.record import start
    from kiosk.log.store import now

    recorder, mended = start(log, now(), progress=progress, at_once=LONG)
    prepare()
    from kiosk.station.desk.desk import Identity, StationParts
    from kiosk.station.desk.jobs.library import Library
    from kiosk.station.desk.side_files import PinFile, first_frame_path, read_first_frame
    from kiosk.station.glass.program import StationApp

    first_frame = read_first_frame(first_frame_path(log), recipes)
    library = Library(recipes, job.parent if job is not None else jobs, first_frame)
    parts = StationParts(
        recorder,
        library,
        PinFile(log.with_name("supervisor-pin")),
        Identity(f"{socket.gethostname()}/{log.stem}", kiosk.__version__),
        now,
        sending=_sending(recorder.store.path, recipes) if library.has_server else None,
    )
    app = StationApp(parts, job, mended)
    # Not raised: an exception would interrupt whatever is being done.
    signal.signal(signal.SIGINT, app.end if in_a_terminal() else signal.SIG_IGN)
    app.run()
    return mended, recorder


def say_not_opened(
    fault: LogFault, settings: StationSettings, opens: Callable[[], bool] | None
) -> bool:
    """Show why the record cannot be opened, until the page is left or `opens` returns True.

    Return whether the record can be opened now.
    """
    prepare()
    from kiosk.station.glass.not_opened import NotOpened

    page = NotOpened(fault, settings, opens)
    page.run()
    return page.opened


TERMINALS = ("/dev/pts/", "/dev/ttys")  # of windows and remote shells, on Linux and macOS


def in_a_terminal() -> bool:
    """Return whether Ctrl-C comes from a terminal's window, not from a key of the station.

    A service or a menu's program has no terminal; on a console the pedal itself is the keyboard.
    """
    with suppress(AttributeError, OSError, ValueError):  # no stdin, not a terminal, or Windows
        return os.ttyname(sys.stdin.fileno()).startswith(TERMINALS)
    return False


def _sending(log: Path, recipes: Path) -> SendingProcess:
    from kiosk.station.desk.sending_process import SendingProcess, command

    return SendingProcess(command(log, recipes))


# Kivy must not read our arguments or a user's stray config, or write logs beside ours.
ENVIRONMENT = {
    "KIVY_NO_ARGS": "1",
    "KIVY_NO_CONFIG": "1",
    "KIVY_NO_FILELOG": "1",
    "KIVY_LOG_MODE": "MIXED",  # otherwise the root logger, and every library's, drops to DEBUG
    "KIVY_CLIPBOARD": "dummy",
    "KIVY_WINDOW": "sdl2",
    "KIVY_TEXT": "sdl2",
    "KIVY_AUDIO": "sdl2",
    "SDL_NO_SIGNAL_HANDLERS": "1",  # otherwise a shutdown asks the window to close; it refuses
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

    `window` gives a plain window of that size in pixels instead of full screen; without `fingers`
    no input provider is made (tests bring their own). `whole` keeps what `_skip_unused` leaves out.
    """
    for name, value in ENVIRONMENT.items():
        os.environ.setdefault(name, value)
    if not whole:
        _skip_unused()
    from kivy.config import Config

    for section, key, value in SETTINGS:
        Config.set(section, key, value)
    Config.remove_section("input")  # with two providers one finger would advance twice
    Config.add_section("input")
    if fingers:
        Config.set("input", "mouse", "mouse,disable_multitouch")
    if window is not None:
        Config.set("graphics", "fullscreen", "0")
        Config.set("graphics", "width", str(window[0]))
        Config.set("graphics", "height", str(window[1]))


def _skip_unused() -> None:
    """Skip what no screen uses: the styles of Kivy's own widgets, and two libraries.

    Every widget here draws itself (`glass/widgets/paint.py`); reading the rules of Kivy's own
    (style.kv) took a third of the time to open a window. Kivy's clock imports `asyncio` for async
    programs, and its images import `filetype` to detect file types: both for one name each.
    """
    os.environ.setdefault("KIVY_IMAGE", "sdl2")
    _stand_in("filetype", guess_extension=lambda file: None)  # Kivy then uses the name, as before
    stood_in = _stand_in("asyncio", wait_for=None)
    import kivy.clock  # noqa: F401 - it imports asyncio
    from kivy import kivy_data_dir, resources
    from kivy.cache import Cache

    if stood_in:
        del sys.modules["asyncio"]
    assert resources.Cache is Cache  # importing it has created its cache
    Cache.append("kv.resourcefind", str(Path(kivy_data_dir, "style.kv")), os.devnull)


def _stand_in(name: str, **members: object) -> bool:
    """Put a module of `members` in the place of one not imported yet; return whether it did."""
    if name in sys.modules:
        return False
    sys.modules[name] = ModuleType(name)
    vars(sys.modules[name]).update(members)
    return True
