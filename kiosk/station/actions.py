"""What the work screen asks for: commands of the run room, and things of its own."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.catalog.base import Message
from kiosk.run.state import Command


@dataclass(frozen=True, slots=True)
class ChipTouched:
    """A garment is to be looked at; an empty `ticket` ends the look."""

    ticket: str


@dataclass(frozen=True, slots=True)
class Refused:
    """Something was pressed that does nothing now: answered by a dull click."""

    because: Message | None = None


@dataclass(frozen=True, slots=True)
class Choices:
    """A long press on a light screen: what can be done beside going on."""


@dataclass(frozen=True, slots=True)
class Option:
    """Something more that can be done on hold or at the end; `action` comes back when touched."""

    label: Message
    action: object
    line: Message | None = None


Action = Command | ChipTouched | Refused | Choices
