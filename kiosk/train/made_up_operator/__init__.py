"""A made-up operator who presses a job in simulated time."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.train.made_up_operator.operator import SimulatedOrder, simulate

__getattr__ = face(__name__)
