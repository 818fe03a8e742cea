"""Pictures on plain pages: a report's chart or table, a garment's heat."""

from math import inf

from kivy.graphics import Color, Ellipse
from kivy.graphics import Line as Stroked

from kiosk.report import (
    BarStroke,
    ChartFrame,
    DotStroke,
    LabelStroke,
    LineStroke,
    LineStyle,
    bar_strokes,
    control_strokes,
)
from kiosk.report.content import EMPTY
from kiosk.station.desk.sheet import ChartPicture, Picture, ProofPicture, TablePicture
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.theme import INK, MUTED, Colour
from kiosk.station.glass.type import CAPITAL, NO_BREAK, Style, breadth, height, wrap
from kiosk.station.glass.widgets.heat_graph import HeatGraph
from kiosk.station.glass.widgets.lay_drawing import ProofDrawing
from kiosk.station.glass.widgets.paint import Drawn, fill, outline
from kiosk.station.glass.widgets.text import Text


class ReportChart(Drawn):
    """A chart drawn into `box`."""

    def __init__(self, box: Box, scale: Scale, picture: ChartPicture) -> None:
        super().__init__(box)
        self.scale = scale
        em = scale.small / CAPITAL
        self.row = height(1, em) + scale.mm(1.4)
        frame = ChartFrame(
            box.w, box.h, scale.mm(2.0), self.row, lambda text: breadth(text, False) * em
        )
        control = picture.control
        strokes = (
            control_strokes(control, picture.figures, frame)
            if control
            else bar_strokes(picture.bars, frame)
        )
        for stroke in strokes:
            if isinstance(stroke, LabelStroke):
                self._say(stroke)
                continue
            with self.canvas:
                self._paint(stroke)

    def _paint(self, stroke: LineStroke | DotStroke | BarStroke) -> None:
        if isinstance(stroke, LineStroke):
            self._line(stroke)
        elif isinstance(stroke, DotStroke):
            self._dot(self.box.x + stroke.x, self.box.y + stroke.y, stroke.ring)
        else:
            fill(Box(self.box.x, self.box.y + stroke.y, stroke.wide, stroke.high), MUTED)

    def _line(self, line: LineStroke) -> None:
        points = [(self.box.x + x, self.box.y + y) for x, y in line.points]
        if line.style is LineStyle.LIMIT:
            Color(*MUTED.rgba)
            flat = [value for point in points for value in point]
            Stroked(points=flat, width=1.0, dash_length=6, dash_offset=5)
            return
        colour, thick = (INK, self.scale.mm(0.4)) if line.style is LineStyle.VALUE else (MUTED, 1.0)
        outline(points, colour, thick, close=False)

    def _dot(self, x: float, y: float, ring: bool) -> None:
        Color(*INK.rgba)
        dot = self.scale.mm(0.6)
        Ellipse(pos=(x - dot, y - dot), size=(2 * dot, 2 * dot))
        if ring:
            Stroked(circle=(x, y, self.scale.mm(1.6)), width=max(1.0, self.scale.mm(0.25)))

    def _say(self, label: LabelStroke) -> None:
        left, low = self.box.x + label.x, self.box.y + label.y - self.row / 2
        box = Box(left, low, self.box.right - left, self.row)
        style = Style(self.scale.small * 0.97, self.scale.small, rows=1)
        self.add_widget(Text(label.text, box, style, INK, "left", "middle"))


ROW_GAP_MM = 1.6


def table_height(picture: TablePicture, scale: Scale, wide: float) -> float:
    """Return the height of a table in its smallest letters, px; `inf` if its columns do not fit."""
    em = scale.small / CAPITAL
    columns = zip(picture.head, *picture.rows, strict=True)
    widest = sum(max(breadth(text, False) for text in texts) * em for texts in columns)
    if widest + (scale.mm(GAP_MM) + 1.0) * len(picture.head) > wide:
        return inf
    return (len(picture.rows) + 1) * (height(1, em) + scale.mm(ROW_GAP_MM))


GAP_MM = 3.0  # between columns


class ReportTable(Drawn):
    """A table drawn into `box` from the top; rows that do not fit are counted."""

    def __init__(self, box: Box, scale: Scale, picture: TablePicture) -> None:
        super().__init__(box)
        self.scale = scale
        self.gap = scale.mm(GAP_MM)
        columns = zip(picture.head, *picture.rows, strict=True)
        widest = [max(breadth(text, False) for text in texts) for texts in columns]
        self.letter = self._largest(widest, len(picture.rows) + 1)
        self.em = self.letter / CAPITAL
        widths = [wide * self.em + 1.0 for wide in widest]
        if sum(widths) + self.gap * (len(widths) - 1) <= box.w:
            self._columns(picture, widths)
        else:
            self._paragraphs(picture)

    def _largest(self, widest: list[float], rows: int) -> float:
        """Return the largest letters (capitals, px) at which all of it fits in columns."""
        least, most = self.scale.small, self.scale.line
        for letter in (least + (most - least) * share for share in (1.0, 0.75, 0.5, 0.25)):
            em = letter / CAPITAL
            wide = sum(widest) * em + (self.gap + 1.0) * len(widest)
            if (
                wide <= self.box.w
                and rows * (height(1, em) + self.scale.mm(ROW_GAP_MM)) <= self.box.h
            ):
                return letter
        return least

    def _columns(self, picture: TablePicture, widths: list[float]) -> None:
        pitch = height(1, self.em) + self.scale.mm(ROW_GAP_MM)
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
        """Write each row as a paragraph: its name, then each other cell after its head."""
        paragraphs = [_paragraph(picture.head, row) for row in picture.rows]
        for letter in (self.scale.small, (self.scale.line + self.scale.small) / 2, self.scale.line):
            if sum(self._tall(text, letter)[1] for text in paragraphs) <= self.box.h:
                self.letter = letter
        top = self.box.top
        below = height(1, self.letter / CAPITAL) + self.scale.mm(1.0)  # for the count of the rest
        for nth, text in enumerate(paragraphs):
            lines, tall = self._tall(text, self.letter)
            last = nth == len(paragraphs) - 1
            if top - tall < self.box.y + (0 if last else below):
                self._more(len(picture.rows) - nth, top, below)
                return
            if nth:
                self._rule(top)
            self._say(text, Box(self.box.x, top - tall, self.box.w, tall), INK, lines)
            top -= tall

    def _tall(self, text: str, letter: float) -> tuple[int, float]:
        """Return the rows of a paragraph, and its height with the rule above it, px."""
        em = letter / CAPITAL
        lines = len(wrap(text, False, self.box.w / em))
        return lines, height(lines, em) + self.scale.mm(ROW_GAP_MM)

    def _more(self, count: int, top: float, pitch: float) -> None:
        if count > 0 and top - pitch >= self.box.y - 1:
            self._say(f"+ {count}", Box(self.box.x, top - pitch, self.box.w, pitch), MUTED)

    def _rule(self, y: float) -> None:
        with self.canvas:
            fill(Box(self.box.x, y, self.box.w, 1.0), MUTED)

    def _say(self, text: str, box: Box, colour: Colour, rows: int = 1) -> None:
        style = Style(self.letter, self.letter, rows=rows)
        self.add_widget(Text(text, box, style, colour, "left", "middle"))


def _paragraph(heads: tuple[str, ...], row: tuple[str, ...]) -> str:
    """Return a row as a sentence; empty cells are left out along with their heads."""
    others = zip(heads[1:], row[1:], strict=True)
    facts = (f"{head}{NO_BREAK}{cell}" for head, cell in others if cell not in ("", EMPTY))
    text = " · ".join(facts)
    return f"{row[0]}: {text}" if row[0] else text


def picture_widget(box: Box, scale: Scale, picture: Picture) -> Drawn:
    """Return the picture drawn into `box`."""
    if isinstance(picture, ProofPicture):
        return ProofDrawing(box, scale, picture.garments)
    if isinstance(picture, TablePicture):
        return ReportTable(box, scale, picture)
    if isinstance(picture, ChartPicture):
        return ReportChart(box, scale, picture)
    return HeatGraph(box, scale, picture)
