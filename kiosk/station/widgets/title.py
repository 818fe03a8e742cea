"""A page's title, with a line below it where there is one."""

from __future__ import annotations

from kiosk.station.boxes import Box
from kiosk.station.sizes import Scale
from kiosk.station.theme import LIGHT, Shade
from kiosk.station.type import Block, Style, column
from kiosk.station.widgets.drawn import Drawn
from kiosk.station.widgets.text import Text


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
