"""A made-up trainee who reads what practice shows, and slips as often as the test says."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from random import Random

from catalog_jobs import planned

from kiosk.plan.model import Plan
from kiosk.run.facts.moves import required_setting
from kiosk.run.facts.questions import ScreenKind, question_at_hand
from kiosk.run.state import commands as c
from kiosk.run.state.event import Event, Now
from kiosk.run.state.model import Garment
from kiosk.train.practice.bench import Bench, WorkPosition
from kiosk.train.practice.levels import NEW, Trainee, trained
from kiosk.train.practice.practice_words import PracticePage
from kiosk.train.practice.rehearsal import PracticeWish
from kiosk.train.practice.session import Session
from kiosk.train.practice.slips import PlantedSlip

Slips = Callable[[PracticePage], bool]
Eye = Callable[[PlantedSlip], bool]
Taps = Callable[[Bench], Iterable[str]]
GARMENT = Garment("1", "16", "AM", "digest")
NAME = "ORSAVEL"
STEP = 0.5  # seconds from one look at the screen to the next
PATIENCE = 6000


def steady(asked: PracticePage) -> bool:
    return False


def nothing(bench: Bench) -> Iterable[str]:
    return ()


def sharp(put: PlantedSlip) -> bool:
    return True


def blind(put: PlantedSlip) -> bool:
    return False


class Learner:
    """Initials, a record, a clock; `slips` says which answers go wrong, `sees` what is noticed."""

    def __init__(
        self,
        plan: Plan,
        slips: Slips = steady,
        operator: str = "TR",
        sees: Eye = sharp,
        touches_all: bool = False,
        taps: Taps = nothing,
    ) -> None:
        self.plan = plan
        self.slips = slips
        self.sees = sees
        self.taps: Taps = Bench.things if touches_all else taps
        self.operator = operator
        self.clock = 100.0
        self.record: list[Event] = []
        self.asked: list[PracticePage] = []
        self.hasty = False  # peels before it is due
        self.looked: list[tuple[PlantedSlip, Session]] = []
        self.tried: list[WorkPosition] = []

    @property
    def now(self) -> Now:
        return Now("boot", self.clock, 1_800_000_000.0 + self.clock)

    @property
    def trainee(self) -> Trainee:
        return trained(self.record).get(self.operator, NEW)

    def begin(self, alone: bool = False) -> Session:
        wish = PracticeWish(self.plan, GARMENT, self.operator, alone=alone, name=NAME)
        return Session(wish, self.trainee, self.now, self.record.append, str)

    def practise(self, alone: bool = False) -> Session:
        """Practise one garment from load to its end."""
        self.tried = []
        session = self.begin(alone)
        for _ in range(PATIENCE):
            if session.ended:
                return session
            self.clock += STEP
            session.tick(self.now)
            self.act(session)
        raise AssertionError(f"never ended: {session.press.kind(session.now)}")

    def act(self, session: Session) -> None:
        if session.ended:
            return
        if session.page is not None:
            self.answer(session, session.page)
            return
        if session.level == 0:  # it plays by itself
            return
        kind, job = session.press.kind(session.now), session.press.state.job
        assert job is not None
        if session.spot is not None:
            self.look(session)
            return
        if kind is ScreenKind.SETTING:
            session.act(c.ReadSetting(required_setting(job) or 0))
        elif kind is ScreenKind.ASK:
            question = question_at_hand(job)
            assert question is not None
            session.act(c.AnswerQuestion(question.right))
        elif kind is not ScreenKind.HEAT:
            meaning = session.press.meaning(session.now)
            waits = session.press.waits_until(session.now) is not None
            if meaning is not None and (self.hasty or not waits):
                session.act(c.Forward(meaning, self.clock))

    def look(self, session: Session) -> None:
        """At the bench: touch what is noticed, otherwise go on once it is time."""
        spot, bench = session.spot, session.bench()
        assert spot is not None
        assert bench is not None
        if spot not in self.tried:
            self.tried.append(spot)
            for thing in self.taps(bench):
                session.touch(thing)
        for put in session.run.slips_at(spot):
            if (put, session) not in self.looked:
                self.looked.append((put, session))
                if self.sees(put):
                    thing = next(each for each in bench.things() if put.found_by(each))
                    session.touch(thing)
                    return
        if self.hasty or session.press.waits_until(session.now) is None:
            session.go_on(self.clock)

    def answer(self, session: Session, asked: PracticePage) -> None:
        self.asked.append(asked)
        wrong = len(asked.choices) > 1 and self.slips(asked)
        session.answer((asked.right + 1) % len(asked.choices) if wrong else asked.right)


def now_and_then(share: float, seed: int) -> Slips:
    """Slips in `share` of all answers, less and less often: each slip is learnt from."""
    dice, left = Random(seed), [share]

    def slips(asked: PracticePage) -> bool:
        happens = dice.random() < left[0]
        left[0] *= 0.9 if happens else 0.99
        return happens

    return slips


def layered() -> Plan:
    return planned("two-layer-pair")
