"""Questions made from the catalog itself."""

# fmt: off
from kiosk.train.quiz.question import QuizQuestion
from kiosk.train.quiz.quiz import quiz, subject_of

__all__ = [
    "QuizQuestion", "quiz", "subject_of",
]
