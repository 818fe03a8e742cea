"""The peel mark: a sheet with a folded corner. Never without its word beside it."""

from __future__ import annotations

from kiosk.catalog.model import Peel
from kiosk.station.boxes import Box
from kiosk.station.theme import Colour
from kiosk.station.widgets.drawn import Drawn
from kiosk.station.widgets.paint import outline, polygon

FOLD = 0.56  # of the sheet's side


class PeelMark(Drawn):
    """The fold is full for hot, half for warm, empty for cold."""

    def __init__(self, box: Box, peel: Peel, colour: Colour, ground: Colour) -> None:
        super().__init__(box)
        self.peel = peel
        square = box.fitted(1.0)
        pen = max(2.0, square.w / 20)
        inner = square.inset(pen / 2 + 1)
        x, y, right, top = inner.x, inner.y, inner.right, inner.top
        fold = inner.w * FOLD
        corner = ((right - fold, top), (right, top - fold), (right - fold, top - fold))
        with self.canvas:
            if peel is Peel.HOT:
                polygon(corner, colour)
            elif peel is Peel.WARM:
                half = fold / 2
                polygon(
                    (
                        (right - half, top - half),
                        (right, top - fold),
                        (right - fold, top - fold),
                    ),
                    colour,
                )
            outline(
                ((x, y), (right, y), (right, top - fold), (right - fold, top), (x, top)),
                colour,
                pen,
            )
            outline((corner[0], corner[2], corner[1]), colour, pen, close=False)
