"""A shop whose raised film has no wait on its sheet: its cold peel is estimated from heat."""

from __future__ import annotations

from pathlib import Path

from cooling_recipes import without_waits
from station_driver import Person, lay_out, shorten
from station_harness import Bench

from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.parts import Chip
from kiosk.run.state.event import Now
from kiosk.station.demo.hands import READS

JOB = "ice-crew"
SIX = "123456"


def cooling_shop(place: Path, lines: str = SIX) -> Path:
    """Lay out the warm-up tops with these lines, a film smooth enough for the model, no waits."""
    lay_out(place, JOB)
    shorten(place, JOB, lines)
    without_waits(place)
    return place


class Presser(Person):
    """A person who presses one garment after another and leaves the rack alone."""

    def begin_shift(self) -> None:
        """Go from the first start to the first garment."""
        self.first_start()
        self.sign_off()
        self.begin("Orsavel")
        self.stage.pass_time(READS)

    def rack(self, garments: int) -> None:
        """Press until `garments` chips are on the rack."""
        job = self.station.shell.state.job
        assert job is not None
        while len(self.racked()) < garments:
            if self.view.kind is ScreenKind.HEAT:
                self.until_open()
            else:
                self.move_on()

    def racked(self) -> tuple[Chip, ...]:
        """The chips on the rack."""
        return self.view.chips


def open_again(bench: Bench, place: Path, now: Now) -> Presser:
    """Start the same station again at that moment."""
    return Presser(bench, place, now=now)
