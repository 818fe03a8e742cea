"""Reads materials, fabrics, presses and policy, recipes."""

# fmt: off
from kiosk.catalog.sheets.source import written

__all__ = [
    "written",
]
