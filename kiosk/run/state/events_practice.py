"""What happened in practice, in a record of its own: nothing of it is in a shift's figures.

`apply` makes nothing of them: the train room folds them into what a trainee can do.
"""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.run.state.event import Event


@dataclass(frozen=True, slots=True)
class StepPractised(Event):
    """A trainee did step `step` of `family` with so much help (0 watch .. 4 own), or failed it."""

    operator: str
    family: str
    step: str
    level: int
    right: bool


@dataclass(frozen=True, slots=True)
class SlipShown(Event):
    """A slip was put in on purpose, and found or missed."""

    operator: str
    families: tuple[str, ...]
    slip: str
    caught: bool


@dataclass(frozen=True, slots=True)
class GarmentPractised(Event):
    """A garment was practised to its end: `seconds` of hands, press and rack left out.

    `own` without any help, `clean` with nothing failed or missed.
    """

    operator: str
    families: tuple[str, ...]
    seconds: float
    own: bool
    clean: bool


@dataclass(frozen=True, slots=True)
class QuizAnswered(Event):
    """A quiz question of a kind was answered."""

    operator: str
    kind: str
    right: bool


@dataclass(frozen=True, slots=True)
class SignOffAsked(Event):
    """A trainee who showed all that the shop asks for asks to be signed off for a family."""

    operator: str
    family: str
