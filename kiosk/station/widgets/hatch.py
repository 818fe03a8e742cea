"""The practice frame: a broad hatched border, so that practice is never taken for work."""

from __future__ import annotations

from kivy.graphics import Color, Line, StencilPop, StencilPush, StencilUnUse, StencilUse
from kivy.graphics import Rectangle as Filled

from kiosk.station.boxes import Box
from kiosk.station.sizes import Scale
from kiosk.station.theme import INK, PAPER
from kiosk.station.type import CAPITAL, Style, breadth, height
from kiosk.station.widgets.drawn import Drawn
from kiosk.station.widgets.paint import fill, frame
from kiosk.station.widgets.text import Text

BORDER_MM = 4.6


def border(scale: Scale) -> float:
    """Return the width of the frame, px: what is drawn inside keeps off it."""
    return max(scale.mm(BORDER_MM), height(1, scale.small / CAPITAL))


class PracticeFrame(Drawn):
    """Hatching along all four sides with the word in the middle of the upper one.

    A `hot` one is plain: hatching says that nothing is pressed.
    """

    def __init__(self, box: Box, scale: Scale, word: str, hot: bool = False) -> None:
        super().__init__(box)
        wide = border(scale)
        sides = (
            Box(box.x, box.top - wide, box.w, wide),
            Box(box.x, box.y, box.w, wide),
            Box(box.x, box.y + wide, wide, box.h - 2 * wide),  # corners only once: see _hatch
            Box(box.right - wide, box.y + wide, wide, box.h - 2 * wide),
        )
        with self.canvas:
            for side in sides:
                fill(side, PAPER)
            if not hot:
                _hatch(sides, box, scale.mm(2.4))
            else:
                frame(box.inset(wide * 0.7), INK, scale.mm(0.8))
        em = scale.small / CAPITAL
        plate = Box(0, box.top - wide, breadth(word, True) * em + scale.mm(6), wide)
        plate = Box(box.centre[0] - plate.w / 2, plate.y, plate.w, plate.h)
        with self.canvas:
            fill(plate, INK)
        style = Style(scale.small, scale.small, bold=True, rows=1)
        self.add_widget(Text(word, plate, style, PAPER, "center"))


def _hatch(sides: tuple[Box, ...], box: Box, pitch: float) -> None:
    """Slanted strokes, seen only on the sides."""
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
