"""The answers, a file a question."""

# fmt: off
from kiosk.report.answers.garments import GarmentRow, garment_rows

__all__ = [
    "GarmentRow", "garment_rows",
]
