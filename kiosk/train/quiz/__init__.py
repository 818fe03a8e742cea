"""Questions made from the catalog itself, and on what hurts."""

# fmt: off
# isort: skip_file
from kiosk.train.quiz.question import QuizQuestion
from kiosk.train.quiz.quiz import ask_one, examine, quiz, subject_of
