"""The seconds: one texture a figure, kept, so that a second costs next to nothing."""

from __future__ import annotations

from kivy.graphics import Color, Rectangle

from kiosk.station.boxes import Box
from kiosk.station.theme import Colour
from kiosk.station.type import ASCENT, CAPITAL, breadth, figures
from kiosk.station.widgets.drawn import Drawn

CELL = 0.66  # of the em: figures of the face are all 0.65 wide
UNIT = 0.30  # the size of the "s" behind them


class Digits(Drawn):
    """Figures as large as `box` allows, in `cells` fixed places, so that none jumps.

    `unit` is written small behind them; `most` is the largest height of a figure in pixels.
    """

    def __init__(self, box: Box, cells: int, colour: Colour, unit: str, most: float) -> None:
        super().__init__(box)
        self.cells = cells
        self.unit = unit
        self.text = ""
        wide = cells * CELL + (0.05 + UNIT * breadth(unit, True) if unit else 0.0)
        self.em = int(min(box.w / wide, box.h / CAPITAL, most / CAPITAL))
        self.wide = wide * self.em
        self.colour = colour
        self._draw()

    def say(self, text: str) -> None:
        """Show other figures: at most `cells` of them, set to the right."""
        if text == self.text:
            return
        self.text = text
        self._draw()

    @property
    def texture_size(self) -> tuple[float, float]:
        """The size that the figures and their unit take."""
        return (self.wide, CAPITAL * self.em)

    @property
    def ink(self) -> Box:
        """Where they stand."""
        return Box(self.box.x, self._baseline(), *self.texture_size)

    def _baseline(self) -> float:
        return self.box.y + (self.box.h - CAPITAL * self.em) / 2

    def _draw(self) -> None:
        self.canvas.clear()
        with self.canvas:
            Color(*self.colour.rgba)
            x = self.box.x + (self.cells - len(self.text)) * CELL * self.em
            for figure in self.text:
                self._put(figure, x, self.em, centred=True)
                x += CELL * self.em
            if self.text and self.unit:
                self._put(self.unit, x + 0.03 * self.em, int(UNIT * self.em), centred=False)

    def _put(self, figure: str, x: float, em: int, centred: bool) -> None:
        image, drop = figures(figure, em)
        if centred:
            x += (CELL * self.em - image.width) / 2
        y = self._baseline() + ASCENT * em - drop
        Rectangle(texture=image, pos=(round(x), round(y)), size=image.size)
