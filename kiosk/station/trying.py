"""The screen of a trial: the work screen in a frame of its own, on a piece of cloth."""

from __future__ import annotations

from dataclasses import replace

from kiosk.catalog.base import Message, say
from kiosk.plan.model import Phase
from kiosk.run.show import View
from kiosk.run.state import Command
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
        view = _of_cloth(press.view(self._desk.shell.now()))
        self.show(view, notices, (say("trial.piece"),))

    def _stopping(self) -> Option:
        return Option(say("trial.stop"), self._desk.trial.leave)

    def _look(self, ticket: str) -> None:
        self._desk.trial.look_at(ticket)

    def _do(self, command: Command) -> None:
        self._desk.trial.do(command)


def _of_cloth(view: View) -> View:
    """What is loaded is a piece of cloth: it has no number until one is laid on it."""
    if view.phase is not Phase.LOAD or not view.move.id.startswith("move.load"):
        return view
    sheet = "_sheet" if view.move.id.endswith("_sheet") else ""
    return replace(view, move=say(f"trial.load{sheet}"), number="")
