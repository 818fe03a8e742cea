"""Facts: rows derived from the events, and the queries that reports run on them."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.log.facts.facts import (
        ClockJump, DueJob, EventTally, Facts, GarmentCount, GarmentSample, JobStart, ReportedEvent,
        ScrappedGarment, Shift, ShortHeatGarment, Stint, UncheckedGarment,
    )
    from kiosk.log.facts.garments import FINISHED, RESULT, TicketRow
    from kiosk.log.facts.garment_story import (
        GarmentClosing, GarmentStory, PressCheck, lines_of, story,
    )
    from kiosk.log.facts.read import compared
    from kiosk.log.facts.shifts import (
        LONGEST_SECONDS, job_start, cycles, cycles_of, jumps_within, rows_of_jobs, rows_of_order,
        shifts_of_all,
    )
    from kiosk.log.facts.tables import (
        VERSION, FactMark, FactSource, Reading, Statement, abreast, changed, key_of, read_through,
        statements,
    )
    from kiosk.log.facts.derive import (
        LONG, FactDeriver, Progress, differing, facts_mark, far_behind, fold, quiet, ready,
        deriver_from,
    )

__getattr__ = face(__name__)

# Functions named like their module: imported last, so that the name means the function.
from kiosk.log.facts.read import facts
from kiosk.log.facts.shifts import shifts
