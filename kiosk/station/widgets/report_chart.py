"""Paints the strokes of a report's chart in ink on paper."""

from __future__ import annotations

from kivy.graphics import Color, Ellipse
from kivy.graphics import Line as Stroked

from kiosk.report.draw import Bar, Dot, Frame, Label, Line, Look, bar_strokes, control_strokes
from kiosk.station.boxes import Box
from kiosk.station.pages.report_picture import ChartPicture
from kiosk.station.sizes import Scale
from kiosk.station.theme import INK, MUTED
from kiosk.station.type import CAPITAL, Style, breadth, height
from kiosk.station.widgets.drawn import Drawn
from kiosk.station.widgets.paint import fill, outline
from kiosk.station.widgets.text import Text


class ReportChart(Drawn):
    """The chart drawn into `box`."""

    def __init__(self, box: Box, scale: Scale, picture: ChartPicture) -> None:
        super().__init__(box)
        self.scale = scale
        em = scale.small / CAPITAL
        self.row = height(1, em) + scale.mm(1.4)
        frame = Frame(box.w, box.h, scale.mm(2.0), self.row, lambda text: breadth(text, False) * em)
        control = picture.control
        strokes = control_strokes(control, frame) if control else bar_strokes(picture.bars, frame)
        for stroke in strokes:
            if isinstance(stroke, Label):
                self._say(stroke)
                continue
            with self.canvas:
                self._paint(stroke)

    def _paint(self, stroke: Line | Dot | Bar) -> None:
        if isinstance(stroke, Line):
            self._line(stroke)
        elif isinstance(stroke, Dot):
            self._dot(self.box.x + stroke.x, self.box.y + stroke.y, stroke.ring)
        else:
            fill(Box(self.box.x, self.box.y + stroke.y, stroke.wide, stroke.high), MUTED)

    def _line(self, line: Line) -> None:
        points = [(self.box.x + x, self.box.y + y) for x, y in line.points]
        if line.look is Look.LIMIT:
            Color(*MUTED.rgba)
            flat = [value for point in points for value in point]
            Stroked(points=flat, width=1.0, dash_length=6, dash_offset=5)
            return
        colour, thick = (INK, self.scale.mm(0.4)) if line.look is Look.VALUE else (MUTED, 1.0)
        outline(points, colour, thick, close=False)

    def _dot(self, x: float, y: float, ring: bool) -> None:
        Color(*INK.rgba)
        dot = self.scale.mm(0.6)
        Ellipse(pos=(x - dot, y - dot), size=(2 * dot, 2 * dot))
        if ring:
            Stroked(circle=(x, y, self.scale.mm(1.6)), width=max(1.0, self.scale.mm(0.25)))

    def _say(self, label: Label) -> None:
        left, low = self.box.x + label.x, self.box.y + label.y - self.row / 2
        box = Box(left, low, self.box.right - left, self.row)
        style = Style(self.scale.small * 0.97, self.scale.small, rows=1)
        self.add_widget(Text(label.text, box, style, INK, "left", "middle"))
