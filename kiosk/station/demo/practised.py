"""The demo's practice: a trainee watches, works alone, answers the quiz, and is signed off."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from kiosk.run.facts import Kind, question_at_hand
from kiosk.station.demo.hands import READS, Hands, NotShown
from kiosk.station.desk.learn.practice import Practice
from kiosk.station.desk.sheet import Page
from kiosk.station.glass.inputs.press import LONG_SECONDS
from kiosk.train.practice import Session

Shot = Callable[[str], None]
LAYERED = "Orsavel raft polo"


class PracticeDay:
    """Practises with `hands`; `shot` is called with a name for each screen worth seeing."""

    def __init__(self, hands: Hands, shot: Shot) -> None:
        self.hands = hands
        self._shot = shot
        self._seen: set[str] = set()

    def shot(self, name: str) -> None:
        """A picture of each screen once."""
        if name not in self._seen:
            self._seen.add(name)
            self._shot(name)

    @property
    def session(self) -> Session:
        """What is being practised."""
        session = self.hands.station.desk.of(Practice).session
        if session is None:
            raise NotShown("a practised garment")
        return session

    @property
    def page(self) -> Page:
        """The page that is up."""
        return self.hands.station.desk.page

    def play(self) -> None:
        """From the list of jobs and back to it."""
        self.watch()
        self.alone()
        self.quiz()
        self.hands.touch("to the choice", "back", "leave")

    def watch(self) -> None:
        """The first garment plays by itself; it is left after a few steps."""
        hands, shot = self.hands, self.shot
        hands.touch("Practice")
        shot("practice-jobs")
        hands.touch("My progress")
        shot("practice-progress")
        hands.touch("two-layer")
        shot("practice-family")
        hands.touch("times")
        shot("practice-times")
        hands.touch("back", "back", "back", LAYERED)
        shot("practice-how")
        hands.touch("With help")
        self.until(lambda: self.session.view().kind is Kind.HANDS)
        shot("practice-watch")
        self.stop()

    def stop(self) -> None:
        """Hold, and stop practising."""
        hands = self.hands
        hands.side(right=True)
        hands.touch("Stop practising")

    def alone(self) -> None:
        """One garment as at work, slips put in: one of them is missed."""
        self.hands.touch(LAYERED, "On my own")
        self.garment(miss=1)
        self.shot("practice-ended")
        self.hands.touch("to the choice")

    def garment(self, miss: int = 0) -> None:
        """Practise until the garment's end; `miss` so many slips on the way."""
        missed = 0
        while self.page is Page.PRACTISE:
            asked = self.session.asked
            if asked is not None and self.hands.station.sheet is not None:
                slip = asked.look is not None and asked.look.slip is not None
                wrong = slip and missed < miss
                missed += wrong
                name = "explained" if len(asked.choices) == 1 else "look"
                self.shot(f"practice-{asked.look.name if asked.look else name}")
                self.answer(wrong)
            else:
                self.move_on()

    def answer(self, wrong: bool) -> None:
        """Touch what is right, or not."""
        asked = self.session.asked
        if asked is None:
            return
        right = (asked.right + wrong) % len(asked.choices)
        self.hands.touch(self.hands.station.words.say(asked.choices[right]))

    def move_on(self) -> None:
        """The next thing that the practice screen asks for."""
        hands, view = self.hands, self.session.view()
        if view.kind is Kind.ASK:
            job = self.session.press.state.job
            question = None if job is None else question_at_hand(job)
            right = "" if question is None else question.right
            pad = view.ask is not None and view.ask.pad
            hands.touch(*((*right, "enter") if pad else (right,)))
        elif view.kind is Kind.HEAT or view.bar.meaning is None or self.session.level == 0:
            hands.stage.pass_time(0.5)
        else:
            self.shot("practice-own")
            hands.stage.pass_time(self.works())
            if self.session.asked is None:  # else a page came up meanwhile
                hands.bar(0.0)

    def works(self) -> float:
        """The seconds that the move at hand takes at the least."""
        return max(READS, self.session.missing() + 0.1)

    def quiz(self) -> None:
        """One question right, the next one wrong, then the end."""
        hands, practice = self.hands, self.hands.station.desk.of(Practice)
        hands.touch("Quiz")
        self.shot("quiz")
        made = practice.quiz
        if made is None:
            raise NotShown("the quiz")
        wrong = False
        while made.question is not None:
            options = made.question.options
            chosen = next(o for o in options if o.right is not wrong)
            hands.touch(hands.station.words.say(chosen.text))
            self.shot(f"quiz-{'wrong' if wrong else 'right'}")
            hands.touch("Next question")
            wrong = True
        self.shot("quiz-done")

    def until(self, reached: Callable[[], bool], most: float = 60.0) -> None:
        """Let time pass until something is reached."""
        end = self.hands.stage.now + most
        while not reached():
            if self.hands.stage.now > end:
                raise NotShown(f"in {most} s; now {self.session.view().kind}")
            self.hands.stage.pass_time(0.5)


if TYPE_CHECKING:
    from kiosk.station.demo.worker import Worker


def look_at_choices(worker: Worker) -> None:
    """Close once, then look at each page that a long press, back one and hold lead to."""
    hands, shot = worker.hands, worker.shot
    hands.bar()
    hands.until_open()
    hands.stage.wait(1.0)
    hands.stage.tap(*hands._foot().bar.centre, seconds=LONG_SECONDS + 0.1)
    shot("choices")
    hands.touch("Go on")
    hands.side(right=False)
    shot("was-it-closed")
    number = hands.view.number
    hands.touch(f"{number} is already pressed")
    shot("told")
    hands.touch("back")
    hands.stage.wait(READS)
    hands.side(right=True)
    shot("held-in-mid-garment")
    hands.touch("Put the job back")
    shot("clear-platen")
    hands.touch("back")
