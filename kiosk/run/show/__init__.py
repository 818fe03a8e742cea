"""What the screen shows for a state at one moment, as plain values."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.run.show.dark import BY_HAND
    from kiosk.run.show.drawing import carried_in, laid_before, piece_names
    from kiosk.run.show.light import row_changed
    from kiosk.run.show.parts import (
        Chip, ChoiceView, Countdown, Ink, NextGarment, PieceView, RibbonField, RibbonState,
        SlabKind, StackSlab, View,
    )
    from kiosk.run.show.scene import ASKS, FOCUSABLE, last_hot

__getattr__ = face(__name__)

# Loaded last because the function must win over the module of the same name.
from kiosk.run.show.view import next_change, view
