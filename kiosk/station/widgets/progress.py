"""A bar that fills, in whole steps given by its owner."""

from __future__ import annotations

from kivy.graphics import Color, Rectangle

from kiosk.station.boxes import Box
from kiosk.station.theme import Colour
from kiosk.station.widgets.drawn import Drawn
from kiosk.station.widgets.paint import frame


class Progress(Drawn):
    """A framed bar; `share` 0..1 of it is filled."""

    def __init__(self, box: Box, colour: Colour, rim: float, share: float = 0.0) -> None:
        super().__init__(box)
        self.share = -1.0
        with self.canvas:
            frame(box, colour, rim)
            Color(*colour.rgba)
            self._full = Rectangle(pos=box.pos, size=(0, box.h))
        self.show(share)

    def show(self, share: float) -> None:
        """Fill to another share."""
        share = min(1.0, max(0.0, share))
        if share != self.share:
            self.share = share
            self._full.size = (round(self.box.w * share), self.box.h)
