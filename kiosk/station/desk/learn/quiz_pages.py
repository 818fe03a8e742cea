"""Pages of the quiz: what is asked, what the answer was worth and why, and how it went."""

from collections.abc import Callable

from kiosk.station.desk.desk import Desk
from kiosk.station.desk.learn.practice import Practice
from kiosk.station.desk.sheet import Button, Page, Sheet
from kiosk.train.question import QuizQuestion
from kiosk.train.quiz import Quiz
from kiosk.words import Words


def quiz(desk: Desk, words: Words) -> Sheet:
    """The question at hand, its answer, or the end."""
    made = desk.of(Practice).quiz
    question = None if made is None else made.question
    if made is None or question is None:
        return _end(desk, words, made)
    if made.chosen >= 0:
        return _answered(desk, words, made, question)

    def choose(nth: int) -> Callable[[], None]:
        return lambda: desk.of(Practice).choose(nth)

    options = enumerate(question.options)
    return Sheet(
        title=words("quiz.title", nth=made.at + 1, count=len(made.questions)),
        headline=words.say(question.ask),
        choices=tuple(Button(words.say(o.text), choose(n)) for n, o in options),
        left=_back(desk, words),
        practice=True,
    )


def _answered(desk: Desk, words: Words, made: Quiz, question: QuizQuestion) -> Sheet:
    chosen, right = question.options[made.chosen], question.right
    judged = words("quiz.is_right")
    if not chosen.right:
        judged = words("quiz.is_wrong", right=words.say(right.text))
    return Sheet(
        title=words.say(question.ask),
        headline=judged,
        second=words("quiz.chosen", text=words.say(chosen.text)),
        lines=tuple(words.say(why) for why in chosen.why),
        main=Button(words("quiz.next"), desk.of(Practice).next_question),
        left=_back(desk, words),
        practice=True,
    )


def _end(desk: Desk, words: Words, made: Quiz | None) -> Sheet:
    count = 0 if made is None else len(made.questions)
    score = words("quiz.none")
    if made is not None and count:
        score = words("quiz.score", right=made.right, count=count)
    return Sheet(
        title=words("quiz.end"),
        headline=score,
        lines=(words("quiz.common"),),
        main=Button(words("practice.again"), desk.of(Practice).begin_quiz) if count else None,
        left=_back(desk, words),
        practice=True,
    )


def _back(desk: Desk, words: Words) -> Button:
    return Button(words("practice.menu_back"), lambda: desk.go(Page.PRACTICE_HOW))
