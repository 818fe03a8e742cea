"""The clock of practice: it shows the sheet's own seconds and, where asked, runs through them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from kiosk.run.model import Now


class Pace(Enum):
    """Whether a trainee waits for the press and the rack as long as at work."""

    SHORT = "short"
    REAL = "real"


PRESS_SPEED = 5.0
RACK_SPEED = 20.0


@dataclass(slots=True)
class PracticeClock:
    """Runs with the station's clock, and faster while only the press or the rack works.

    `now` is a moment of a boot of its own: nothing of practice is mistaken for the station's.
    """

    pace: Pace
    now: Now
    real: float

    def go_on(self, real: float, speed: float, until: float | None = None) -> None:
        """Let time pass until the station's clock shows `real`, so much faster to `until`."""
        passed = max(0.0, real - self.real)
        if self.pace is Pace.SHORT and until is not None and until > self.now.clock:
            fast = min(passed * speed, until - self.now.clock)
            passed = fast + (passed - fast / speed)
        self.real = max(real, self.real)
        self.now = Now(self.now.boot, self.now.clock + passed, self.now.wall + passed)

    def of(self, real: float) -> float:
        """Return the practice clock at a moment of the station's clock just gone."""
        return self.now.clock - (self.real - real)


def practice_clock(pace: Pace, now: Now, nth: int) -> PracticeClock:
    """Return the clock of the `nth` practice since `now`."""
    return PracticeClock(pace, Now(f"practice-{nth}-{now.boot}", now.clock, now.wall), now.clock)
