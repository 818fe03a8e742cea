"""Charts as strokes, shared by the glass and the page."""

from collections.abc import Callable, Iterator, Sequence
from enum import Enum
from typing import NamedTuple

from kiosk.catalog.base import say as message
from kiosk.report.content import ControlChart, Say

BARS = 0.22  # of the width: the longest bar; the text is beside it

Points = tuple[tuple[float, float], ...]


class LineStyle(Enum):
    """The kind of line in a control chart."""

    LIMIT = "limit"
    CENTRE = "centre"
    VALUE = "value"


class LineStroke(NamedTuple):
    """Points joined by straight lines."""

    points: Points
    style: LineStyle


class DotStroke(NamedTuple):
    """A value; a signal is marked by a ring, not by a colour."""

    x: float
    y: float
    ring: bool


class BarStroke(NamedTuple):
    """A filled bar from the left edge; `y` is its lower side."""

    y: float
    wide: float
    high: float


class LabelStroke(NamedTuple):
    """A line of text that starts at `x`; `y` is its middle."""

    text: str
    x: float
    y: float


Stroke = LineStroke | DotStroke | BarStroke | LabelStroke


class ChartFrame(NamedTuple):
    """The area of a chart in the painter's unit, with the origin at its lower left corner.

    `edge` is the free space around lines and before text, `row` the height of a line of text;
    `breadth` returns the width of a text.
    """

    wide: float
    high: float
    edge: float
    row: float
    breadth: Callable[[str], float]


def line_figures(chart: ControlChart, say: Say) -> tuple[str, ...]:
    """Return the last values of the centre, upper and lower lines as text."""
    return tuple(
        say(message("report.figure", figure=f"{line[-1]:.1f} {chart.unit}"))
        for line in (chart.centre, chart.upper, chart.lower)
    )


def control_strokes(
    chart: ControlChart, figures: Sequence[str], frame: ChartFrame
) -> Iterator[Stroke]:
    """Yield the limit lines, the values with their signals, and `figures` to label the lines."""
    named = list(zip((chart.centre, chart.upper, chart.lower), figures, strict=True))
    label_width = max(frame.breadth(text) for _, text in named) + frame.edge
    to_points = _scaling(chart, frame, frame.wide - label_width)
    lines = {LineStyle.LIMIT: (chart.lower, chart.upper), LineStyle.CENTRE: (chart.centre,),
             LineStyle.VALUE: (chart.values,)}  # fmt: skip
    yield from (
        LineStroke(to_points(line), style) for style, curves in lines.items() for line in curves
    )
    for nth, (x, y) in enumerate(to_points(chart.values)):
        yield DotStroke(x, y, nth in chart.signals)
    label_heights: list[float] = []
    for line, text in named:
        y = to_points(line)[-1][1]
        if all(
            abs(y - other) >= frame.row for other in label_heights
        ):  # otherwise it would touch one
            label_heights.append(y)
            middle = min(max(y, frame.row / 2), frame.high - frame.row / 2)
            yield LabelStroke(text, frame.wide - label_width, middle)


def _scaling(
    chart: ControlChart, frame: ChartFrame, wide: float
) -> Callable[[Sequence[float]], Points]:
    all_values = (*chart.values, *chart.lower, *chart.upper)
    low, high = min(all_values), max(all_values)
    low, high = (low, high) if high > low else (low - 1.0, high + 1.0)
    across = (wide - 2 * frame.edge) / max(1, len(chart.values) - 1)
    height = frame.high - 2 * frame.edge

    def to_points(values: Sequence[float]) -> Points:
        return tuple(
            (frame.edge + nth * across, frame.edge + (value - low) / (high - low) * height)
            for nth, value in enumerate(values)
        )

    return to_points


def bar_strokes(bars: Sequence[tuple[str, int, str]], frame: ChartFrame) -> Iterator[Stroke]:
    """Yield a bar and its text for each (label, count, cumulative share), as many as fit."""
    most = max((count for _, count, _ in bars), default=1)
    for nth, (label, count, covered) in enumerate(bars[: max(1, int(frame.high // frame.row))]):
        low = frame.high - (nth + 1) * frame.row
        yield BarStroke(low + frame.row * 0.2, frame.wide * BARS * count / most, frame.row * 0.6)
        text = " · ".join(filter(None, (str(count), covered, label)))
        yield LabelStroke(text, frame.wide * BARS + frame.edge, low + frame.row / 2)
