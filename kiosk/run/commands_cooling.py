"""What is asked of the station about garments that cool; part of `commands`."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.run.cooling import Estimate, Feels, Kept, Lies, PadHeat, Taught


@dataclass(frozen=True, slots=True)
class GiveEstimate:
    """When a ticket's peels are due, as it was computed beside the tapping."""

    ticket: str
    estimate: Estimate
    pad: PadHeat | None


@dataclass(frozen=True, slots=True)
class SayPlace:
    """Where a ticket cools: lifted, or on the pad."""

    ticket: str
    lies: Lies


@dataclass(frozen=True, slots=True)
class Touch:
    """How warm a ticket's piece feels, or what a thermometer shows."""

    ticket: str
    feels: Feels
    celsius: float | None = None


@dataclass(frozen=True, slots=True)
class Learn:
    """What an event of a ticket's peel teaches, as it was computed; fields as in the event."""

    ticket: str
    lies: Lies
    taught: Taught
    seen_seconds: float
    ready_seconds: float
    spread: float
    kept: Kept
    low: float
    factor: float
    high: float


@dataclass(frozen=True, slots=True)
class ResetLearning:
    """A supervisor has everything forgotten that was learned of one way of cooling."""

    lies: Lies
    supervisor: str
