"""The order of work, handling times, and when a job will be done."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.plan.time.finish import (
        Garments, Spared, TimeLeft, flat_places, minutes, spared_by, spared_in, time_left,
        whole_job, with_setting,
    )
    from kiosk.plan.time.handling import (
        NOTHING, OPENING, RACKING, READING, SETTLING, HandTime, PastCycles, carrier_waits, hands,
        past_by_run, procedure,
    )
    from kiosk.plan.time.order import FEWEST, batches, in_order
    from kiosk.plan.time.through import in_passes, own_pass, own_passes, steps_without

__getattr__ = face(__name__)
