"""A quiz under way: one question after the other."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.train.quiz import QuizQuestion


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
