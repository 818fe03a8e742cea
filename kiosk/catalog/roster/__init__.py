"""Reads rosters: tables, headings, cells, and what is doubtful in them."""

# fmt: off
from kiosk.catalog.roster.forget import CannotForget, Forgotten, forget_names, note_named_file
from kiosk.catalog.roster.look_alikes import has_twin, twin

__all__ = [
    "CannotForget", "Forgotten", "forget_names", "has_twin", "note_named_file", "twin",
]
