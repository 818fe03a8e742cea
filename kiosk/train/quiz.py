"""Questions made from the catalog itself: they stay true when a sheet changes."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from random import Random

from kiosk.catalog.message import Message, say
from kiosk.catalog.model import Catalog, Fabric, Job, Material, Policy, Press, Recipe
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


Maker = Callable[[Subject, Random], QuizQuestion | None]


def subject_of(job: Job, catalog: Catalog, plan: Plan) -> Subject:
    """Return what can be asked about `job`. Raises KeyError where the catalog does not hold it."""
    return Subject(
        recipe=catalog.recipes[job.recipe],
        fabric=catalog.fabrics[job.fabric],
        press=catalog.presses[job.press],
        policy=catalog.policy,
        materials=catalog.materials,
        plan=plan,
        numbers=tuple(dict.fromkeys(line.number for line in job.roster if line.number)),
    )


def makers() -> Mapping[str, Maker]:
    """Return who makes which kind of question."""
    from kiosk.train import quiz_settings, quiz_shirt, quiz_steps

    return {
        "both": quiz_settings.which_setting,
        "hotter": quiz_settings.what_else_changes,
        "sheet": quiz_steps.sheet_or_not,
        "first": quiz_steps.what_first,
        "hand": quiz_shirt.which_hand,
        "turn": quiz_shirt.which_turns,
    }


def quiz(subject: Subject, seed: str, rounds: int = 1) -> tuple[QuizQuestion, ...]:
    """Return a question of each kind that the subject has one for, `rounds` times, shuffled.

    The same seed asks the same.
    """
    dice = Random(seed)
    asked: list[QuizQuestion] = []
    for _ in range(rounds):
        made = [make(subject, dice) for make in makers().values()]
        asked += [each for each in made if each is not None and each not in asked]
    dice.shuffle(asked)
    return tuple(asked)


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
