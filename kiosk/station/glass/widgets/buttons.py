"""Something to press: a paper button, the forward bar, a side button."""

from collections.abc import Callable, Sequence
from math import inf
from typing import Any

from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.theme import INK, MUTED, PAPER, WHITE, Colour
from kiosk.station.glass.type import CAPITAL, Block, Fitted, Style, column
from kiosk.station.glass.widgets.paint import Drawn, fill, frame
from kiosk.station.glass.widgets.text import Text

Placed = tuple[Box, str, str]  # a button's box, label and line


def _fitted(
    scale: Scale, room: Box, label: str, line: str, sizes: tuple[float, float]
) -> tuple[list[Block], tuple[Fitted, ...]]:
    """Fit a label of `sizes` (least, most) and its line; a long word has small letters at last."""
    least, most = sizes
    tries = []
    for low in (least, scale.small):
        style = Style(min(low, most), max(scale.small, min(least * 1.9, most)), bold=True)
        blocks = [Block(label, style, scale.mm(0.8))]
        if line:
            blocks.append(Block(line, Style(scale.small, scale.label)))
        fitted, share = column(blocks, room.w, room.h)
        if share == 1:
            return blocks, fitted
        tries.append((share, blocks, fitted))
    _, blocks, fitted = max(tries, key=lambda each: each[0])
    return blocks, fitted


def alike(scale: Scale, buttons: Sequence[Placed]) -> float:
    """Return how large the labels of buttons beside each other may be, px: the least of them.

    A single character, as on a pad, is no measure; a word too long for its button no more.
    """
    capitals = [inf]
    for box, label, line in buttons:
        room = box.inset(scale.mm(2.0), scale.mm(1.0))
        if len(label) > 1:
            _, fitted = _fitted(scale, room, label, line, (scale.label, inf))
            capitals.append(fitted[0].em * CAPITAL)
    return max(scale.label, min(capitals))


class PaperButton(Drawn):
    """A white box with an ink frame, a bold label and, where given, a line below it.

    `on_press` is called on the way down: a finger that drifts off loses nothing. `filled`
    turns it to ink, as the choice that the pedal stands on; `large` letters are those of the
    bar, smaller ones those of what stands `beside` it; `most` is how large a label may be, px.
    """

    def __init__(
        self,
        box: Box,
        scale: Scale,
        label: str,
        on_press: Callable[[], None],
        line: str = "",
        halign: str = "center",
        filled: bool = False,
        large: bool = False,
        beside: bool = False,
        most: float = inf,
    ) -> None:
        super().__init__(box)
        self.scale = scale
        self.label = label
        self.line = line
        self.halign = halign
        self.filled = filled
        self.large = large
        self.beside = beside
        self.most = most
        self.on_press = on_press
        self._draw()

    def fill_in(self, filled: bool) -> None:
        """Turn to ink, or back to paper."""
        if filled != self.filled:
            self.filled = filled
            self._draw()

    def on_touch_down(self, touch: Any) -> bool:
        """Act at once, and keep the touch from everything below."""
        if not self.box.holds(*touch.pos):
            return False
        self.on_press()
        return True

    def _draw(self) -> None:
        self.clear_widgets()
        self.canvas.clear()
        ground, label, line = (INK, PAPER, PAPER) if self.filled else (WHITE, INK, MUTED)
        with self.canvas:
            fill(self.box, ground)
            frame(self.box, INK, self.scale.mm(0.5))
        self._write(label, line)

    def _room(self) -> Box:
        """Where its words stand."""
        return self.box.inset(self.scale.mm(2.0), self.scale.mm(1.0))

    def _write(self, label: Colour, line: Colour) -> None:
        scale, room = self.scale, self._room()
        least = scale.line if self.large else scale.small if self.beside else scale.label
        blocks, fitted = _fitted(scale, room, self.label, self.line, (least, self.most))
        if not self.line:
            one_row = self.large and len(fitted[0].rows) == 1
            valign = "capitals" if one_row else "middle"
            self._put(blocks[0], fitted[0], room, label, valign)
            return
        height = sum(f.height for f in fitted) + blocks[0].gap
        top = room.y + (room.h + height) / 2
        for block, each, colour in zip(blocks, fitted, (label, line), strict=True):
            self._put(block, each, Box(room.x, top - each.height, room.w, each.height), colour)
            top -= each.height + block.gap

    def _put(
        self, block: Block, fitted: Fitted, box: Box, colour: Colour, valign: str = "top"
    ) -> None:
        self.add_widget(
            Text(block.text, box, block.style, colour, self.halign, valign, fitted=fitted)
        )


SIDE_FRAME_MM, SIDE_LINE_MM = 0.7, 0.4  # a side button's inner frame: from its edge, and how thick
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
        inner = box.inset(scale.mm(SIDE_FRAME_MM))
        with self.canvas:
            fill(box, ground)
            frame(inner, ink, scale.mm(SIDE_LINE_MM))
        room = inner.inset(scale.mm(SIDE_INSET_MM), scale.mm(0.7))
        style = Style(scale.small, scale.label * 1.15, bold=True, rows=3)
        self.add_widget(Text(label, room, style, ink, "center"))
