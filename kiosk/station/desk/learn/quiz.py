"""A quiz under way: one question after the other, a page each."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kiosk.station.desk.sheet import Button, Page, Sheet
from kiosk.train.quiz import QuizQuestion
from kiosk.words import Words

if TYPE_CHECKING:
    from kiosk.station.desk.desk import Desk


@dataclass
class Quiz:
    """The questions of one quiz; `chosen` is the answer given to the one at hand, -1 for none."""

    questions: tuple[QuizQuestion, ...]
    at: int = 0
    chosen: int = -1
    right: int = 0

    @property
    def question(self) -> QuizQuestion | None:
        """The question at hand, None at the end."""
        return self.questions[self.at] if self.at < len(self.questions) else None

    def choose(self, option: int) -> bool | None:
        """Answer the question at hand, once; return whether it was right."""
        if self.question is None or self.chosen >= 0:
            return None
        self.chosen = option
        right = self.question.options[option].right
        self.right += right
        return right

    def go_on(self) -> None:
        """Turn to the next question."""
        self.at += 1
        self.chosen = -1


def quiz(desk: Desk, words: Words) -> Sheet:
    """The question at hand, its answer, or the end."""
    made = desk.practice.quiz
    question = None if made is None else made.question
    if made is None or question is None:
        return _end(desk, words, made)
    if made.chosen >= 0:
        return _answered(desk, words, made, question)

    def choose(nth: int) -> Callable[[], None]:
        return lambda: desk.practice.choose(nth)

    options = enumerate(question.options)
    return Sheet(
        title=words("quiz.title", nth=made.at + 1, count=len(made.questions)),
        lines=(words.say(question.ask),),
        choices=tuple(Button(words.say(o.text), choose(n)) for n, o in options),
        left=_back(desk, words),
        practice=True,
    )


def _answered(desk: Desk, words: Words, made: Quiz, question: QuizQuestion) -> Sheet:
    chosen, right = question.options[made.chosen], question.right
    title = words("quiz.is_right")
    if not chosen.right:
        title = words("quiz.is_wrong", right=words.say(right.text))
    return Sheet(
        title=title,
        lines=(
            words.say(question.ask),
            f"{words.say(chosen.text)}:",
            *(words.say(why) for why in chosen.why),
        ),
        main=Button(words("quiz.next"), desk.practice.next_question),
        left=_back(desk, words),
        practice=True,
    )


def _end(desk: Desk, words: Words, made: Quiz | None) -> Sheet:
    count = 0 if made is None else len(made.questions)
    line = words("quiz.none")
    if made is not None and count:
        line = words("quiz.score", right=made.right, count=count)
    return Sheet(
        title=words("quiz.end"),
        lines=(line,),
        main=Button(words("practice.again"), desk.practice.begin_quiz) if count else None,
        left=_back(desk, words),
        practice=True,
    )


def _back(desk: Desk, words: Words) -> Button:
    return Button(words("practice.menu_back"), lambda: desk.go(Page.PRACTICE_HOW))
