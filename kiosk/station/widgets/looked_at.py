"""What practice asks to look at: a display, what lies in a bag, a border."""

from __future__ import annotations

from kiosk.station.boxes import Box
from kiosk.station.sizes import Scale
from kiosk.station.theme import INK, WHITE
from kiosk.station.type import Style
from kiosk.station.widgets.drawn import Drawn
from kiosk.station.widgets.paint import fill, frame
from kiosk.station.widgets.text import Text
from kiosk.train.practice import Sides

BORDER_SHARE = 0.15  # of the figure, so that a border can be judged by eye


class LookedAt(Drawn):
    """Words on a plate, or the upper piece on the lower one, its border broader than true."""

    def __init__(self, box: Box, scale: Scale, shown: str | Sides) -> None:
        super().__init__(box)
        if isinstance(shown, Sides):
            self._border(box.fitted(1.0), shown)
            return
        with self.canvas:
            fill(box, WHITE)
            frame(box, INK, scale.mm(0.8))
        style = Style(scale.small, scale.line * 2.2, bold=True, rows=1)
        self.add_widget(Text(shown, box.inset(scale.mm(2.0)), style, INK, "center"))

    def _border(self, square: Box, sides: Sides) -> None:
        wide = square.w * BORDER_SHARE
        inner = Box(
            square.x + sides.left * wide,
            square.y + sides.below * wide,
            square.w - (sides.left + sides.right) * wide,
            square.h - (sides.above + sides.below) * wide,
        )
        with self.canvas:
            fill(square, INK)
            fill(inner, WHITE)
