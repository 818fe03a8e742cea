"""The bench of one garment in practice: which of its slips are found, and which let through."""

from dataclasses import field
from enum import Enum

from kiosk.catalog.base import dataclass
from kiosk.train.practice.bench import CLOCK, Bench, BenchJob, WorkPosition, bench_at
from kiosk.train.practice.slips import PASSING, PlantedSlip, with_slip


class TouchOutcome(Enum):
    """The outcome of touching a thing."""

    FOUND = "found"
    KNOWN = "known"  # wrong because of a slip elsewhere or one let through before
    RIGHT = "right"  # a false alarm: nothing is wrong with it
    NOTHING = "nothing"  # neither: the thing is not there, or the clock is out of its range


@dataclass(slots=True)
class BenchRun:
    """The bench of one garment. `slips` holds those not yet met, `missed` those let through."""

    job: BenchJob
    slips: list[PlantedSlip]
    missed: list[PlantedSlip] = field(default_factory=list)
    false_alarms: int = 0
    found: int = 0
    _touched: set[tuple[WorkPosition, str]] = field(default_factory=set)

    def slips_at(self, spot: WorkPosition) -> tuple[PlantedSlip, ...]:
        """Return the slips that can be found here."""
        return tuple(p for p in self.slips if p.passage == spot.passage and p.index in spot.steps)

    def bench(self, spot: WorkPosition, clock: float | None = None) -> Bench:
        """Return the bench with the slips of this spot and the lasting ones let through before."""
        bench = bench_at(self.job, spot, clock)
        lasting = (p for p in self.missed if p.kind not in PASSING and p.passage == spot.passage)
        for each in (*lasting, *self.slips_at(spot)):
            bench = with_slip(bench, each)
        return bench

    def touch(
        self, spot: WorkPosition, thing: str, clock: float | None = None
    ) -> tuple[TouchOutcome, PlantedSlip | None]:
        """Handle a touch; return its outcome and the slip found, which is put right, or None."""
        found = next((each for each in self.slips_at(spot) if each.found_by(thing)), None)
        if found is not None:
            self.slips.remove(found)
            self.found += 1
            return TouchOutcome.FOUND, found
        bench = self.bench(spot, clock)
        missed = (p for p in self.missed if p.passage == spot.passage)
        if any(p.explains(thing) for p in (*missed, *self.slips_at(spot))):
            return TouchOutcome.KNOWN, None
        if thing not in bench.things() or (thing == CLOCK and not bench.in_time):
            return TouchOutcome.NOTHING, None
        self.false_alarms += (spot, thing) not in self._touched
        self._touched.add((spot, thing))
        return TouchOutcome.RIGHT, None

    def go_on(self, spot: WorkPosition) -> tuple[PlantedSlip, ...]:
        """Let the slips of this spot through and return them."""
        missed = self.slips_at(spot)
        self.slips = [each for each in self.slips if each not in missed]
        self.missed += missed
        return missed
