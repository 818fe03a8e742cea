"""Cautions in a frame: the signal word on a plate, what can hurt beside it."""

from __future__ import annotations

from collections.abc import Sequence

from kiosk.station.boxes import Box
from kiosk.station.cautions import Caution
from kiosk.station.sizes import Scale
from kiosk.station.theme import INK, PAPER
from kiosk.station.type import CAPITAL, Block, Fitted, Style, breadth, column, height
from kiosk.station.widgets.drawn import Drawn
from kiosk.station.widgets.paint import fill, frame
from kiosk.station.widgets.text import Text


class CautionBox(Drawn):
    """Cautions under each other at the top of `room`; `box` is what they take of it."""

    def __init__(self, room: Box, scale: Scale, cautions: Sequence[Caution]) -> None:
        self.scale = scale
        self._pad = scale.mm(1.6)
        self._plate = self._plate_width(cautions)
        inner = room.inset(self._pad)
        words = inner.w - self._plate - self._pad
        style = Style(scale.small, scale.small * 1.25, bold=True)
        gap = scale.mm(1.2)
        fitted, _ = column([Block(text, style, gap) for _, text in cautions], words, inner.h)
        tall = sum(each.height for each in fitted) + gap * (len(fitted) - 1)
        box, _ = room.from_top(tall + 2 * self._pad)
        super().__init__(box)
        with self.canvas:
            frame(box, INK, scale.mm(0.8))
        top = box.top - self._pad
        for (signal, text), each in zip(cautions, fitted, strict=True):
            row = Box(inner.x, top - each.height, inner.w, each.height)
            self._row(row, signal, text, style, each)
            top -= each.height + gap

    def _plate_width(self, cautions: Sequence[Caution]) -> float:
        """Wide enough for the longest signal word at the size of a header."""
        em = self.scale.small / CAPITAL
        return max(breadth(signal, True) for signal, _ in cautions) * em + 2 * self._pad

    def _row(self, row: Box, signal: str, text: str, style: Style, fitted: Fitted) -> None:
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
