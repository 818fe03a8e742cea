"""The work screen in a frame, on what is no garment of the job: practised, or a piece of cloth."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable

from kiosk.catalog.model import StationSettings
from kiosk.run.facts import Kind
from kiosk.run.show import View
from kiosk.run.state import Command, HoldOn
from kiosk.station.actions import ChipTouched, Choices, Option, Refused
from kiosk.station.desk import Desk
from kiosk.station.screens.work import WorkScreen
from kiosk.words import Words


class ApartScreen(WorkScreen):
    """What it asks never goes to the record of work.

    `worn` is the name that is shown. `refused` gets what does nothing now; `refresh` is called
    once something was done.
    """

    worn = ""

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
            words, settings, lambda line: self.worn, self._acted, clock, self._stop, practice=True
        )
        self._desk = desk
        self._refused = refused
        self._refresh = refresh

    @abstractmethod
    def _stopping(self) -> Option:
        """Return the option on hold that ends it."""

    @abstractmethod
    def _look(self, ticket: str) -> None:
        """Look at what a touched chip stands for."""

    @abstractmethod
    def _do(self, command: Command) -> None:
        """Hand a command on."""

    def _stop(self, view: View) -> tuple[Option, ...]:
        return (self._stopping(),) if view.kind is Kind.HELD else ()

    def _hold(self) -> None:
        """A long press holds; on hold it takes the one choice that there is, which ends it."""
        if self.view is not None and self.view.kind is Kind.HELD:
            self._acted(self._stopping().action)
        elif self.view is not None and self.view.hold:
            self._do(HoldOn())
        else:
            self._refused(Refused())

    def _acted(self, action: object) -> None:
        if isinstance(action, ChipTouched):
            self._look(action.ticket)
        elif isinstance(action, Refused):
            self._refused(action)
        elif isinstance(action, Choices):
            self._hold()
        elif callable(action):
            action()
        else:
            self._do(action)  # type: ignore[arg-type]  # the rest are commands
        self._refresh()
