"""The page, and charts as strokes."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.report.draw.page import STYLE, inside, to_html
    from kiosk.report.draw.strokes import (
        Bar, Dot, Frame, Label, Line, Look, Stroke, bar_strokes, control_strokes,
    )

__getattr__ = face(__name__)
