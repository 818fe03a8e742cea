"""The screen of a trial: the work screen in a frame of its own, on a piece of cloth."""

from __future__ import annotations

from collections.abc import Callable

from kiosk.catalog.message import Message, say
from kiosk.catalog.model import StationSettings
from kiosk.run.views import Kind, View
from kiosk.station.actions import ChipTouched, Option, Refused
from kiosk.station.desk import Desk
from kiosk.station.screens.work import WorkScreen
from kiosk.words import Words


class TrialScreen(WorkScreen):
    """What it asks goes to the piece of cloth, never to a garment.

    `refused` gets what does nothing now; `refresh` is called once something was done.
    """

    frame = "trial"

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
            words, settings, lambda line: "", self._acted, clock, self._stop, practice=True
        )
        self._desk = desk
        self._refused = refused
        self._refresh = refresh

    def try_out(self, notices: tuple[Message, ...]) -> None:
        """Show the piece as it is now."""
        press = self._desk.trial.press
        if press is None:
            return
        self.plan = press.plan
        flags = (say("trial.piece"),)
        self.show(press.view(self._desk.shell.now()), notices, flags)

    def _stop(self, view: View) -> tuple[Option, ...]:
        stop = Option(say("trial.stop"), self._desk.trial.leave)
        return (stop,) if view.kind is Kind.HELD else ()

    def _acted(self, action: object) -> None:
        trial = self._desk.trial
        if isinstance(action, ChipTouched):
            trial.look_at(action.ticket)
        elif isinstance(action, Refused):
            self._refused(action)
        elif callable(action):
            action()
        else:
            trial.do(action)  # type: ignore[arg-type]  # the rest are commands
        self._refresh()
