"""How a station is heard and worked: sounds, voice, vibration, and the keys it has learned."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.run.event import Event
from kiosk.run.model import Role


@dataclass(frozen=True, slots=True)
class CuesSet(Event):
    """Which of its cues the station gives from here on."""

    tones: bool
    voice: bool
    vibration: bool


@dataclass(frozen=True, slots=True)
class KeyLearned(Event):
    """A key of a pedal or of a switch was pressed to show it: its scancode (USB HID usage)."""

    role: Role
    scancode: int


@dataclass(frozen=True, slots=True)
class KeysForgotten(Event):
    """All learned keys are gone; those that the program knows hold again."""
