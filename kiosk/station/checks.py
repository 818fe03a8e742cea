"""The card of a press's check while it is filled in; nothing of it lasts until it is whole."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kiosk.catalog.base import say
from kiosk.run.facts import HOTTEST, offset_of, passes, required_setting, spread_of
from kiosk.run.state import Overruled
from kiosk.run.state import commands_shift as commands
from kiosk.station.pages.page import Page
from kiosk.station.shell import Cue

if TYPE_CHECKING:
    from kiosk.run.state import JobRun
    from kiosk.station.desk import Desk

PLACES = ("centre", "left_back", "right_back", "left_front", "right_front")
EDGES = ("left", "right", "front", "back")


class Checks:
    """Readings and strips of paper as they are entered, in the order of the event."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.readings: tuple[int, ...] = ()
        self.paper_held: tuple[bool, ...] = ()
        self.begun = False

    @property
    def job(self) -> JobRun:
        """The job at the press: a card is only asked for where there is one."""
        job = self._desk.shell.state.job
        assert job is not None
        return job

    @property
    def set_value(self) -> int:
        """What the press is set to, whole degrees of the plan's unit."""
        return required_setting(self.job) or 0

    @property
    def failed(self) -> bool:
        """Whether the last check of the press did not pass."""
        check = self._desk.shell.state.check
        return check is not None and not (check.passed or check.waived)

    @property
    def offset(self) -> float:
        """The mean of the readings minus the set value."""
        return offset_of(self.readings, self.set_value)

    @property
    def spread(self) -> int:
        """The highest reading minus the lowest."""
        return spread_of(self.readings)

    @property
    def passes(self) -> bool:
        """Whether the card is good enough by the job's rules."""
        return passes(self.job.rules, self.set_value, self.readings, self.paper_held)

    def begin(self) -> None:
        """Take an empty card."""
        self._desk.entry = ""
        self.readings, self.paper_held, self.begun = (), (), True

    def read(self) -> None:
        """Take the reading that was typed; what no press shows is turned away at once."""
        desk = self._desk
        entry, desk.entry = desk.entry, ""
        if entry.isdecimal() and 0 < int(entry) <= HOTTEST:
            self.readings = (*self.readings, int(entry))
        else:
            desk.shell.say(say("refuse.verify.reading"))
            desk.shell.cue(Cue.REFUSED)

    def pull(self, held: bool) -> None:
        """Take how a strip of paper held."""
        self.paper_held = (*self.paper_held, held)

    def back(self) -> None:
        """Take the last entry back."""
        self._desk.entry = ""
        if self.paper_held:
            self.paper_held = self.paper_held[:-1]
        elif self.readings:
            self.readings = self.readings[:-1]
        else:
            self.begun = False

    def write_down(self) -> None:
        """Record the card; the next one begins empty."""
        done = self._desk.shell.do(commands.VerifyPress(self.readings, self.paper_held))
        if done.refusal is None:
            self.begin()
            self.begun = False

    def let_pass(self, what: Overruled) -> None:
        """Ask for the PIN and a reason, then let the work go on."""
        desk = self._desk

        def decided(reason: str) -> None:
            desk.shell.do(commands.LetPass(what, "supervisor", reason))
            desk.checks.begun = False

        def asked() -> None:
            desk.with_reason = decided
            desk.go(Page.OVERRIDE)

        desk.ask_pin(asked)
