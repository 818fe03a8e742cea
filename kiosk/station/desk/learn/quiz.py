"""The quiz at the station: its questions, each answer with its reasons, the end."""

from collections.abc import Callable
from itertools import count
from math import ceil
from random import Random

from kiosk.catalog.base import say
from kiosk.plan.group import plan_families
from kiosk.run.state import QuizAnswered
from kiosk.station.desk.cues import Cue
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.learn.practice import Practice
from kiosk.station.desk.sheet import Button, PageKind, Sheet
from kiosk.train.question import QuizQuestion
from kiosk.train.quiz import Quiz, ask_one, examine, subject_of
from kiosk.words import Words

PAUSE = 600.0  # seconds from a wrong answer to the next quiz


class Quizzes:
    """The current quiz, and those left unfinished by person, job and plan."""

    def __init__(self, desk: Desk) -> None:
        self.quiz: Quiz | None = None
        self._go = desk.go
        self._shell = desk.shell
        self._practice = desk.of(Practice)
        self._unfinished: dict[tuple[str, str, str], Quiz] = {}
        self._rounds = count()

    def begin(self) -> None:
        """Resume the unfinished quiz, or start a new one; not soon after a wrong answer.

        Otherwise a trainee who does not know an answer could leave and get another question.
        """
        practice, offer = self._practice, self._practice.offer
        key, plan_hash = ("", "") if offer is None else (offer.key, offer.plan_hash)
        unfinished = self._unfinished.get((practice.operator, key, plan_hash))
        if unfinished is None or unfinished.question is None:
            pause = practice.trainee.wrong_at + PAUSE - self._shell.now().wall
            if 0 < pause <= PAUSE:  # a clock that was set back must not block anyone
                self._shell.say(say("quiz.not_yet", minutes=ceil(pause / 60)))
                self._shell.cue(Cue.REFUSED)
                return
            unfinished = self._unfinished[practice.operator, key, plan_hash] = self._new_quiz()
        self.quiz = unfinished
        self._go(PageKind.QUIZ)

    def _new_quiz(self) -> Quiz:
        """Return a new quiz on the chosen job as its sheets are now; empty if it has no plan."""
        practice, offer = self._practice, self._practice.offer
        job = None if offer is None else practice.library.job_of(offer)
        if offer is None or offer.plan is None or job is None:
            return Quiz(())
        subject = subject_of(job, practice.library.catalog, offer.plan)
        seed = f"{practice.operator}/{self._shell.now().wall:.0f}/{next(self._rounds)}"
        dice = Random(f"{seed}/again")
        questions = examine(subject, practice.trainee.boxes, seed)
        return Quiz(questions, lambda kind: ask_one(subject, kind, dice))

    def choose(self, option: int) -> None:
        """Answer the current question, once."""
        current, practice = self.quiz, self._practice
        question = None if current is None else current.question
        right = None if current is None else current.choose(option)
        if question is None or right is None:
            return
        plan = None if practice.offer is None else practice.offer.plan
        families = () if plan is None else plan_families(plan)
        now, operator = self._shell.now(), practice.operator
        practice.record.note(QuizAnswered(now, operator, question.kind, right, families))
        if not right:
            self._shell.cue(Cue.REFUSED)

    def go_on(self) -> None:
        """Go on to the next question."""
        if self.quiz is not None:
            self.quiz.go_on()


def quiz(desk: Desk, words: Words) -> Sheet:
    """Page of the current question, its answer, or the end."""
    current = desk.of(Quizzes).quiz
    question = None if current is None else current.question
    if current is None or question is None:
        return _end(desk, words, current)
    if current.chosen >= 0:
        return _answer_page(desk, words, current, question)

    def choose(nth: int) -> Callable[[], None]:
        return lambda: desk.of(Quizzes).choose(nth)

    options = enumerate(question.options)
    return Sheet(
        title=words("quiz.title", nth=current.index + 1, count=len(current.questions)),
        headline=words.say(question.ask),
        choices=tuple(Button(words.say(o.text), choose(n)) for n, o in options),
        left=_back(desk, words),
        practice=True,
    )


def _answer_page(desk: Desk, words: Words, current: Quiz, question: QuizQuestion) -> Sheet:
    chosen, right = question.options[current.chosen], question.right
    result = words("quiz.is_right")
    if not chosen.right:
        result = words("quiz.is_wrong", right=words.say(right.text))
    return Sheet(
        title=words.say(question.ask),
        headline=result,
        second=words("quiz.chosen", text=words.say(chosen.text)),
        lines=tuple(words.say(why) for why in chosen.why),
        main=Button(words("quiz.next"), desk.of(Quizzes).go_on),
        left=_back(desk, words),
        practice=True,
    )


def _end(desk: Desk, words: Words, current: Quiz | None) -> Sheet:
    count = 0 if current is None else len(current.questions)
    score = words("quiz.none")
    if current is not None and count:
        score = words("quiz.score", right=current.right, count=count)
    return Sheet(
        title=words("quiz.end"),
        headline=score,
        lines=(words("quiz.common"),),
        main=Button(words("practice.again"), desk.of(Quizzes).begin) if count else None,
        left=_back(desk, words),
        practice=True,
    )


def _back(desk: Desk, words: Words) -> Button:
    return Button(words("practice.menu_back"), lambda: desk.go(PageKind.PRACTICE_HOW))
