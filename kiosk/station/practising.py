"""The practice screen: the work screen in its frame, on a garment that nobody presses."""

from __future__ import annotations

from collections.abc import Callable

from kiosk.catalog.message import Message, say
from kiosk.catalog.model import StationSettings
from kiosk.run.commands import HoldOn
from kiosk.run.views import Kind, View
from kiosk.station.actions import ChipTouched, Choices, Option, Refused
from kiosk.station.desk import Desk, Page
from kiosk.station.practice import NAME
from kiosk.station.screens.work import WorkScreen
from kiosk.train.pace import PRESS_SPEED, Pace
from kiosk.train.session import Session
from kiosk.words import Words

EVERY_SECONDS = 0.1  # its clock may run faster than the station's


class PracticeScreen(WorkScreen):
    """What it asks goes to the practised garment, never to the record of work.

    `refused` gets what does nothing now; `refresh` is called once something was done.
    """

    def __init__(
        self,
        desk: Desk,
        words: Words,
        settings: StationSettings,
        clock: Callable[[], float],
        refused: Callable[[Refused], None],
        refresh: Callable[[], None],
    ) -> None:
        super().__init__(
            words, settings, lambda line: NAME, self._acted, clock, self._stop, practice=True
        )
        self._desk = desk
        self._refused = refused
        self._refresh = refresh

    def practise(self, session: Session, notices: tuple[Message, ...]) -> None:
        """Show the garment, and how much help there is."""
        self.plan = session.wish.plan
        flags = [say(f"practice.level.{session.level.word}")]
        if session.wish.pace is Pace.SHORT and session.press.state.heat is not None:
            flags.insert(0, say("practice.fast", times=round(PRESS_SPEED)))
        self.show(session.view(), notices, tuple(flags))

    def _stop(self, view: View) -> tuple[Option, ...]:
        stop = Option(say("practice.stop"), lambda: self._desk.go(Page.PRACTICE))
        return (stop,) if view.kind is Kind.HELD else ()

    def _hold(self) -> None:
        """In practice nothing is chosen beside the garment: a long press holds."""
        if self.view is not None and self.view.hold:
            self._desk.practice.do(HoldOn())
        else:
            self._refused(Refused())

    def _acted(self, action: object) -> None:
        practice = self._desk.practice
        if isinstance(action, ChipTouched):
            practice.look(action.ticket)
        elif isinstance(action, Refused):
            self._refused(action)
        elif isinstance(action, Choices):
            self._hold()
        elif callable(action):
            action()
        else:
            practice.do(action)  # type: ignore[arg-type]  # the rest are commands
        self._refresh()
