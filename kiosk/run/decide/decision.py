"""What a command comes to."""

from __future__ import annotations

from kiosk.catalog.base import Message, Value
from kiosk.run.state.events import Event
from kiosk.run.state.model import Refusal

Decision = tuple[Event, ...] | Refusal
"""The events of a command, or why it is turned away."""


def refuse(why: str, **values: Value) -> Refusal:
    """Return the refusal whose sentence is `refuse.<why>`."""
    return Refusal(Message(f"refuse.{why}", values))
