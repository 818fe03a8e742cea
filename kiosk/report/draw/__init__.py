"""The page and its charts."""

# fmt: off
from kiosk.report.draw.page import to_html

__all__ = [
    "to_html",
]
