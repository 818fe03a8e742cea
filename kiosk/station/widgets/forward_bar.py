"""The forward bar: its words say what pressing it confirms, and what it starts."""

from __future__ import annotations

from kiosk.station.boxes import Box
from kiosk.station.sizes import Scale
from kiosk.station.theme import Colour
from kiosk.station.type import Block, Style, column
from kiosk.station.widgets.drawn import Drawn
from kiosk.station.widgets.paint import fill, frame
from kiosk.station.widgets.text import Text

SIDE_INSET_MM = 1.4  # between a side button's word and its frame


class ForwardBar(Drawn):
    """A filled field with a bold label and a smaller line below it. Touches are the screen's."""

    def __init__(
        self,
        box: Box,
        scale: Scale,
        label: str,
        below: str,
        ground: Colour,
        ink: Colour,
        second: Colour,
    ) -> None:
        super().__init__(box)
        with self.canvas:
            fill(box, ground)
        room = box.inset(scale.mm(3.0), scale.mm(1.2))
        big = Style(scale.label, scale.line * 1.5, bold=True)
        gap = scale.mm(1.0)
        blocks = [Block(label, big, gap), Block(below, Style(scale.small, scale.label))]
        fitted, share = column(blocks, room.w, room.h)
        if share < 1 or not below:  # the label is what counts
            blocks, gap = [Block(label, big)], 0.0
            fitted, _ = column(blocks, room.w, room.h)
        top = room.centre[1] + (sum(f.height for f in fitted) + gap) / 2
        for block, each, colour in zip(blocks, fitted, (ink, second), strict=False):
            place = Box(room.x, top - each.height, room.w, each.height)
            self.add_widget(
                Text(block.text, place, block.style, colour, "center", "top", fitted=each)
            )
            top -= each.height + gap


class SideButton(Drawn):
    """Back one, hold or opened: a field with an inner frame, beside the bar."""

    def __init__(self, box: Box, scale: Scale, label: str, ground: Colour, ink: Colour) -> None:
        super().__init__(box)
        self.label = label
        inner = box.inset(scale.mm(1.2))
        with self.canvas:
            fill(box, ground)
            frame(inner, ink, scale.mm(0.4))
        room = inner.inset(scale.mm(SIDE_INSET_MM), scale.mm(0.7))
        style = Style(scale.small, scale.label * 1.15, bold=True, rows=3)
        self.add_widget(Text(label, room, style, ink, "center"))
