"""A text fitted into a box, never clipped; framed cautions with signal words; practice's frame."""

from collections.abc import Iterator, Sequence

from kivy.graphics import Color, Line, Rectangle, StencilPop, StencilPush, StencilUnUse, StencilUse
from kivy.graphics import Rectangle as Filled
from kivy.uix.widget import Widget

from kiosk.station.desk.sheet import Caution
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.theme import INK, PAPER, Colour
from kiosk.station.glass.type import (
    ASCENT,
    CAPITAL,
    DESCENT,
    PITCH,
    TOP,
    FittedText,
    Style,
    TextBlock,
    breadth,
    column,
    fit,
    height,
)
from kiosk.station.glass.widgets.paint import Drawn, fill, frame, texture

SINK = (CAPITAL - TOP + DESCENT) / 2  # puts the capitals in the middle, not the block


def stacked(
    box: Box, top: float, blocks: Sequence[TextBlock], fitted: Sequence[FittedText]
) -> Iterator[Box]:
    """Yield the box of each block of a column in `box`, the first one below `top`."""
    for block, each in zip(blocks, fitted, strict=True):
        yield Box(box.x, top - each.height, box.w, each.height)
        top -= each.height + block.gap


class Text(Drawn):
    """A text fitted into `box`; `halign` left, center, right; `valign` top, middle, bottom.

    `valign` capitals centres the capitals: for words without descenders. `fitted` gives rows that
    are already broken (by a column that fits several texts together).
    """

    def __init__(
        self,
        text: str,
        box: Box,
        style: Style,
        colour: Colour,
        halign: str = "left",
        valign: str = "middle",
        fitted: FittedText | None = None,
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
        """The box that the rows take."""
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
        baseline, most = self._top() - TOP * em, self.box.w + 1.0
        with self.canvas:
            Color(*self.colour.rgba)
            for row in self.fitted.rows:
                image = texture(row, self.style.bold, em, self.fitted.narrow != 1.0)
                wide = image.width * self.fitted.narrow
                if wide > most >= self.fitted.width - 1:  # drawn letters are up to 2 % wider
                    image, wide = texture(row, self.style.bold, em, True), most
                x, y = self._left(wide), baseline + ASCENT * em - image.height
                Rectangle(texture=image, pos=(round(x), round(y)), size=(wide, image.height))
                baseline -= PITCH * em


def letters_ready(root: Widget) -> None:
    """Draw all letters below `root` now, not in the frame that first shows them."""
    for each in root.walk():
        for part in each.canvas.children:
            if isinstance(part, Rectangle) and part.texture is not None:
                part.texture.bind()


class CautionBox(Drawn):
    """Cautions one below the other at the top of `room`; `box` is the part that they take."""

    def __init__(self, room: Box, scale: Scale, cautions: Sequence[Caution]) -> None:
        self.scale = scale
        self._pad = scale.mm(1.6)
        self._plate = self._plate_width(cautions)
        inner = room.inset(self._pad)
        words = inner.w - self._plate - self._pad
        style = Style(scale.small, scale.small * 1.25, bold=True)
        gap = scale.mm(1.2)
        blocks = [TextBlock(text, style, gap) for _, text in cautions]
        fitted, _ = column(blocks, words, inner.h)
        tall = sum(each.height for each in fitted) + gap * (len(fitted) - 1)
        box, _ = room.from_top(tall + 2 * self._pad)
        super().__init__(box)
        with self.canvas:
            frame(box, INK, scale.mm(0.8))
        rows = stacked(inner, box.top - self._pad, blocks, fitted)
        for (signal, text), each, row in zip(cautions, fitted, rows, strict=True):
            self._row(row, signal, text, style, each)

    def _plate_width(self, cautions: Sequence[Caution]) -> float:
        """Return a width for the longest signal word at the size of a header."""
        em = self.scale.small / CAPITAL
        return max(breadth(signal, True) for signal, _ in cautions) * em + 2 * self._pad

    def _row(self, row: Box, signal: str, text: str, style: Style, fitted: FittedText) -> None:
        one = height(1, fitted.em)
        plate, words = row.from_left(self._plate, self._pad)
        plate = plate.from_top(min(one, row.h))[0]
        with self.canvas:
            fill(plate, INK)
        most = min(style.least, one * CAPITAL * 0.8)
        mark = Style(most * 0.7, most, bold=True, rows=1)
        self.add_widget(
            Text(signal, plate.inset(self._pad / 2, 0), mark, PAPER, "center", "capitals")
        )
        self.add_widget(Text(text, words, style, INK, "left", "top", fitted=fitted))


BORDER_MM = 4.6


def border(scale: Scale) -> float:
    """Return the width of the frame, px; what is drawn inside keeps clear of it."""
    return max(scale.mm(BORDER_MM), height(1, scale.small / CAPITAL))


SIDE_BORDER_MM = 3.2


def side_border(scale: Scale) -> float:
    """Return the width of the frame's sides without a word, px: a small screen needs the room."""
    return scale.mm(SIDE_BORDER_MM) if scale.near else border(scale)


def within_frame(whole: Box, scale: Scale) -> Box:
    """Return what the practice frame leaves of a window."""
    inner = whole.inset(side_border(scale))
    return inner.from_bottom(inner.h - border(scale) + side_border(scale))[0]


class PracticeFrame(Drawn):
    """Hatching on all sides with the word in the upper one; plain if the press is `hot`."""

    def __init__(self, box: Box, scale: Scale, word: str, hot: bool = False) -> None:
        super().__init__(box)
        wide, thin = border(scale), side_border(scale)
        upright = box.h - wide - thin  # without the corners: see _hatch
        sides = (
            Box(box.x, box.top - wide, box.w, wide),
            Box(box.x, box.y, box.w, thin),
            Box(box.x, box.y + thin, thin, upright),
            Box(box.right - thin, box.y + thin, thin, upright),
        )
        with self.canvas:
            for side in sides:
                fill(side, PAPER)
            if not hot:
                _hatch(sides, box, scale.mm(2.4))
            else:
                frame(box.inset(thin * 0.7), INK, scale.mm(0.8))
        em = scale.small / CAPITAL
        plate = Box(0, box.top - wide, breadth(word, True) * em + scale.mm(6), wide)
        plate = Box(box.centre[0] - plate.w / 2, plate.y, plate.w, plate.h)
        with self.canvas:
            fill(plate, INK)
        style = Style(scale.small, scale.small, bold=True, rows=1)
        self.add_widget(Text(word, plate, style, PAPER, "center"))


def _hatch(sides: tuple[Box, ...], box: Box, pitch: float) -> None:
    """Draw slanted strokes, visible only on the sides."""
    StencilPush()
    for side in sides:
        Filled(pos=side.pos, size=side.size)
    StencilUse()
    Color(*INK.rgba)
    x = box.x - box.h
    while x < box.right:
        Line(points=[x, box.y, x + box.h, box.top], width=pitch / 5, cap="none")
        x += pitch
    StencilUnUse()
    for side in sides:
        Filled(pos=side.pos, size=side.size)
    StencilPop()
