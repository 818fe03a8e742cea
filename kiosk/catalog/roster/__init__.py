"""Reads rosters: tables, headings, cells, and what is doubtful in them."""

# fmt: off
from kiosk.catalog.roster.cells import has_twin, twin
from kiosk.catalog.roster.forget import CannotForget, Forgotten, forget_names, note_named_file

__all__ = [
    "CannotForget", "Forgotten", "forget_names", "has_twin", "note_named_file", "twin",
]
