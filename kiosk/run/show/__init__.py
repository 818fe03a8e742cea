"""What the screen shows of a state at a moment, as plain values."""

# fmt: off
# isort: skip_file
from kiosk.run.show.parts import (
    Chip, Choice, Countdown, Done, Ink, Mark, PieceView, Slab, StackSlab, Upcoming, View,
)
from kiosk.run.show.scene import last_hot
from kiosk.run.show.view import view
