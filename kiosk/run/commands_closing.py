"""What a person says of a closing afterwards."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SayNeverClosed:
    """The last closing, whose time is up, never was."""


@dataclass(frozen=True, slots=True)
class SayPressed:
    """The garment at hand was pressed without a tap, for so many seconds."""

    seconds: float
