"""A made-up trainee who takes the whole path honestly, at the speed of people.

The practice is the real one; only its clock and these times are made up.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import log2
from random import Random

from trainee_model import STEP, Learner

from kiosk.catalog.base.notes import Message
from kiosk.catalog.model.house import SignOffRule
from kiosk.plan.group import plan_families
from kiosk.plan.model import Plan
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.events_station import QuizAnswered
from kiosk.train.practice.levels import HelpLevel
from kiosk.train.practice.practice_words import PracticePage
from kiosk.train.practice.session import Session
from kiosk.train.practice.sign_off import criteria, is_ready
from kiosk.train.practice.slips import PlantedSlip
from kiosk.train.question import Subject
from kiosk.train.quiz import ask_one, examine
from kiosk.words import Words

WORDS_A_SECOND = 2.5
"""150 words a minute: read with care, standing. Silent reading of prose at a desk is about 238
(Brysbaert, J. Memory and Language 2019, from memory).
"""
THINKS = (2.0, 6.0)  # seconds over a question before an answer; guess
LOOKS = (5.0, 11.0)  # seconds over a bench of some ten things, half a second to one each; guess
QUICKER = 0.9  # of that at each doubling of benches looked at (learning curves of work by hand and
# eye are 0.8 to 0.95, from memory); never below LEAST_LOOK
LEAST_LOOK = 3.0
TOUCH = 1.2  # seconds for a finger to a large target and back; guess
SETTLES = (4.0, 10.0)  # seconds between two garments: reading the result, starting again; guess
MENU = 15.0  # seconds from the list to a garment or a quiz; guess
SEES = 0.93  # of the slips; guess
KNOWS = 0.85  # of the quiz, right away; guess
ALONE_A_DAY = 14  # garments alone in a day at most

SAY = Words()


def reads(messages: Iterable[Message]) -> float:
    """Return the seconds to read these sentences."""
    return sum(len(SAY.say(each).split()) for each in messages) / WORDS_A_SECOND


class Honest(Learner):
    """Reads every page once, looks at every bench, sees most of what is wrong."""

    def __init__(self, plan: Plan, subject: Subject, rule: SignOffRule, seed: int) -> None:
        # Separate random numbers, so that a longer sentence does not change who sees what.
        self.dice, self._eyes, self._mind, self._quizzed = (
            Random(f"{seed}/{what}") for what in ("times", "slips", "answers", "quiz")
        )
        super().__init__(plan, self.mistaken, f"H{seed}", self.notices)
        self.subject = subject
        self.rule = rule
        self.family = plan_families(plan)[-1]
        self.worked = 0.0
        self.benches = 0
        self._page: object = None
        self._until = 0.0

    def mistaken(self, asked: PracticePage) -> bool:
        return self._mind.random() < 0.08

    def notices(self, put: PlantedSlip) -> bool:
        return self._eyes.random() < SEES

    def act(self, session: Session) -> None:
        """Act only after reading what is new on the screen."""
        page = self._shown(session)
        if page != self._page:
            self._page, self._until = page, self.clock + self._takes(session)
        if self.clock >= self._until:
            super().act(session)

    def _shown(self, session: Session) -> object:
        spot = session.spot
        if session.page is not None or spot is None:
            view = session.view()
            return session.page, view.move.id, view.kind
        return spot, len(session.run.slips_at(spot))

    def _takes(self, session: Session) -> float:
        asked, think = session.page, self.dice.uniform(*THINKS)
        if asked is not None:
            told = (asked.title, *asked.lines, *asked.choices)
            return reads(told) + TOUCH + (think if len(asked.choices) > 1 else 0.0)
        if session.spot is not None:
            self.benches += 1
            quick: float = QUICKER ** log2(self.benches)
            return max(LEAST_LOOK, self.dice.uniform(*LOOKS) * quick) + TOUCH
        view = session.view()
        if session.level is HelpLevel.WATCH or view.kind is ScreenKind.HEAT:
            return 0.0  # a watched step goes on by itself
        return reads((view.move, *view.lines)) + TOUCH

    # -- the path ---------------------------------------------------------

    def walk(self) -> tuple[int, float]:
        """Walk the path until a sign-off may be asked for; return the days and minutes it took."""
        began = self.clock
        for day in range(1, 6):
            self.clock += MENU
            while set(self.trainee.levels.values()) != {HelpLevel.OWN} or not self.trainee.levels:
                self._garment(alone=False)
            for _ in range(ALONE_A_DAY):
                self._garment(alone=True)
                if not self._met("quiz"):
                    self._quiz()
                if self._done(day):
                    break
            self.worked += self.clock - began
            if is_ready(self.trainee, self.family, self.rule):
                return day, self.worked / 60
            self.clock += 20 * 3600
            began = self.clock
        return 0, self.worked / 60

    def _met(self, *names: str) -> bool:
        asked = criteria(self.trainee, self.family, self.rule)
        return all(each.met for each in asked if each.name in names or not names)

    def _done(self, day: int) -> bool:
        """Whether nothing more can be shown today."""
        one_day = day == 1 and self._met("steps", "garments", "slips", "kinds", "quiz")
        return one_day or self._met()

    def _garment(self, alone: bool) -> None:
        self.practise(alone)
        self.clock += self.dice.uniform(*SETTLES)

    def _quiz(self) -> None:
        """Answer ten questions, reading each with its answers and the explanation."""
        self.clock += MENU
        questions = examine(self.subject, self.trainee.boxes, f"{len(self.record)}")
        for nth, each in enumerate(questions):
            asked = ask_one(self.subject, each.kind, self._quizzed) if nth % 4 == 3 else each
            if asked is None:
                continue
            told = (asked.ask, *(option.text for option in asked.options))
            self.clock += reads(told) + self.dice.uniform(*THINKS) + TOUCH
            right = self._quizzed.random() < KNOWS
            self.clock += reads(asked.right.why) + TOUCH
            families = plan_families(self.plan)
            self.record.append(QuizAnswered(self.now, self.operator, asked.kind, right, families))


__all__ = ["STEP", "Honest"]
