"""Numbers as they stand on a garment, and digits of even width that count."""

from __future__ import annotations

from kivy.graphics import Color, Rectangle

from kiosk.run.facts import twin
from kiosk.station.glass.boxes import Box
from kiosk.station.glass.theme import Colour
from kiosk.station.glass.type import ASCENT, CAPITAL, breadth, figures, texture
from kiosk.station.glass.widgets.paint import Drawn

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
