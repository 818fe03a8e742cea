"""What the screen shows of a state at a moment, as plain values."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.run.show.dark import BY_HAND
    from kiosk.run.show.drawing import carried_in, laid_before, named
    from kiosk.run.show.light import row_changed
    from kiosk.run.show.parts import (
        Chip, Choice, Countdown, Done, Ink, Mark, PieceView, Slab, StackSlab, Upcoming, View,
    )
    from kiosk.run.show.scene import ASKS, FOCUSABLE, last_hot

__getattr__ = face(__name__)

# Called as its module is: what is loaded last has the name.
from kiosk.run.show.view import next_change, view
