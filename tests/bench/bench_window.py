"""One window in its own process, bare or the station; prints its measurements as JSON."""

from __future__ import annotations

import json
import os
import sys
import time
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

WINDOW = (1280, 800)
WARM_UP_SECONDS = 1.5
LABEL_PIXELS = 460  # about the size of the seconds on a dark screen in that window


def main(which: str, what: str, folder: str, count: str) -> None:
    """Open the window `which` and measure `what`, in a shop's `folder`."""
    from kiosk.station.glass import open as header

    os.environ["SDL_VIDEODRIVER"], os.environ["SDL_AUDIODRIVER"] = "offscreen", "dummy"
    os.environ["KIVY_NO_CONSOLELOG"] = "1"
    if what == "start":
        _start(header, which, folder)
        return
    header.prepare(window=WINDOW, whole=which == "bare")
    app = _bare() if which == "bare" else _station(Path(folder))
    measures = {"taps": _taps, "still": _still, "counting": _counting, "countdown": _countdown}
    measures[what](app, float(count))
    app.run()


def _bare() -> Any:
    """Return the label alone, with events polled as early in a frame as the station does."""
    from kivy.app import App
    from kivy.clock import Clock
    from kivy.core.window import Window
    from kivy.uix.label import Label

    class BareApp(App):  # type: ignore[misc]  # Kivy has no types
        def build(self) -> Label:
            return Label(text="10", font_size=LABEL_PIXELS)

        def on_start(self) -> None:
            Clock.schedule_interval(lambda dt: Window.mainloop(), 0)

    return BareApp()


def _station(folder: Path) -> Any:
    """Return the station as `kiosk run` opens it, on a clock that can skip ahead."""
    from bench_shop import JOBS, RECIPES, Moments

    from kiosk.log.record.recorder import start

    moments = Moments()
    recorder, _ = start(folder / "log.sqlite3", moments())
    from kiosk.station.desk.desk import Identity, StationParts
    from kiosk.station.desk.jobs.library import Library
    from kiosk.station.desk.side_files import PinFile
    from kiosk.station.glass.program import StationApp

    library = Library(RECIPES, folder / JOBS)
    pin = PinFile(folder / "supervisor-pin")
    return StationApp(StationParts(recorder, library, pin, Identity("bench", "bench"), moments))


def _tell(**measured: object) -> None:
    from kivy.app import App

    print(json.dumps(measured), flush=True)
    App.get_running_app().stop()


def _start(header: Any, which: str, folder: str) -> None:
    """Report when the first frame with content was shown; the spawner knows when it began."""
    prepare = header.prepare

    def prepare_and_watch() -> None:
        prepare(window=WINDOW, whole=which == "bare")
        from bench_hands import Flips
        from kivy.core.window import Window

        Flips(lambda now: _first_frame() if Window.children else None)

    header.prepare = prepare_and_watch
    if which == "bare":
        prepare_and_watch()
        _bare().run()
        return
    from kiosk.__main__ import main as kiosk

    os.chdir(folder)  # for its shared/jobs
    kiosk(["run", "--recipes", str(ROOT / "recipes"), "--log", "log.sqlite3"])


def _first_frame() -> None:
    print(json.dumps({"shown": time.monotonic(), "used": time.process_time()}), flush=True)
    os._exit(0)


def _taps(app: Any, count: float) -> None:
    """Tap `count` times; report the seconds each took."""

    def begin(*_: object) -> None:
        done = lambda took: _tell(took=took)  # noqa: E731 - one word for both windows
        if hasattr(app, "station"):
            from bench_operator import tap_station

            app.taps = tap_station(app.station, app.parts.now, int(count), done)
        else:
            from bench_taps import tap_label

            app.taps = tap_label(app.root, int(count), done)

    app.bind(on_start=begin)


def _still(app: Any, seconds: float) -> None:
    """Leave it alone; report the processor's share of the time, and the memory in MB."""
    app.bind(on_start=lambda *_: _watch(seconds))


def _counting(app: Any, seconds: float) -> None:
    """Start a final press, then leave it alone."""

    def begin(*_: object) -> None:
        from bench_operator import on_to_a_final

        on_to_a_final(app.station, app.parts.now)
        _watch(seconds)

    app.bind(on_start=begin)


def _countdown(app: Any, seconds: float) -> None:
    """Watch the seconds of a final press, frame by frame, with stalls of 300 ms."""

    def begin(*_: object) -> None:
        from bench_countdown import Watch
        from bench_operator import on_to_a_final

        on_to_a_final(app.station, app.parts.now)
        app.watch = Watch(app.station, seconds, _tell)

    app.bind(on_start=begin)


def _watch(seconds: float) -> None:
    from bench_hands import Flips
    from kivy.clock import Clock

    Flips()

    def begin(dt: float) -> None:
        began, used = time.perf_counter(), time.process_time()
        Clock.schedule_once(lambda dt: end(began, used), seconds)

    def end(began: float, used: float) -> None:
        share = (time.process_time() - used) / (time.perf_counter() - began)
        _tell(share=share, rss=resident_mb())

    Clock.schedule_once(begin, WARM_UP_SECONDS)


def resident_mb() -> float:
    """Return the memory that this process holds now, in MB."""
    pages = int(Path("/proc/self/statm").read_text("ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


if __name__ == "__main__":
    main(*sys.argv[1:])
