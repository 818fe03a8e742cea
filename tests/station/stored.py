"""A shop stopped at a moment where several tests begin: played once, reopened for each."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path

from station_driver import Person
from station_harness import Bench

from kiosk.run.state.event import Now
from kiosk.station.demo.hands import WALL


@dataclass(frozen=True)
class Stored:
    """The folder of a station that was closed, and its boot."""

    place: Path
    boot: str

    def again(
        self, bench: Bench, place: Path, inches: float = 10.1, by: type[Person] = Person
    ) -> Person:
        """Open the station where it stopped, in a copy at `place`; the boot is the same."""
        shutil.copytree(self.place, place, dirs_exist_ok=True)
        return by(bench, place, inches, now=Now(self.boot, bench.now, WALL + bench.now))


def stored_from(person: Person) -> Stored:
    """Close a station as it is now."""
    person.close()
    return Stored(person.place, person.boot)
