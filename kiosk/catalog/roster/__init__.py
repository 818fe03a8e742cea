"""Reads rosters: tables, headings, cells, what is doubtful in them, and what was answered."""

# fmt: off
from kiosk.catalog.roster.answers import (
    KEEP,
    LEAVE_OUT,
    Allowed,
    Answer,
    allowed,
    fault_read_as,
    read_answers,
    resolved,
)
from kiosk.catalog.roster.cells import has_twin, twin
from kiosk.catalog.roster.forget import CannotForget, Forgotten, forget_names, note_named_file
from kiosk.catalog.roster.job import PASSING, free_key, sweep
from kiosk.catalog.roster.order import CannotOrder, Draft, Look, begin, remember

__all__ = [
    "KEEP", "LEAVE_OUT", "PASSING", "Allowed", "Answer", "CannotForget", "CannotOrder", "Draft",
    "Forgotten", "Look", "allowed", "begin", "fault_read_as", "forget_names", "free_key",
    "has_twin", "note_named_file", "read_answers", "remember", "resolved", "sweep", "twin",
]
