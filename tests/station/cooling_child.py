"""A real station off the screen that fills its rack and then waits to be killed.

`python cooling_child.py PLACE GARMENTS`. Prints each chip as `chip TICKET CLOCK FROM LOW READY`.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

from station_window import SIZE, open_window


def main(place: str, garments: str) -> None:
    """Press that many garments of a new shop, print what the rack shows, and wait."""
    open_window()
    from cooling_shop import Presser, cooling_shop
    from station_harness import Bench

    bench = Bench(SIZE)
    person = Presser(bench, cooling_shop(Path(place)), 7.0)
    person.begin_shift()
    person.rack(int(garments))
    bench.pass_time(2.0)
    clock = person.now().clock
    for chip in person.view.chips:
        fields = (chip.ticket, clock, chip.from_seconds, chip.zone.name)
        sys.stdout.write(f"chip {' '.join(map(str, fields))}\n")
    sys.stdout.write("full\n")
    sys.stdout.flush()
    time.sleep(600)


if __name__ == "__main__":
    main(*sys.argv[1:])
