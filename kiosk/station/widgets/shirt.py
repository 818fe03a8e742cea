"""A shirt with a number in it, so that a garment's number is never taken for seconds."""

from __future__ import annotations

from kiosk.station.boxes import Box
from kiosk.station.theme import Colour
from kiosk.station.widgets.drawn import Drawn
from kiosk.station.widgets.numeral import Numeral
from kiosk.station.widgets.paint import outline, polygon

# Left half of the outline, 0..1 from the lower left, from the hem up to the collar.
HALF = (
    (0.20, 0.02),
    (0.20, 0.60),
    (0.12, 0.54),
    (0.01, 0.74),
    (0.26, 0.98),
    (0.38, 0.98),
    (0.44, 0.91),
)
BODY = 0.60  # the width of the body of the whole
ASPECT = 1.16
COLLAR = 0.91  # how high the collar's middle is in the whole


def shirt(box: Box) -> tuple[tuple[float, float], ...]:
    """Return the points of a shirt that fills `box`."""
    right = tuple((1 - x, y) for x, y in reversed(HALF))
    return tuple((box.x + x * box.w, box.y + y * box.h) for x, y in HALF + right)


class Shirt(Drawn):
    """A shirt in outline with `number` on its body."""

    def __init__(
        self, box: Box, number: str, ink: Colour, ground: Colour, pen: float = 2.0
    ) -> None:
        super().__init__(box)
        self.number = number
        place = box.fitted(ASPECT).inset(pen / 2)
        points = shirt(place)
        with self.canvas:
            polygon(points, ground)
            outline(points, ink, pen)
        room = place.w * (BODY - 0.06)
        high = place.h * 0.58
        body = Box(place.x + (place.w - room) / 2, place.y + place.h * 0.14, room, high)
        self.add_widget(Numeral(body, number, ink, high, "center"))
