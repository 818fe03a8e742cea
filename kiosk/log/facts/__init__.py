"""What reports read of a log."""

# fmt: off
from kiosk.log.facts.past_damage import past_damage, without_bad
from kiosk.log.facts.read import facts, shifts
from kiosk.log.facts.rows import LONGEST_SECONDS, cycles, rows_of_jobs
from kiosk.log.facts.shift import (
    Begun,
    Chosen,
    Facts,
    GarmentCount,
    Marked,
    Noted,
    Pulled,
    Shifts,
    Stint,
    Tally,
    choose,
)

__all__ = [
    "LONGEST_SECONDS", "Begun", "Chosen", "Facts", "GarmentCount", "Marked", "Noted", "Pulled",
    "Shifts", "Stint", "Tally", "choose", "cycles", "facts", "past_damage", "rows_of_jobs",
    "shifts", "without_bad",
]
