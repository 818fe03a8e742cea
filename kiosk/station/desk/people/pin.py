"""Asking for the supervisor's PIN."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil

from kiosk.catalog.base import say
from kiosk.run.facts import pin_wait
from kiosk.run.state import commands_shift as commands
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.people.pin_file import SHORTEST
from kiosk.station.desk.sheet import Page
from kiosk.station.desk.shell import Cue


class Pins:
    """What is typed on the desk's pages as a PIN."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._file = desk.pin
        self._first = ""
        self._then: Callable[[], None] = lambda: None

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


def ask_pin(desk: Desk, then: Callable[[], None] | None = None) -> None:
    """Ask for the supervisor's PIN, then do what needs it."""
    desk.of(Pins).ask(then or (lambda: desk.go(Page.SUPERVISOR)))


SUPERVISOR = "supervisor"


class Reasons:
    """What waits for the reason that a supervisor gives."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._then: Callable[[str], object] = lambda reason: None

    def ask(self, page: Page, then: Callable[[str], object]) -> None:
        """Ask for a reason on `page`, then do what needs it."""
        self._then = then
        self._desk.go(page)

    def give(self, reason: str) -> None:
        """Do what waited for a reason, and go on."""
        self._then(reason)
        self._desk.go_on()
