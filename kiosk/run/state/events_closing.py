"""What a person says of a closing afterwards: it never was, or it was without a tap."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.run.state.event import Event


@dataclass(frozen=True, slots=True)
class NeverClosed(Event):
    """A closing whose time was counted had never been: no heat, the ticket is where it was."""

    ticket: str
    step: int


@dataclass(frozen=True, slots=True)
class ToldPressed(Event):
    """A ticket was pressed on hot step `step` without a tap; a person told `heat_seconds` after.

    It confirms the hand steps `first`..`step - 1`, and `racked`, as `Closed` does. `again` on a
    second final that a supervisor allowed.
    """

    ticket: str
    first: int
    step: int
    heat_seconds: float
    racked: str = ""
    again: bool = False
