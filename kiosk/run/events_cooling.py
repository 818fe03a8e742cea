"""What happened to garments that cool, and what was learned from them; part of `events`."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.run.cooling import Estimate, Feels, Kept, Lies, PadHeat, Taught
from kiosk.run.event import Event


@dataclass(frozen=True, slots=True)
class PeelEstimated(Event):
    """When a ticket's peels are due, by its own history of heat.

    `pad` as it leaves the press; None where only a word or a lesson changed the estimate.
    """

    ticket: str
    estimate: Estimate
    pad: PadHeat | None


@dataclass(frozen=True, slots=True)
class PlaceSaid(Event):
    """A person said where a ticket cools: lifted off the platen, or left on its pad."""

    ticket: str
    lies: Lies


@dataclass(frozen=True, slots=True)
class Touched(Event):
    """A person felt, or measured (`celsius`), how warm a ticket's piece is."""

    ticket: str
    feels: Feels
    celsius: float | None = None


@dataclass(frozen=True, slots=True)
class PeelLearned(Event):
    """What a ticket's peel, touch or reading taught, and what is known since.

    Seconds after opening: when it was seen, and what the model alone says for it. `low`,
    `factor` and `high` are β's middle and 80 % range after it.
    """

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
class LearningReset(Event):
    """A supervisor had everything forgotten that was learned of one way of cooling."""

    lies: Lies
    supervisor: str
