"""A real station off screen that works by itself, to be killed at any moment.

`python station_child.py PLACE LOG BOOT CLOCK WALL`: the station in the folder PLACE (recipes and
jobs) with the log LOG there, starting at that moment. Prints `screen KIND TICKET OPENS` after its
first picture, and `NUMBER KIND` of each event once it is on disk.
"""

from __future__ import annotations

import sys
from pathlib import Path

from station_window import SIZE, open_window

INCHES = 7.0


def main(place: str, log: str, boot: str, clock: str, wall: str) -> None:
    """Work at the press until killed, or until there is no job left."""
    open_window()
    from station_harness import Bench
    from station_worker import Worker

    from kiosk.run.state.event import Now

    bench = Bench(SIZE)
    now = Now(boot, float(clock), float(wall))
    worker = Worker(bench, Path(place), INCHES, log, now)
    worker.tell_screen()
    worker.work()
    worker.close()


if __name__ == "__main__":
    main(*sys.argv[1:])
