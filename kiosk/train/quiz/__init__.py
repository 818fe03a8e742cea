"""Questions made from the catalog itself."""

# fmt: off
# isort: skip_file
from kiosk.train.quiz.question import QuizQuestion
from kiosk.train.quiz.quiz import quiz, subject_of
