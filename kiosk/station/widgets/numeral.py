"""A garment's number, with a bar at its foot where it reads as another one upside down."""

from __future__ import annotations

from kivy.graphics import Color, Rectangle

from kiosk.run.facts import twin
from kiosk.station.boxes import Box
from kiosk.station.theme import Colour
from kiosk.station.type import ASCENT, CAPITAL, breadth, texture
from kiosk.station.widgets.drawn import Drawn

FOOT_GAP = 0.10  # of the capital's height, below the figures
FOOT = 0.08
BELOW = FOOT_GAP + FOOT


def has_foot(number: str) -> bool:
    """Tell whether `number` upside down is another number: 6, 9, 16, 68."""
    return twin(number) is not None


class Numeral(Drawn):
    """`number` with capitals of `capital` pixels at most, its figures standing on the box's foot
    bar line: the bar has its place whether it is drawn or not."""  # fmt: skip

    def __init__(
        self, box: Box, number: str, colour: Colour, capital: float, halign: str = "left"
    ) -> None:
        super().__init__(box)
        self.text = number
        ems = breadth(number, True)
        self.em = int(
            min(capital / CAPITAL, box.h / ((1 + BELOW) * CAPITAL), box.w / ems if ems else box.h)
        )
        self.texture_size = (ems * self.em, self.em * CAPITAL * (1 + BELOW))
        free = box.w - self.texture_size[0]
        self.left = box.x + {"left": 0.0, "center": free / 2, "right": free}[halign]
        if number:
            self._draw(number, colour)

    @property
    def ink(self) -> Box:
        """Where it stands, its foot bar included."""
        low = self.box.y + (self.box.h - self.texture_size[1]) / 2
        return Box(self.left, low, *self.texture_size)

    def _draw(self, number: str, colour: Colour) -> None:
        image = texture(number, True, self.em)
        capital = self.em * CAPITAL
        baseline = self.ink.y + BELOW * capital
        place = (round(self.left), round(baseline + ASCENT * self.em - image.height))
        with self.canvas:
            Color(*colour.rgba)
            Rectangle(texture=image, pos=place, size=image.size)
            if has_foot(number):
                rim = 0.06 * self.em
                Rectangle(
                    pos=(self.left + rim, baseline - BELOW * capital),
                    size=(self.texture_size[0] - 2 * rim, max(1.0, FOOT * capital)),
                )
