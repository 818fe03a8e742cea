"""A table of the report: in columns where they have room, else as a paragraph for each row."""

from __future__ import annotations

from kiosk.station.boxes import Box
from kiosk.station.pages.report_picture import TablePicture
from kiosk.station.sizes import Scale
from kiosk.station.theme import INK, MUTED, Colour
from kiosk.station.type import CAPITAL, Style, breadth, height, wrap
from kiosk.station.widgets.drawn import Drawn
from kiosk.station.widgets.paint import fill
from kiosk.station.widgets.text import Text


class ReportTable(Drawn):
    """The table drawn into `box` from the top, as far as there is room; the rest is counted."""

    def __init__(self, box: Box, scale: Scale, picture: TablePicture) -> None:
        super().__init__(box)
        self.scale = scale
        self.em = scale.small / CAPITAL
        self.gap = scale.mm(3.0)
        widths = [self._widest(column) for column in zip(picture.head, *picture.rows, strict=True)]
        if sum(widths) + self.gap * (len(widths) - 1) <= box.w:
            self._columns(picture, widths)
        else:
            self._paragraphs(picture)

    def _widest(self, texts: tuple[str, ...]) -> float:
        return max(breadth(text, False) for text in texts) * self.em + 1.0

    def _columns(self, picture: TablePicture, widths: list[float]) -> None:
        pitch = height(1, self.em) + self.scale.mm(1.6)
        room = max(1, int(self.box.h // pitch) - 1)
        rows = picture.rows if len(picture.rows) <= room else picture.rows[: room - 1]
        top = self._row(picture.head, widths, self.box.top, pitch, MUTED)
        for row in rows:
            self._rule(top)
            top = self._row(row, widths, top, pitch, INK)
        self._more(len(picture.rows) - len(rows), top, pitch)

    def _row(
        self, cells: tuple[str, ...], widths: list[float], top: float, pitch: float, colour: Colour
    ) -> float:
        x = self.box.x
        for text, width in zip(cells, widths, strict=True):
            if text:
                self._say(text, Box(x, top - pitch, width, pitch), colour)
            x += width + self.gap
        return top - pitch

    def _paragraphs(self, picture: TablePicture) -> None:
        """The row's name, then its other cells, each after its head."""
        ems, top = self.box.w / self.em, self.box.top
        below = height(1, self.em) + self.scale.mm(1.0)  # kept free for how many are left
        for nth, row in enumerate(picture.rows):
            told = [f"{head} {cell}" for head, cell in zip(picture.head[1:], row[1:], strict=True)
                    if cell]  # fmt: skip
            text = f"{row[0]}: {' · '.join(told)}" if row[0] else " · ".join(told)
            lines = len(wrap(text, False, ems))
            tall = height(lines, self.em) + self.scale.mm(1.6)
            last = nth == len(picture.rows) - 1
            if top - tall < self.box.y + (0 if last else below):
                self._more(len(picture.rows) - nth, top, below)
                return
            if nth:
                self._rule(top)
            self._say(text, Box(self.box.x, top - tall, self.box.w, tall), INK, lines)
            top -= tall

    def _more(self, count: int, top: float, pitch: float) -> None:
        if count > 0 and top - pitch >= self.box.y - 1:
            self._say(f"+ {count}", Box(self.box.x, top - pitch, self.box.w, pitch), MUTED)

    def _rule(self, y: float) -> None:
        with self.canvas:
            fill(Box(self.box.x, y, self.box.w, 1.0), MUTED)

    def _say(self, text: str, box: Box, colour: Colour, rows: int = 1) -> None:
        style = Style(self.scale.small, self.scale.small, rows=rows)
        self.add_widget(Text(text, box, style, colour, "left", "middle"))
