"""The supervisor's PIN at the desk: chosen, asked for, and waited for after wrong ones."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil
from typing import TYPE_CHECKING

from kiosk.catalog.base import say
from kiosk.run.facts import pin_wait
from kiosk.run.state import commands_shift as commands
from kiosk.station.pages.page import Page
from kiosk.station.pin import SHORTEST, PinFile
from kiosk.station.shell import Cue

if TYPE_CHECKING:
    from kiosk.station.desk import Desk


class Pins:
    """What is typed on the desk's pages as a PIN."""

    def __init__(self, desk: Desk, file: PinFile) -> None:
        self._desk = desk
        self._file = file
        self._first = ""
        self._then: Callable[[], None] = lambda: None

    def are_set(self) -> bool:
        """Whether a PIN was chosen."""
        return self._file.is_set()

    def choose(self) -> None:
        """Take the first entry of a new PIN."""
        desk = self._desk
        if len(desk.entry) < SHORTEST:
            desk.shell.say(say("station.pin_short"))
            return
        self._first = desk.entry
        desk.go(Page.REPEAT_PIN)

    def repeat(self) -> None:
        """Keep the new PIN if both entries agree."""
        desk = self._desk
        if desk.entry != self._first:
            desk.shell.say(say("station.pin_differs"))
            desk.go(Page.CHOOSE_PIN)
            return
        try:
            self._file.set(desk.entry)
        except OSError as problem:
            desk.shell.say(say("station.pin_not_kept", why=str(problem)))
        else:
            desk.shell.do(commands.ChoosePin())
        desk.go_on()

    def ask(self, then: Callable[[], None]) -> None:
        """Ask for the PIN, then do what needs it."""
        self._then = then
        self._desk.go(Page.PIN)

    @property
    def wait(self) -> int:
        """Whole seconds until the PIN may be tried again, 0 if it may be now."""
        shell = self._desk.shell
        return ceil(pin_wait(shell.state, shell.now()))

    def give(self) -> None:
        """Go on if the PIN fits; each try is on disk before its answer is shown."""
        desk = self._desk
        entry, desk.entry = desk.entry, ""
        right = not self.wait and self._file.check(entry)
        if desk.shell.do(commands.TryPin(right)).refusal is not None:
            return
        if right:
            self._then()
        else:
            broken = self._file.is_broken()
            desk.shell.say(say("station.pin_broken" if broken else "station.pin_wrong"), broken)
            desk.shell.cue(Cue.REFUSED)
