"""Questions made from the catalog itself, and on what hurts."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.train.quiz.question import QuizQuestion
    from kiosk.train.quiz.quiz import Quiz, ask_one, examine, subject_of

__getattr__ = face(__name__)

# Called as its module is: what is loaded last has the name.
from kiosk.train.quiz.quiz import quiz
