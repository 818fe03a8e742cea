"""What practice asks: a look at something, the next step, and what to read after an answer."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from kiosk.catalog.base import Message, say
from kiosk.plan.model import Pass
from kiosk.train.practice.levels import Level, step_name
from kiosk.train.practice.slips import Look

MOST_CHOICES = 4
GO_ON = say("practice.go_on")


@dataclass(frozen=True, slots=True)
class Asked:
    """A page of practice: its title, its lines, and what can be chosen, one of it right.

    `index` is the step that it is about, `look` the look where it is one. With one choice it
    is only to be read.
    """

    title: Message
    lines: tuple[Message, ...]
    choices: tuple[Message, ...]
    right: int
    index: int
    look: Look | None = None


def ask_look(look: Look, level: Level) -> Asked:
    """Return the question of a look: is it as it should be? A hint while there is help."""
    hint = (look.hint,) if level <= Level.GUIDED else ()
    return Asked(
        say(f"practice.look.{look.name}"),
        (look.seen, look.asked, *hint),
        (say(f"practice.look.{look.name}.fits"), say(f"practice.look.{look.name}.stop")),
        0 if look.slip is None else 1,
        look.index,
        look,
    )


def ask_next(passage: Pass, index: int, dice: Random) -> Asked:
    """Return the question which of the procedure's steps comes next."""
    others = [n for n in range(len(passage.steps)) if n != index]
    taken = dice.sample(others, min(MOST_CHOICES - 1, len(others)))
    shown = sorted([index, *taken], key=lambda n: dice.random())
    return Asked(
        say("practice.what_next"),
        (),
        tuple(step_name(passage, n) for n in shown),
        shown.index(index),
        index,
    )


def explain(asked: Asked, passage: Pass) -> Asked:
    """Return what is to be read after a wrong answer: the right one, and why."""
    why = passage.steps[asked.index].why
    reasons: tuple[Message, ...] = (asked.choices[asked.right],)
    if asked.look is not None:
        reasons = (asked.look.seen, asked.look.asked, asked.look.hint)
    elif why is not None:
        reasons = (*reasons, why)
    missed = asked.look is not None and asked.look.slip is not None
    title = say("practice.missed" if missed else "practice.not_so")
    lines = (*reasons, say("practice.help_back"))
    return Asked(title, lines, (GO_ON,), 0, asked.index)
