"""One question of the quiz, its options, and what it is asked about."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from random import Random

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import Fabric, Material, Policy, Press, Recipe
from kiosk.plan.model import Plan

MOST_WRONG = 3


@dataclass(frozen=True, slots=True)
class Option:
    """An answer to choose; `why` explains it line by line: the solver's reason if it is wrong."""

    text: Message
    right: bool
    why: tuple[Message, ...]


@dataclass(frozen=True, slots=True)
class QuizQuestion:
    """A question of a kind with exactly one right option among two or more, shuffled."""

    kind: str
    ask: Message
    options: tuple[Option, ...]

    @property
    def right(self) -> Option:
        """The right option."""
        return next(option for option in self.options if option.right)


@dataclass(frozen=True, slots=True)
class Subject:
    """What is asked about: a job's recipe, cloth and press, and the plan that they come to."""

    recipe: Recipe
    fabric: Fabric
    press: Press
    policy: Policy
    materials: Mapping[str, Material]
    plan: Plan
    numbers: tuple[str, ...] = ()


def question(
    kind: str, ask: Message, right: Option, wrong: Sequence[Option], dice: Random
) -> QuizQuestion | None:
    """Return the question with up to three of `wrong`, all said differently; None without any."""
    others = {(o.text.id, *o.text.values.items()): o for o in wrong if o.text != right.text}
    taken = dice.sample(list(others.values()), min(MOST_WRONG, len(others)))
    if not taken:
        return None
    options = [right, *taken]
    dice.shuffle(options)
    return QuizQuestion(kind, ask, tuple(options))


def plain(text: str) -> Message:
    """Return an option that is only a number or a word."""
    return say("quiz.plain", text=text)
