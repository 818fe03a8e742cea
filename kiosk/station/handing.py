"""Handing the station over: what is noted, and who comes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kiosk.run.state import commands
from kiosk.station.pages.page import Page

if TYPE_CHECKING:
    from kiosk.station.desk import Desk

NOTES = ("pad_worn", "sheet_worn", "press_drifts", "garments_missing", "material_short", "ask_me")
"""Ids of open questions that can be left for whoever comes: no free text, so no names."""


class Handing:
    """One hand-over while it is prepared."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.notes: tuple[str, ...] = ()

    def note(self, what: str) -> None:
        """Note an open question, or take it back."""
        kept = tuple(note for note in self.notes if note != what)
        self.notes = kept if what in self.notes else (*kept, what)

    def give(self, to: str = "") -> None:
        """End the shift and give the station to `to`, or to nobody yet."""
        desk = self._desk
        desk.end_hold()
        if desk.shell.do(commands.HandOver(to, self.notes)).refusal is not None:
            return
        desk.handing = None
        if to:
            desk.sign_on(to)
        else:
            desk.go(Page.SIGN_ON)
