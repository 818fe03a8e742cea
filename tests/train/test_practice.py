"""Practice: help fades step by step, comes back for the step that failed, and leads to sign-off."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from random import Random

import pytest
from catalog_jobs import catalog, planned
from trainee_model import Eye, Learner, Slips, blind, layered, now_and_then, sharp, steady

from kiosk.catalog.model.house import rule_of
from kiosk.plan.model import Phase
from kiosk.report.stats import unit_time
from kiosk.run.state.event import Now
from kiosk.run.state.events_station import GarmentPractised, QuizAnswered, SlipShown, StepPractised
from kiosk.train.practice.coach import Asked
from kiosk.train.practice.levels import (
    Level,
    Practised,
    Trainee,
    criteria,
    curve,
    is_ready,
    slips_told,
    timed,
)
from kiosk.words import Words

FAMILY = "two-layer"
RULE = rule_of(catalog().sign_off, FAMILY)
WORDS = Words()
HOUR = 3600.0


def levels(learner: Learner) -> dict[str, Level]:
    return {step: level for (_, step), level in learner.trainee.levels.items()}


def border(asked: Asked) -> bool:
    return asked.look is not None and asked.look.name == "border"


def test_help_fades_for_every_step_from_watch_to_own() -> None:
    learner = Learner(layered())
    seen = []
    for _ in range(5):
        session = learner.begin()
        seen.append(session.level)
        learner.practise()
        session.ended = True
    assert seen == list(Level)
    assert set(levels(learner).values()) == {Level.OWN}
    assert len(levels(learner)) == len(layered().passes[0].steps)


def test_a_garment_that_was_only_watched_is_none() -> None:
    learner = Learner(layered())
    learner.practise()
    assert not [e for e in learner.record if isinstance(e, GarmentPractised)]
    assert set(levels(learner).values()) == {Level.GUIDED}


def test_a_trainee_who_slips_now_and_then_reaches_sign_off() -> None:
    dice = Random(5)
    learner = Learner(layered(), now_and_then(0.25, seed=5), sees=lambda put: dice.random() > 0.2)
    for _ in range(80):
        learner.clock += 3 * HOUR
        learner.practise()
        learner.record.append(QuizAnswered(learner.now, "TR", "turn", True, (FAMILY,)))
        if is_ready(learner.trainee, FAMILY, RULE):
            break
    assert is_ready(learner.trainee, FAMILY, RULE)
    assert any(not e.right for e in learner.record if isinstance(e, StepPractised))


def test_one_who_keeps_failing_border_checks_gets_that_help_back_only() -> None:
    learner = Learner(layered(), border)
    for _ in range(9):
        learner.practise()
    found = levels(learner)
    checked = found.pop("lay top layer 1")
    assert checked <= Level.GUIDED
    assert set(found.values()) == {Level.OWN}
    assert not is_ready(learner.trainee, FAMILY, RULE)


def test_a_failed_step_gets_its_help_back_at_once() -> None:
    learner = Learner(layered())
    for _ in range(3):
        learner.practise()
    session = learner.begin()
    while session.asked is None or session.asked.title.id != "practice.what_next":
        learner.clock += 0.5
        session.tick(learner.now)
        learner.act(session)
    asked = session.asked
    before = [session.level]
    session.answer((asked.right + 1) % len(asked.choices))
    assert session.asked.title.id == "practice.not_so"
    assert WORDS.say(session.asked.lines[-1]) == "Help comes back for this step."
    session.answer(0)
    assert [*before, session.level] == [Level.RECALL, Level.GUIDED]


def test_alone_nobody_helps_and_most_garments_have_no_slip() -> None:
    """Sixty trainees' first garments: two of five have one slip to three, nobody knows which."""
    put = []
    for number in range(60):
        learner = Learner(layered(), operator=f"T{number}")
        session = learner.practise(alone=True)
        shown = [e for e in learner.record if isinstance(e, SlipShown)]
        put.append(len(shown))
        assert all(e.caught and e.bench for e in shown)
        assert {a.title.id for a in learner.asked} <= {"practice.why"}
        made = learner.record[-1]
        assert isinstance(made, GarmentPractised)
        assert (made.own, made.clean, session.helped.clean) == (True, True, True)
        assert made.false_alarms == 0
    assert 0.3 <= sum(count > 0 for count in put) / len(put) < 0.5
    assert set(put) == {0, 1, 2, 3}


def days(
    slips: Slips, most: int, garments: int = 12, sees: Eye = sharp, seed: int = 0
) -> tuple[Learner, int]:
    """Who slips so and practises alone day after day; on which day all is shown, 0 for never."""
    learner = Learner(layered(), slips, f"TR{seed or ''}", sees)
    for day in range(1, most + 1):
        for _ in range(garments):
            learner.practise(alone=True)
            for kind in ("turn", "first"):
                answer = QuizAnswered(learner.now, learner.operator, kind, True, (FAMILY,))
                learner.record.append(answer)
            if is_ready(learner.trainee, FAMILY, RULE):
                return learner, day
        learner.clock += 24 * HOUR
    return learner, 0


def test_who_goes_on_at_every_page_without_looking_never_comes_to_sign_off() -> None:
    learner, day = days(lambda asked: asked.right != 0, most=4, sees=blind)
    assert day == 0
    met = {each.name: each.met for each in criteria(learner.trainee, FAMILY, RULE)}
    assert not any(met[name] for name in ("slips", "kinds", "days"))


def test_who_reads_but_does_not_notice_never_comes_to_sign_off() -> None:
    """Every reason and every step known, every slip let through."""
    learner, day = days(steady, most=4, sees=blind)
    assert day == 0
    met = {each.name: each.met for each in criteria(learner.trainee, FAMILY, RULE)}
    assert met["quiz"]
    assert not any(met[name] for name in ("slips", "kinds", "days"))
    told = slips_told(learner.trainee, FAMILY)
    assert told is not None
    missed = [count.missed for count in learner.trainee.slips.values()]
    assert sum(missed) == sum(isinstance(e, SlipShown) for e in learner.record) > 20
    for count in missed:
        assert f"{count} of {count}" in WORDS.say(told)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_who_finds_nine_of_ten_slips_is_ready_on_the_second_day(seed: int) -> None:
    dice = Random(seed)
    _, day = days(steady, 4, 20, sees=lambda put: dice.random() >= 0.1, seed=seed)
    assert day == 2


def test_who_touches_everything_finds_every_slip_and_never_comes_to_sign_off() -> None:
    learner = Learner(layered(), touches_all=True)
    for _ in range(30):
        learner.practise(alone=True)
        learner.record.append(QuizAnswered(learner.now, "TR", "turn", True, (FAMILY,)))
        learner.clock += 12 * HOUR
    assert all(e.caught for e in learner.record if isinstance(e, SlipShown))
    assert all(e.false_alarms > 1 for e in learner.record if isinstance(e, GarmentPractised))
    met = {each.name: each.met for each in criteria(learner.trainee, FAMILY, RULE)}
    assert met["slips"]
    assert not met["garments"]
    assert not met["days"]


def test_the_second_day_begins_twelve_hours_later_and_on_another_date() -> None:
    """14:40 UTC, 16 h later, 5 h after that, a day after that: the third is too soon."""
    at = datetime(2027, 3, 4, 14, 40).timestamp()
    walls = [at, at + 16 * HOUR, at + 21 * HOUR]
    made = tuple(Practised((FAMILY,), 60.0, own=True, clean=True, wall=w, found=1) for w in walls)

    def counted(*garments: Practised) -> int:
        return criteria(Trainee(garments=garments), FAMILY, RULE)[5].has

    assert [counted(*made[:n]) for n in (1, 2, 3)] == [1, 2, 2]
    assert counted(*(replace(each, clean=False) for each in made)) == 0
    assert counted(*(replace(each, own=False) for each in made)) == 0
    assert counted(*(replace(each, found=0) for each in made)) == 0  # it had nothing to notice
    assert counted(*(replace(each, false_alarms=2) for each in made)) == 0
    assert counted(*(replace(each, false_alarms=1) for each in made)) == 2
    assert counted(made[0], replace(made[0], wall=at + 11.9 * HOUR)) == 1


def test_alone_at_first_every_reason_is_asked_and_a_wrong_one_keeps_the_step_open() -> None:
    learner = Learner(layered(), lambda asked: asked.why and asked.index == 0)
    learner.practise(alone=True)
    whys = [each for each in learner.asked if each.why]
    assert {each.index for each in whys} == set(range(len(layered().passes[0].steps)))
    steps = criteria(learner.trainee, FAMILY, RULE)[0]
    assert (steps.has, steps.needs) == (10, 11)
    learner.slips = lambda asked: False
    before = len(learner.asked)
    learner.practise(alone=True)
    assert [each.index for each in learner.asked[before:] if each.why] == [0]
    assert criteria(learner.trainee, FAMILY, RULE)[0].met


def test_a_false_alarm_beside_help_is_explained_at_once() -> None:
    learner = Learner(layered(), lambda asked: asked.look is not None and asked.look.slip is None)
    for _ in range(4):
        learner.practise()
    told = [a for a in learner.asked if a.title.id == "practice.not_so"]
    assert told
    assert all("" not in map(WORDS.say, each.lines) for each in told)


def test_each_step_says_why_in_one_sentence_while_there_is_help() -> None:
    learner = Learner(layered())
    session = learner.begin()
    whys: set[str] = set()
    while not session.ended:
        learner.clock += 0.5
        session.tick(learner.now)
        whys |= {line.id for line in session.view().lines if line.id.startswith("plan.why.")}
    assert whys == {step.why.id for step in layered().passes[0].steps if step.why}


@pytest.mark.parametrize(
    ("recipe", "fabric"),
    [
        ("printed-pair", "deck-knit"),
        ("plush-pair", "brushed-sweat"),
        ("both-sides", "deck-knit"),
        ("layered-number", "deck-knit"),
    ],
)
def test_every_procedure_can_be_practised_to_its_end(recipe: str, fabric: str) -> None:
    learner = Learner(planned(recipe, fabric))
    for _ in range(6):
        learner.practise()
    assert set(levels(learner).values()) == {Level.OWN}
    assert learner.practise(alone=True).helped.clean


def test_who_peels_too_soon_gets_the_help_for_the_peel_back() -> None:
    learner = Learner(planned("printed-pair"))
    learner.hasty = True
    for _ in range(6):
        learner.practise()
    found = levels(learner)
    assert found.pop("peel 1") < Level.OWN
    assert set(found.values()) == {Level.OWN}


def test_nothing_of_practice_is_an_event_of_the_station() -> None:
    learner = Learner(layered())
    learner.practise(alone=True)
    practised = (StepPractised, SlipShown, GarmentPractised)
    assert all(isinstance(event, practised) for event in learner.record)
    assert all(event.at.boot == "boot" for event in learner.record)


def test_short_times_run_through_the_sheets_own_seconds() -> None:
    """The clock shows 15 s of a final; they pass in three."""
    learner = Learner(layered())
    learner.practise()
    session = learner.begin()
    final = next(s for s in layered().passes[0].steps if s.phase is Phase.FINAL)
    began = None
    while not session.ended:
        learner.clock += 0.5
        session.tick(learner.now)
        learner.act(session)
        heat = session.press.state.heat
        if heat is not None and heat.dwell_seconds == final.seconds and began is None:
            began = learner.clock
        if began is not None and heat is None:
            break
    assert began is not None
    assert 2.5 <= learner.clock - began <= 4.5


def test_criteria_say_what_is_still_to_do() -> None:
    learner = Learner(layered())
    learner.practise(alone=True)
    said = [WORDS.say(each.line) for each in criteria(learner.trainee, FAMILY, RULE)]
    assert said[0] == "done: steps with their reason, without help: 11"
    assert said[1] == "to do: clean garments on your own in a row, 1 of 2"
    assert said[4] == "to do: right answers of the last ten on this procedure, 0 of 8"
    assert said[5] == "to do: a clean garment on another day, 1 of 2"


def test_a_garment_that_fails_begins_the_row_anew() -> None:
    learner = Learner(layered())
    rows = []
    learner.sees = blind
    for _ in range(12):
        learner.practise(alone=True)
        made = learner.record[-1]
        assert isinstance(made, GarmentPractised)
        rows.append((made.clean, criteria(learner.trainee, FAMILY, RULE)[1].has))
    assert {has for clean, has in rows if not clean} == {0}
    assert {has for clean, has in rows if clean} >= {1, 2}


def test_the_moment_of_a_note_is_the_stations() -> None:
    learner = Learner(layered())
    learner.practise(alone=True)
    assert isinstance(learner.record[0].at, Now)
    assert learner.record[-1].at.clock <= learner.clock


def test_who_could_do_a_step_alone_and_fails_it_is_guided_through_it_the_next_time() -> None:
    learner = Learner(layered())
    for _ in range(5):
        learner.practise()
    learner.sees = blind
    failed: set[str] = set()
    while not failed:
        learner.practise()
        failed = {e.step for e in learner.record if isinstance(e, StepPractised) and not e.right}
    found = levels(learner)
    assert {found.pop(step) for step in failed} == {Level.GUIDED}
    assert set(found.values()) == {Level.OWN}


def test_times_are_laid_beside_the_fitted_curve() -> None:
    """Unit model, 80 % from 100: units 2, 4, 8 take 80, 64, 51.2 (R package learningCurve)."""
    units = [unit_time(100, 0.8, n) for n in range(1, 9)]
    made = tuple(Practised((FAMILY,), seconds, own=False, clean=True) for seconds in units)
    found = timed(Trainee(garments=made), FAMILY)
    assert [found[n - 1].on_curve for n in (1, 2, 4, 8)] == pytest.approx([100, 80, 64, 51.2])
    told = WORDS.say(curve(Trainee(garments=made), FAMILY))
    assert "80 % of the time before: about 41 s at garment 16" in told
