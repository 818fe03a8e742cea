"""The practice screen: the work screen in its frame, on a garment that nobody presses."""

from __future__ import annotations

from kiosk.catalog.base import Message, say
from kiosk.run.state import Command
from kiosk.station.actions import Option
from kiosk.station.apart import ApartScreen
from kiosk.station.desk import Page
from kiosk.station.practice import NAME
from kiosk.train.practice import PRESS_SPEED, Pace, Session

EVERY_SECONDS = 0.1  # its clock may run faster than the station's


class PracticeScreen(ApartScreen):
    """What it asks goes to the practised garment."""

    worn = NAME

    def practise(self, session: Session, notices: tuple[Message, ...]) -> None:
        """Show the garment, and how much help there is."""
        self.plan = session.wish.plan
        flags = [say(f"practice.level.{session.level.word}")]
        if session.wish.pace is Pace.SHORT and session.press.state.heat is not None:
            flags.insert(0, say("practice.fast", times=round(PRESS_SPEED)))
        self.show(session.view(), notices, tuple(flags))

    def _stopping(self) -> Option:
        return Option(say("practice.stop"), lambda: self._desk.go(Page.PRACTICE))

    def _look(self, ticket: str) -> None:
        self._desk.practice.look(ticket)

    def _do(self, command: Command) -> None:
        self._desk.practice.do(command)
