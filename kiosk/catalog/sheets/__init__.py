"""Reads materials, fabrics, presses and policy, recipes."""

# fmt: off
from kiosk.catalog.sheets.asking import Form, Question
from kiosk.catalog.sheets.source import written

__all__ = [
    "Form", "Question", "written",
]
