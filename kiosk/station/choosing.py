"""What can be done beside going on: by the pedal's page of choices, on hold, and by back one."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from kiosk.run.state import Stage, commands, commands_shift
from kiosk.station.pages.page import Page

if TYPE_CHECKING:
    from kiosk.station.desk import Desk

Judge = Callable[[str, str, Stage], None]


class Choosing:
    """The choices of the moment. `judge` (ticket, number, result) asks what is wrong and why.

    `then` is what a cleared platen was wanted for.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.judge: Judge = lambda ticket, number, stage: None
        self.then: Callable[[], None] = desk.go_on

    def open(self) -> None:
        """Turn to the page of choices."""
        self._desk.go(Page.CHOICES)

    def go_on(self) -> None:
        """Back to the press: a look at one garment ends, and so does a hold."""
        self._desk.shell.focus = ""
        self._desk.end_hold()
        self._desk.go_on()

    def hold(self) -> None:
        """Put the station on hold."""
        self._desk.shell.focus = ""
        self.do(commands.HoldOn())

    def back(self) -> None:
        """Take back the last tap that is no closing."""
        self._desk.end_hold()
        self.do(commands.Back(closing_stays=True))

    def never_closed(self) -> None:
        """Say that the last closing never was."""
        self._desk.end_hold()
        self.do(commands_shift.SayNeverClosed())

    def pressed(self) -> None:
        """Count a closing without a tap, its seconds as they were typed."""
        if self._desk.entry:
            seconds = float(self._desk.entry)
            self._desk.end_hold()
            self.do(commands_shift.SayPressed(seconds))

    def give(self, ticket: str, number: str, stage: Stage) -> None:
        """Give a garment its result; what is not good is asked about first."""
        self._desk.go(Page.WORK)
        if stage is Stage.GOOD:
            self._desk.shell.work(commands.Inspect(ticket, stage))
        else:
            self.judge(ticket, number, stage)

    def look_at(self, ticket: str) -> None:
        """Look at a garment of the rack or aside, for its result."""
        self._desk.shell.focus = ticket
        self._desk.go(Page.WORK)

    def do(self, command: commands.Command) -> None:
        """Do it and turn to the press."""
        self._desk.shell.work(command)
        self._desk.go(Page.WORK)

    # -- leaving in the middle of a garment --------------------------------

    def cleared(self) -> None:
        """The platen is clear: do what it was cleared for."""
        self.then()
