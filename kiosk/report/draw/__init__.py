"""The page, and charts as strokes."""

# fmt: off
from kiosk.report.draw.page import to_html
from kiosk.report.draw.strokes import (
    Bar,
    Dot,
    Frame,
    Label,
    Line,
    Look,
    Stroke,
    bar_strokes,
    control_strokes,
)

__all__ = [
    "Bar", "Dot", "Frame", "Label", "Line", "Look", "Stroke", "bar_strokes", "control_strokes",
    "to_html",
]
