"""Strips across the top: OPEN with its seconds, and notices."""

from __future__ import annotations

from collections.abc import Sequence

from kiosk.station.boxes import Box
from kiosk.station.sizes import Scale
from kiosk.station.theme import Colour
from kiosk.station.type import CAPITAL, Style, breadth, height
from kiosk.station.widgets.drawn import Drawn
from kiosk.station.widgets.paint import fill
from kiosk.station.widgets.text import Text

LETTERS_KEEP = 0.8  # of their least height


def open_height(scale: Scale) -> float:
    """Return the height of the OPEN strip, px."""
    return height(1, scale.big / CAPITAL) + scale.mm(0.6)


class OpenStrip(Drawn):
    """OPEN, the seconds since the tone, and how: the words of a light screen after a heat."""

    def __init__(
        self, box: Box, scale: Scale, words: Sequence[str], ground: Colour, ink: Colour
    ) -> None:
        super().__init__(box)
        self.scale = scale
        with self.canvas:
            fill(box, ground)
        room = box.inset(scale.margin, 0)
        em = scale.big / CAPITAL
        style = Style(scale.big * 0.8, scale.big, bold=True, rows=1)
        first = min(room.w * 0.5, breadth(words[0], True) * em + 2)
        self.first, rest = room.from_left(first, em * 0.6)
        widest = min(rest.w, max(breadth(words[1], True), breadth("00 s", True)) * em)
        seconds, rest = rest.from_left(widest, em * 0.6)
        self.parts = [
            Text(words[0], self.first, style, ink),
            Text(words[1], seconds, style, ink),
        ]
        if len(words) > 2 and rest.w > scale.mm(20):
            least = scale.small if scale.portrait else scale.line * 0.8
            small = Style(least, scale.line, rows=4)
            how = Text(words[2], rest.inset(0, scale.mm(0.8)), small, ink, "right")
            if how.fitted.share >= LETTERS_KEEP:  # too small to be read it says nothing
                self.parts.append(how)
        for part in self.parts:
            self.add_widget(part)

    def show(self, words: Sequence[str]) -> None:
        """Show other words (the seconds)."""
        for part, word in zip(self.parts, words, strict=False):
            part.say(word)


class Notice(Drawn):
    """Sentences over the header for as long as they hold; nothing below them moves."""

    def __init__(
        self, box: Box, scale: Scale, words: Sequence[str], ground: Colour, ink: Colour
    ) -> None:
        super().__init__(box)
        self.words = tuple(words)
        with self.canvas:
            fill(box, ground)
        style = Style(scale.small, scale.line, bold=True)
        for place, word in zip(box.grid(1, len(words), 0), words, strict=True):
            room = place.inset(scale.margin, scale.mm(0.3))
            self.add_widget(Text(word, room, style, ink, "center"))
