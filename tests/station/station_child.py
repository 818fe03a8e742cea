"""A real station off the screen whose hands press by themselves, to be killed at any moment.

`python station_child.py PLACE LOG BOOT CLOCK WALL`: the station in the folder PLACE (recipes
and jobs) on the log LOG there, from that moment on. Prints `screen KIND TICKET OPENS` once
its first picture stands, and `NUMBER KIND` of each event once it is on disk.
"""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

LOOK = (1024, 600, 7.0)


def main(place: str, log: str, boot: str, clock: str, wall: str) -> None:
    """Work at the press until killed, or until there is no job left."""
    os.environ["SDL_VIDEODRIVER"] = "offscreen"
    os.environ["SDL_AUDIODRIVER"] = "dummy"
    os.environ["KIVY_NO_CONSOLELOG"] = "1"
    os.environ.setdefault("KIVY_HOME", tempfile.gettempdir())
    from kiosk.station.glass.open import prepare

    prepare(window=(LOOK[0], LOOK[1]), fingers=False)
    from station_harness import Bench
    from station_worker import Worker

    from kiosk.run.state.event import Now

    bench = Bench((LOOK[0], LOOK[1]))
    now = Now(boot, float(clock), float(wall))
    worker = Worker(bench, Path(place), LOOK[2], log, now)
    worker.tell_screen()
    worker.work()
    worker.close()


if __name__ == "__main__":
    main(*sys.argv[1:])
