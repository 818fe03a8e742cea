"""What reports read of a log."""

# fmt: off
from kiosk.log.facts.facts import (
    Begun,
    Facts,
    GarmentCount,
    Marked,
    Noted,
    Pulled,
    Sample,
    Stint,
    Tally,
)
from kiosk.log.facts.read import facts
from kiosk.log.facts.rows import LONGEST_SECONDS, cycles, rows_of_jobs
from kiosk.log.facts.shifts import Chosen, Shifts, choose, shifts

__all__ = [
    "LONGEST_SECONDS", "Begun", "Chosen", "Facts", "GarmentCount", "Marked", "Noted", "Pulled",
    "Sample", "Shifts", "Stint", "Tally", "choose", "cycles", "facts", "rows_of_jobs", "shifts",
]
