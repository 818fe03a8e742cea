"""Turns recorded rows into answers, tables, charts, and the page that shows them."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.report.strokes import (
        BarStroke, ChartFrame, DotStroke, LabelStroke, LineStroke, LineStyle, Stroke, bar_strokes,
        control_strokes,
    )
    from kiosk.report.page import STYLE, report_html, to_html

__getattr__ = face(__name__)
