"""Strips across the top: OPEN with its seconds, and notices."""

from __future__ import annotations

from collections.abc import Sequence

from kivy.graphics import Color, Rectangle

from kiosk.station.glass.boxes import Box
from kiosk.station.glass.sizes import NEAR_BELOW_INCHES, Scale
from kiosk.station.glass.theme import Colour
from kiosk.station.glass.type import CAPITAL, Block, Style, breadth, column, fit, height
from kiosk.station.glass.widgets.paint import Drawn, fill, frame
from kiosk.station.glass.widgets.text import Text

LETTERS_KEEP = 0.8  # of their least height
UPRIGHT_ROWS = 1  # of small letters below OPEN where the screen is too narrow for them beside it


def is_narrow(scale: Scale) -> bool:
    """Whether nothing has room beside OPEN and its seconds."""
    return scale.portrait and scale.screen_inches < NEAR_BELOW_INCHES


def open_height(scale: Scale) -> float:
    """Return the height of the OPEN strip, px."""
    row = height(1, scale.big / CAPITAL) + scale.mm(0.6)
    return row + (height(UPRIGHT_ROWS, scale.small / CAPITAL) if is_narrow(scale) else 0.0)


class OpenStrip(Drawn):
    """OPEN, the seconds since the tone, and how: the words of a light screen after a heat.

    `free` is where how stands; a notice takes its place, never that of OPEN.
    """

    def __init__(
        self, box: Box, scale: Scale, words: Sequence[str], ground: Colour, ink: Colour
    ) -> None:
        super().__init__(box)
        self.scale = scale
        with self.canvas:
            fill(box, ground)
        room, below = box.inset(scale.margin, 0), None
        if is_narrow(scale):
            below, room = room.from_bottom(height(UPRIGHT_ROWS, scale.small / CAPITAL))
        em = scale.big / CAPITAL
        style = Style(scale.big * 0.8, scale.big, bold=True, rows=1)
        first = min(room.w * 0.5, breadth(words[0], True) * em + 2)
        self.first, rest = room.from_left(first, em * 0.6)
        widest = min(rest.w, max(breadth(words[1], True), breadth("00 s", True)) * em)
        seconds, rest = rest.from_left(widest, em * 0.6)
        self.free = below or rest
        self.parts = [Text(words[0], self.first, style, ink), Text(words[1], seconds, style, ink)]
        if len(words) > 2:
            place = self.free if below else self.free.inset(0, scale.mm(0.8))
            large = Style(scale.line * 0.8, scale.line, rows=4)  # in more rows, but larger
            large_fits = fit(words[2], large, place.w, place.h).share == 1
            style = large if large_fits else Style(scale.small, scale.line, rows=4)
            how = Text(words[2], place, style, ink, "left" if below else "right")
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
        room = box.inset(min(scale.margin, scale.mm(2.5)), scale.mm(0.3))
        style, gap = Style(scale.small, scale.line, bold=True), scale.mm(0.4)
        blocks = [Block(word, style, gap) for word in words]
        fitted, _ = column(blocks, room.w, room.h)
        tall = sum(each.height for each in fitted) + gap * (len(blocks) - 1)
        top = room.centre[1] + tall / 2
        for block, each in zip(blocks, fitted, strict=True):
            place = Box(room.x, top - each.height, room.w, each.height)
            self.add_widget(Text(block.text, place, style, ink, "center", "top", fitted=each))
            top -= each.height + gap


class Progress(Drawn):
    """A framed bar; `share` 0..1 of it is filled."""

    def __init__(self, box: Box, colour: Colour, rim: float, share: float = 0.0) -> None:
        super().__init__(box)
        self.share = -1.0
        with self.canvas:
            frame(box, colour, rim)
            Color(*colour.rgba)
            self._full = Rectangle(pos=box.pos, size=(0, box.h))
        self.show(share)

    def show(self, share: float) -> None:
        """Fill to another share."""
        share = min(1.0, max(0.0, share))
        if share != self.share:
            self.share = share
            self._full.size = (round(self.box.w * share), self.box.h)
