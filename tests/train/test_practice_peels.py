"""Taking a carrier off in practice: too early and too late are shown, and count."""

from __future__ import annotations

import pytest
from catalog_jobs import planned
from trainee_model import STEP, Learner, layered

from kiosk.plan.model import Phase
from kiosk.run.facts.questions import ScreenKind
from kiosk.train.practice.levels import HelpLevel
from kiosk.train.practice.session import Session
from kiosk.words import Words

WORDS = Words()


class Slow(Learner):
    """A trainee who is busy with something else when the peel is due."""

    waits = 0.0

    def act(self, session: Session) -> None:
        at, job = session.press.current_work(session.now), session.press.state.job
        racked = at is None and job is not None and bool(job.rack)
        peels = racked or (at is not None and at.passage.steps[at.move.first].phase is Phase.PEEL)
        due = session.press.waits_until(session.now) is None and session.page is None
        hands = due and session.press.kind(session.now) is ScreenKind.HANDS
        if peels and hands and self.waits > 0 and session.level > HelpLevel.WATCH:
            self.waits -= STEP
        else:
            super().act(session)


@pytest.mark.parametrize(
    "level", [HelpLevel.GUIDED, HelpLevel.PROMPTED, HelpLevel.RECALL, HelpLevel.OWN]
)
@pytest.mark.parametrize("late", [True, False])
def test_peeling_hot_film_long_after_it_was_due_shows_the_consequence(
    level: HelpLevel, late: bool
) -> None:
    """Hot film left to cool tears its carrier or comes up with it (common practice)."""
    learner = Slow(planned("cool-pair"))
    for _ in range(level):
        learner.practise()
    learner.waits, learner.asked = 60.0 if late else 0.0, []
    session = learner.practise(alone=level is HelpLevel.OWN)
    told = [each.outcome.word for each in learner.asked if each.outcome is not None]
    assert told == (["late"] if late else [])
    assert session.help.clean is not late


def test_a_warm_peel_can_be_late_and_a_cold_one_cannot() -> None:
    told = {}
    for recipe in ("plush-pair", "elastic-pair"):  # cold; warm
        learner = Slow(planned(recipe, "brushed-sweat" if recipe == "plush-pair" else "deck-knit"))
        learner.waits = 1200.0
        session = learner.practise(alone=True)
        told[recipe] = session.help.clean
    assert told == {"plush-pair": True, "elastic-pair": False}


def test_peeling_before_it_is_due_is_refused_with_the_consequence() -> None:
    learner = Learner(planned("plush-pair", "brushed-sweat"))
    session = learner.begin(alone=True)
    while session.press.waits_until(session.now) is None or session.press.state.heat is not None:
        learner.clock += STEP
        session.tick(learner.now)
        learner.act(session)
    happened, refusal = session.go_on(learner.clock)
    assert happened == ()
    assert refusal is not None
    said = WORDS.say(refusal)
    assert said.startswith("Too early: ")
    assert said.endswith("Peeled now: Film comes up with the carrier, or pulls thin.")
    while not session.ended:
        learner.clock += STEP
        session.tick(learner.now)
        learner.act(session)
    assert not session.help.clean


def test_the_practice_clock_stops_during_a_question() -> None:
    """Work never asks questions: a peel is not late because a question was read."""
    learner = Learner(layered())
    session = learner.begin(alone=True)
    while session.page is None:
        learner.clock += STEP
        session.tick(learner.now)
        learner.act(session)
    before = session.now.clock
    learner.clock += 30.0
    session.tick(learner.now)
    assert session.now.clock == before
    while session.page is not None:
        session.answer(session.page.right)
    learner.clock += STEP
    session.tick(learner.now)
    assert session.now.clock > before
