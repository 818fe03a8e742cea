"""Every fault that this folder's tests only sample: `python -m tests.shop.long [steps|bytes]`.

Kills a station at every step of claiming and sending; cuts the line at every byte of a batch, in
both directions. It prints its progress and ends at the first failure.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), *(str(HERE.parent / room) for room in ("log", "commands"))]

from log_station import Station  # noqa: E402 - the path above leads to what it needs
from shop_floor import Steps, story  # noqa: E402
from shop_server import Line, Postgres, holds_a_part, holds_all  # noqa: E402
from test_faults import killed  # noqa: E402
from test_ship import through  # noqa: E402

from kiosk.shop import ship  # noqa: E402

TELL_EVERY = 100


def every_step(postgres: Postgres, place: Path) -> int:
    """Kill the station at each step of a story of two stations; return the number of steps."""
    whole = Steps()
    for _ in story(place, postgres, "shared", "whole", whole):
        pass
    for fatal in range(1, whole.count + 1):
        killed(postgres, "shared", place, f"step-{fatal}", fatal)
        if fatal % TELL_EVERY == 0:
            print(f"killed at {fatal} of {whole.count} steps", flush=True)
    return whole.count


def every_byte(postgres: Postgres, place: Path) -> int:
    """Cut the line at each byte of a first batch, each time of a new record; return the number."""
    cut = 0
    for up in (True, False):
        at, passes = 1, False
        while not passes:
            station = Station(place / f"{up}-{at}.sqlite3")
            station.begin(2)
            line = Line(postgres, at, up, lambda: None)
            through(station, line)
            passes = not line.was_cut
            holds_a_part(postgres, station.path)
            ship(station.path, postgres.at("north"))
            holds_all(postgres, station.path)
            station.recorder.close()
            cut, at = cut + line.was_cut, at + 1
            if at % TELL_EVERY == 0:
                print(f"cut at {at} bytes {'up' if up else 'down'}", flush=True)
    return cut


def main(arguments: Sequence[str]) -> int:
    """Make the named faults, or all of them."""
    faults = {"steps": every_step, "bytes": every_byte}
    if not set(arguments) <= set(faults):
        print(__doc__, file=sys.stderr)
        return 2
    postgres = Postgres()
    try:
        postgres.made("shared", "north", "south")
        for name in arguments or faults:
            with tempfile.TemporaryDirectory() as place:
                print(f"{name}: {faults[name](postgres, Path(place))}, all as they should be")
    finally:
        postgres.stop()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
