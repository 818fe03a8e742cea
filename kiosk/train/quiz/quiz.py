"""Questions made from the catalog itself: they stay true when a sheet changes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from random import Random

from kiosk.catalog.model import Catalog, Job
from kiosk.plan.model import Plan
from kiosk.train.quiz.garment import sheet_or_not, what_first, which_hand, which_turns
from kiosk.train.quiz.question import QuizQuestion, Subject
from kiosk.train.quiz.settings import what_else_changes, which_setting

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
    return {
        "both": which_setting,
        "hotter": what_else_changes,
        "sheet": sheet_or_not,
        "first": what_first,
        "hand": which_hand,
        "turn": which_turns,
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
