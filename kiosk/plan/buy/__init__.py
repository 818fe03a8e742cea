"""What a job takes from the drawers, and what to buy for it."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.plan.buy.need import (
        PIECE, BagPiece, Drawer, Need, Pick, bag, count_picks, element_text, needs, to_pull,
        without_size,
    )
    from kiosk.plan.buy.purchase import Bought, Purchase, purchases

__getattr__ = face(__name__)
