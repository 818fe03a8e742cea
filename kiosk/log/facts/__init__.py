"""What is told of the events as rows, and what reports read of them."""

# fmt: off
# isort: skip_file
from kiosk.log.facts.facts import (
    Begun, Facts, GarmentCount, Marked, Noted, Pulled, Sample, Stint, Tally,
)
from kiosk.log.facts.fold import (
    Progress, differing, fold, quiet, ready, teller_from, told_until,
)
from kiosk.log.facts.garments import TicketRow
from kiosk.log.facts.read import facts, rows_of_jobs
from kiosk.log.facts.shifts import LONGEST_SECONDS, Chosen, Shifts, choose, cycles, shifts
from kiosk.log.facts.tables import Mark, Op, statements
from kiosk.log.facts.tell import Teller
