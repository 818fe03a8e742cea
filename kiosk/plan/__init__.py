"""Settings, procedure and placement: the plan of a job. Pure code."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.plan.need import (
        PIECE, BagPiece, Drawer, Need, Pick, bag, count_picks, needs, pull_counts, without_size,
    )
    from kiosk.plan.purchase import PacksBought, Purchase, purchases

__getattr__ = face(__name__)
