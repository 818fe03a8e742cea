"""What reports read of a log."""

# fmt: off
# isort: skip_file
from kiosk.log.facts.facts import (
    Begun, Facts, GarmentCount, Marked, Noted, Pulled, Sample, Stint, Tally,
)
from kiosk.log.facts.read import facts
from kiosk.log.facts.rows import LONGEST_SECONDS, cycles, rows_of_jobs
from kiosk.log.facts.shifts import Chosen, Shifts, choose, shifts
