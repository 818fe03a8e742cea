"""May this be done now, and what happens then."""

from __future__ import annotations

from kiosk.run.commands import Command
from kiosk.run.events import Event
from kiosk.run.model import Now, Refusal, State


def decide(state: State, command: Command, now: Now) -> tuple[Event, ...] | Refusal:
    """Return the events that `command` makes at `now`, or a refusal, which changes nothing."""
    raise NotImplementedError
