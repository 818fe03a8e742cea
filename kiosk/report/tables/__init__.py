"""Tables for spreadsheets, programs and terminals."""

# fmt: off
from kiosk.report.tables.sheet import tables_to_csv, to_csv
from kiosk.report.tables.values import to_text, values

__all__ = [
    "tables_to_csv", "to_csv", "to_text", "values",
]
