"""A chart of the report in ink on paper: a signal has a ring, no colour of its own."""

from __future__ import annotations

from kivy.graphics import Color, Ellipse, Line

from kiosk.report.content import ControlChart
from kiosk.station.boxes import Box
from kiosk.station.pages.report_picture import ChartPicture
from kiosk.station.sizes import Scale
from kiosk.station.theme import INK, MUTED
from kiosk.station.type import CAPITAL, Style, breadth, height
from kiosk.station.widgets.drawn import Drawn
from kiosk.station.widgets.paint import fill, outline
from kiosk.station.widgets.text import Text

Points = list[tuple[float, float]]
BARS = 0.22  # of the width: the longest bar; its words stand beside it


class ReportChart(Drawn):
    """The chart drawn into `box`."""

    def __init__(self, box: Box, scale: Scale, picture: ChartPicture) -> None:
        super().__init__(box)
        self.scale = scale
        self.pitch = height(1, scale.small / CAPITAL) + scale.mm(1.4)
        if picture.control is not None:
            self._control(picture.control)
        else:
            self._bars(picture)

    def _control(self, chart: ControlChart) -> None:
        every = (*chart.values, *chart.lower, *chart.upper)
        self._low, self._high = min(every), max(every)
        if self._high == self._low:
            self._low, self._high = self._low - 1.0, self._high + 1.0
        labels = {
            f"{line[-1]:.1f} {chart.unit}": line
            for line in (chart.upper, chart.centre, chart.lower)
        }
        wide = max(breadth(text, False) for text in labels) * self.scale.small / CAPITAL
        beside = wide + self.scale.mm(2.0)
        self._plot = self.box.from_left(self.box.w - beside)[0].inset(self.scale.mm(2.0))
        with self.canvas:
            for line in (chart.lower, chart.upper):
                self._dotted(self._points(line))
            outline(self._points(chart.centre), MUTED, 1.0, close=False)
            outline(self._points(chart.values), INK, self.scale.mm(0.4), close=False)
            self._dots(chart)
        self._labels(labels, beside)

    def _points(self, values: tuple[float, ...]) -> Points:
        across = self._plot.w / max(1, len(values) - 1)
        up = self._plot.h / (self._high - self._low)
        return [
            (self._plot.x + nth * across, self._plot.y + (value - self._low) * up)
            for nth, value in enumerate(values)
        ]

    def _dotted(self, points: Points) -> None:
        Color(*MUTED.rgba)
        flat = [value for point in points for value in point]
        Line(points=flat, width=1.0, dash_length=6, dash_offset=5)

    def _dots(self, chart: ControlChart) -> None:
        Color(*INK.rgba)
        dot, ring = self.scale.mm(0.6), self.scale.mm(1.6)
        for nth, (x, y) in enumerate(self._points(chart.values)):
            Ellipse(pos=(x - dot, y - dot), size=(2 * dot, 2 * dot))
            if nth in chart.signals:
                Line(circle=(x, y, ring), width=max(1.0, self.scale.mm(0.25)))

    def _labels(self, labels: dict[str, tuple[float, ...]], beside: float) -> None:
        """The numbers of the lines, the centre first; one that would touch another is left out."""
        taken: list[float] = []
        for text, line in sorted(labels.items(), key=lambda item: item[1] != self._middle(labels)):
            y = self._points(line)[-1][1]
            if all(abs(y - other) >= self.pitch for other in taken):
                taken.append(y)
                low = min(max(y - self.pitch / 2, self.box.y), self.box.top - self.pitch)
                self._say(text, Box(self.box.right - beside, low, beside, self.pitch))

    def _middle(self, labels: dict[str, tuple[float, ...]]) -> tuple[float, ...]:
        return list(labels.values())[len(labels) // 2]

    def _bars(self, picture: ChartPicture) -> None:
        most = max(count for _, count, _ in picture.bars)
        room = max(1, int(self.box.h // self.pitch))
        for nth, (label, count, covered) in enumerate(picture.bars[:room]):
            low = self.box.top - (nth + 1) * self.pitch
            wide = self.box.w * BARS * count / most
            with self.canvas:
                fill(Box(self.box.x, low + self.pitch * 0.2, wide, self.pitch * 0.6), MUTED)
            x = self.box.x + self.box.w * BARS + self.scale.mm(2.0)
            text = " · ".join(filter(None, (str(count), covered, label)))
            self._say(text, Box(x, low, self.box.right - x, self.pitch))

    def _say(self, text: str, box: Box) -> None:
        style = Style(self.scale.small * 0.97, self.scale.small, rows=1)
        self.add_widget(Text(text, box, style, INK, "left", "middle"))
