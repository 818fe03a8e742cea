"""An offscreen window, which each child process opens after forking from loaded code."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path
from typing import Any

SIZE = (1024, 600)
_unopened = False


def offscreen(size: tuple[int, int] = SIZE) -> None:
    """Set a process up for an offscreen station."""
    os.environ["SDL_VIDEODRIVER"] = "offscreen"
    os.environ["SDL_AUDIODRIVER"] = "dummy"
    os.environ["KIVY_NO_CONSOLELOG"] = "1"
    os.environ.setdefault("KIVY_HOME", tempfile.gettempdir())
    from kiosk.station.glass.open import prepare

    prepare(window=size, fingers=False)


def read_all() -> None:
    """Load a station's code without opening its window, which no two processes can share."""
    global _unopened
    offscreen()
    import kivy.core

    select = kivy.core.core_select_lib

    def unopened(category: str, libraries: Any, create: bool = False, **more: Any) -> Any:
        if category != "window":
            return select(category, libraries, create, **more)
        kind = select(category, libraries, False, **more)
        kind.create_window, kind.opened = _once_opened(kind.create_window), False
        return kind()

    kivy.core.core_select_lib = unopened
    import station_harness  # noqa: F401
    import trial_person  # noqa: F401
    from station_driver import ROOT, lay_out

    from kiosk.catalog.read import read_catalog
    from kiosk.log.record.recovery import code_version

    kivy.core.core_select_lib = select
    code_version()
    with tempfile.TemporaryDirectory() as place:
        for recipes in (ROOT / "recipes", lay_out(Path(place), "ice-crew") / "recipes"):
            read_catalog(recipes)  # cached by their contents
    _unopened = True


def _once_opened(create: Any) -> Any:
    def create_window(window: Any, *rest: Any) -> None:
        if window.opened:
            create(window, *rest)

    return create_window


def open_window(size: tuple[int, int] = SIZE) -> None:
    """Open the window of this process, whether or not its code was loaded before."""
    if not _unopened:
        offscreen(size)
        return  # importing it opens it
    from kivy.core.window import Window

    type(Window).opened = True
    Window.initialized = False
    Window.create_window()
    Window.initialized = True
