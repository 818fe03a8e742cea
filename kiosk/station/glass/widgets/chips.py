"""Rack chips: a number in a shirt, the peel word, the range; filled when it is time."""

from collections.abc import Callable
from typing import Any

from kiosk.catalog.base import Message
from kiosk.run.facts import Ready
from kiosk.run.show import Chip
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.theme import AMBER, INK, Colour, Shade
from kiosk.station.glass.type import Block, Style, column
from kiosk.station.glass.widgets.heading import Progress
from kiosk.station.glass.widgets.marks import ASPECT, Shirt
from kiosk.station.glass.widgets.paint import Drawn, fill, frame
from kiosk.station.glass.widgets.text import Text

LEAST_WIDTH_MM = 39.0
MOST_WIDTH_MM = 64.0


def chip_height(scale: Scale) -> float:
    """Return the height of the row of chips, px."""
    return scale.target + scale.mm(0.6)


def places(row: Box, scale: Scale, count: int) -> tuple[Box, ...]:
    """Return where chips stand in `row`: as many as it holds, from the left."""
    gap = scale.mm(2.0)
    room = max(1, int((row.w + gap) // (scale.mm(LEAST_WIDTH_MM) + gap)))
    shown = min(count, room)
    width = min(scale.mm(MOST_WIDTH_MM), (row.w - gap * (shown - 1)) / max(1, shown))
    return tuple(Box(row.x + i * (width + gap), row.y, width, row.h) for i in range(shown))


class Tag(Drawn):
    """A shirt with its number, a bold word and a line: what may be touched for a look."""

    def __init__(
        self, box: Box, scale: Scale, number: str, shade: Shade, on_touch: Callable[[], None]
    ) -> None:
        super().__init__(box)
        self.scale = scale
        self.number = number
        self.shade = shade
        self.on_touch = on_touch

    def on_touch_down(self, touch: Any) -> bool:
        """Act at once."""
        if not self.box.holds(*touch.pos):
            return False
        self.on_touch()
        return True

    def draw(self, ground: Colour, ink: Colour, word: str, line: str, foot: float) -> Box:
        """Draw all of it anew; returns the foot of `foot` pixels that is left free."""
        self.clear_widgets()
        self.canvas.clear()
        scale = self.scale
        with self.canvas:
            fill(self.box, ground)
            frame(self.box, ink, scale.mm(0.4))
        inner = self.box.inset(scale.mm(0.8))
        shirt, rest = inner.from_left(min(inner.h * ASPECT, inner.w * 0.42), scale.mm(1.2))
        self.add_widget(Shirt(shirt, self.number, ink, ground, max(1.5, scale.mm(0.35))))
        free, room = rest.from_bottom(foot, scale.mm(0.5) if foot else 0.0)
        self._write(room, ink, word, line)
        return free

    def _write(self, room: Box, ink: Colour, word: str, line: str) -> None:
        scale = self.scale
        blocks = (
            Block(word, Style(scale.small, scale.label, bold=True, rows=1)),
            Block(line, Style(scale.small, scale.label)),
        )
        fitted, _ = column(blocks, room.w, room.h)
        top = room.centre[1] + sum(each.height for each in fitted) / 2
        for block, each in zip(blocks, fitted, strict=True):
            box = Box(room.x, top - each.height, room.w, each.height)
            self.add_widget(Text(block.text, box, block.style, ink, "left", "top", fitted=each))
            top -= each.height


class ChipBox(Tag):
    """A garment that cools; empty until it is told to `show` how far it is."""

    def __init__(
        self,
        box: Box,
        scale: Scale,
        number: str,
        say: Callable[[Message], str],
        shade: Shade,
        on_touch: Callable[[], None],
    ) -> None:
        super().__init__(box, scale, number, shade, on_touch)
        self.say = say
        self.shown: tuple[str, str, Ready] | None = None
        self.progress: Progress | None = None

    def show(self, chip: Chip) -> None:
        """Show how far it is; draws only what changed."""
        word = f"{self.say(chip.word)} · {chip.set}" if chip.set else self.say(chip.word)
        wanted = (word, self.say(chip.line), chip.ready)
        if wanted != self.shown:
            self.shown = wanted
            ground, ink = self._colours(chip.ready)
            foot = self.scale.mm(1.6) if chip.ready is Ready.SOON else 0.0
            free = self.draw(ground, ink, wanted[0], wanted[1], foot)
            self.progress = None
            if foot:
                self.progress = Progress(free, ink, self.scale.mm(0.25))
                self.add_widget(self.progress)
        if self.progress is not None:
            self.progress.show(int(chip.share * 20) / 20)  # twentieths: a change a second at most

    def _colours(self, ready: Ready) -> tuple[Colour, Colour]:
        if ready is Ready.LATE:
            return AMBER, INK
        if ready is Ready.NOW:
            return self.shade.text, self.shade.ground
        return self.shade.ground, self.shade.text
