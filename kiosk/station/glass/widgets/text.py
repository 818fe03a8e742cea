"""A text inside a box: fitted, never clipped, redrawn only when it changes."""

from __future__ import annotations

from kivy.graphics import Color, Rectangle

from kiosk.station.glass.boxes import Box
from kiosk.station.glass.sizes import Scale
from kiosk.station.glass.theme import LIGHT, Colour, Shade
from kiosk.station.glass.type import (
    ASCENT,
    CAPITAL,
    DESCENT,
    PITCH,
    TOP,
    Block,
    Fitted,
    Style,
    column,
    fit,
    texture,
)
from kiosk.station.glass.widgets.paint import Drawn

SINK = (CAPITAL - TOP + DESCENT) / 2  # what is in the middle are the capitals, not the block


class Text(Drawn):
    """A text fitted into `box`; `halign` left, center, right; `valign` top, middle, bottom.

    `valign` capitals has the capitals in the middle: for words that have nothing below the line.
    `fitted` gives rows already broken (by a column that fits several texts together).
    """

    def __init__(
        self,
        text: str,
        box: Box,
        style: Style,
        colour: Colour,
        halign: str = "left",
        valign: str = "middle",
        fitted: Fitted | None = None,
    ) -> None:
        super().__init__(box)
        self.style = style
        self.halign = halign
        self.valign = valign
        self.text = text
        self.colour = colour
        self.fitted = fitted or fit(text, style, box.w, box.h)
        self._draw()

    def say(self, text: str, colour: Colour | None = None) -> None:
        """Show another text (or colour) in the same box."""
        if text == self.text and colour in (None, self.colour):
            return
        self.changed = True
        self.text = text
        self.colour = colour or self.colour
        self.fitted = fit(text, self.style, self.box.w, self.box.h)
        self._draw()

    @property
    def texture_size(self) -> tuple[float, float]:
        """The size of the block of rows, pixels."""
        return (self.fitted.width, self.fitted.height)

    @property
    def ink(self) -> Box:
        """The box that the rows really take."""
        x = self._left(self.fitted.width)
        if self.valign == "capitals":
            tall = CAPITAL * self.fitted.em
            return Box(x, self.box.centre[1] - tall / 2, self.fitted.width, tall)
        return Box(x, self._top() - self.fitted.height, self.fitted.width, self.fitted.height)

    def _top(self) -> float:
        if self.valign == "capitals":
            return self.box.centre[1] + (TOP - CAPITAL / 2) * self.fitted.em
        free = self.box.h - self.fitted.height
        middle = free / 2 + min(max(0.0, free / 2), SINK * self.fitted.em)
        return self.box.top - {"top": 0.0, "middle": middle, "bottom": free}[self.valign]

    def _left(self, width: float) -> float:
        free = self.box.w - width
        return self.box.x + {"left": 0.0, "center": free / 2, "right": free}[self.halign]

    def _draw(self) -> None:
        self.canvas.clear()
        em = self.fitted.em
        baseline = self._top() - TOP * em
        with self.canvas:
            Color(*self.colour.rgba)
            for row in self.fitted.rows:
                image = texture(row, self.style.bold, em, self.fitted.narrow != 1.0)
                wide = image.width * self.fitted.narrow
                x, y = self._left(wide), baseline + ASCENT * em - image.height
                Rectangle(texture=image, pos=(round(x), round(y)), size=(wide, image.height))
                baseline -= PITCH * em


class Title(Drawn):
    """A bold title that can be read from afar, and a line for the one who stands near."""

    def __init__(
        self, box: Box, scale: Scale, title: str, line: str = "", shade: Shade = LIGHT
    ) -> None:
        super().__init__(box)
        blocks = [Block(title, Style(scale.line, scale.big, bold=True), scale.mm(1.5))]
        if line:
            blocks.append(Block(line, Style(scale.label, scale.line * 1.1)))
        fitted, _ = column(blocks, box.w, box.h)
        top = box.top
        colours = (shade.text, shade.second)
        for block, each, colour in zip(blocks, fitted, colours, strict=False):
            place = Box(box.x, top - each.height, box.w, each.height)
            self.add_widget(Text(block.text, place, block.style, colour, fitted=each))
            top -= each.height + block.gap
        self.bottom = top
