"""The screen of a trial: the work screen in a frame of its own, on a piece of cloth."""

from __future__ import annotations

from kiosk.catalog.message import Message, say
from kiosk.run.commands import Command
from kiosk.station.actions import Option
from kiosk.station.apart import ApartScreen


class TrialScreen(ApartScreen):
    """What it asks goes to the piece of cloth; its frame is plain, for its press is hot."""

    frame = "trial"

    def try_out(self, notices: tuple[Message, ...]) -> None:
        """Show the piece as it is now."""
        press = self._desk.trial.press
        if press is None:
            return
        self.plan = press.plan
        self.show(press.view(self._desk.shell.now()), notices, (say("trial.piece"),))

    def _stopping(self) -> Option:
        return Option(say("trial.stop"), self._desk.trial.leave)

    def _look(self, ticket: str) -> None:
        self._desk.trial.look_at(ticket)

    def _do(self, command: Command) -> None:
        self._desk.trial.do(command)
