"""Practice: help fades step by step, and returns for a step that failed."""

from __future__ import annotations

import pytest
from catalog_jobs import catalog, planned
from trainee_model import Learner, blind, layered

from kiosk.catalog.model.house import rule_of
from kiosk.plan.model import Phase
from kiosk.run.facts.peels import PeelZone
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.event import Now
from kiosk.run.state.events_station import GarmentPractised, SlipShown, StepPractised
from kiosk.train.practice.levels import HelpLevel
from kiosk.train.practice.practice_words import PracticePage
from kiosk.train.practice.sign_off import criteria, fading_line, is_ready
from kiosk.words import Words

FAMILY = "two-layer"
RULE = rule_of(catalog().sign_off, FAMILY)
WORDS = Words()
HOUR = 3600.0


def levels(learner: Learner) -> dict[str, HelpLevel]:
    return {step: level for (_, step), level in learner.trainee.levels.items()}


def border(asked: PracticePage) -> bool:
    return asked.look is not None and asked.look.name == "border"


def test_help_fades_for_every_step_from_watching_to_working_alone() -> None:
    learner = Learner(layered())
    seen = []
    for _ in range(5):
        session = learner.begin()
        seen.append(session.level)
        learner.practise()
        session.ended = True
    assert seen == list(HelpLevel)
    assert set(levels(learner).values()) == {HelpLevel.OWN}
    assert len(levels(learner)) == len(layered().passes[0].steps)


def test_progress_without_help_is_shown_after_each_garment() -> None:
    """Four levels of help for eleven steps (docs/practice.md): one goes with each clean garment."""
    learner = Learner(layered())
    assert fading_line(learner.trainee, FAMILY) is None
    told = []
    for _ in range(4):
        learner.practise()
        said = fading_line(learner.trainee, FAMILY)
        told.append("" if said is None else WORDS.say(said).replace("\xa0", " "))
    so_far = "steps so far: watched 11, guided {}, prompted {}, from memory 0; reason known 11"
    assert told == [so_far.format(0, 0), so_far.format(11, 0), so_far.format(11, 11), ""]


def test_a_garment_that_was_only_watched_does_not_count() -> None:
    learner = Learner(layered())
    learner.practise()
    assert not [e for e in learner.record if isinstance(e, GarmentPractised)]
    assert set(levels(learner).values()) == {HelpLevel.GUIDED}


def test_repeatedly_failing_border_checks_brings_back_only_that_help() -> None:
    learner = Learner(layered(), border)
    for _ in range(9):
        learner.practise()
    found = levels(learner)
    checked = found.pop("lay top layer 1")
    assert checked <= HelpLevel.GUIDED
    assert set(found.values()) == {HelpLevel.OWN}
    assert not is_ready(learner.trainee, FAMILY, RULE)


def test_help_returns_at_once_for_a_failed_step() -> None:
    learner = Learner(layered())
    for _ in range(3):
        learner.practise()
    session = learner.begin()
    while session.page is None or session.page.title.id != "practice.what_next":
        learner.clock += 0.5
        session.tick(learner.now)
        learner.act(session)
    asked = session.page
    before = [session.level]
    session.answer((asked.right + 1) % len(asked.choices))
    assert session.page.title.id == "practice.not_so"
    assert WORDS.say(session.page.lines[-1]) == "Help comes back for this step."
    session.answer(0)
    assert [*before, session.level] == [HelpLevel.RECALL, HelpLevel.GUIDED]


def test_alone_there_is_no_help_and_most_garments_have_no_slip() -> None:
    """Sixty trainees' first garments: at random, two of five have one to three slips."""
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
        assert (made.own, made.clean, session.help.clean) == (True, True, True)
        assert made.false_alarms == 0
    assert 0.3 <= sum(count > 0 for count in put) / len(put) < 0.5
    assert set(put) == {0, 1, 2, 3}


def test_alone_every_reason_is_asked_until_it_is_answered_correctly() -> None:
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


@pytest.mark.parametrize("load", list(HelpLevel)[1:])
@pytest.mark.parametrize("hot", HelpLevel)
def test_while_setting_the_press_its_display_is_shown_at_every_level(
    load: HelpLevel, hot: HelpLevel
) -> None:
    """Help fades step by step: loading and the first closing may have any two levels."""
    learner = Learner(layered())
    helps = {"load 1": load, "pre-press 1": hot}
    for step, level in helps.items():
        for at in range(level):
            learner.record.append(StepPractised(learner.now, "TR", FAMILY, step, at, True, True))
    assert {step: learner.trainee.level(FAMILY, step) for step in helps} == helps
    session = learner.begin()
    assert session.press.kind(session.now) is ScreenKind.SETTING
    bench = session.bench()
    shown = None if session.page is None or session.page.look is None else session.page.look.drawing
    assert shown is not None or (bench is not None and bench.degrees > 0)


def test_practice_states_the_size_that_a_real_garments_label_would_show() -> None:
    """AM is the size of the made-up trainee's garment (trainee_model.py)."""
    learner = Learner(layered())
    session = learner.begin()
    while session.view().kind is not ScreenKind.ASK:
        learner.clock += 0.5
        session.tick(learner.now)
    told = "Its label says AM: enter that size."
    ask = session.view().ask
    assert ask is not None
    assert [WORDS.say(each) for each in (ask.line, session.view().lines[0])] == [told, told]
    real = session.press.view(session.now).ask
    assert real is not None
    assert "AM" not in WORDS.say(real.line)  # at work it is read off the real one


def test_with_help_a_false_alarm_is_explained_at_once() -> None:
    learner = Learner(layered(), lambda asked: asked.look is not None and asked.look.slip is None)
    for _ in range(4):
        learner.practise()
    told = [a for a in learner.asked if a.title.id == "practice.not_so"]
    assert told
    assert all("" not in map(WORDS.say, each.lines) for each in told)


def test_with_help_a_missed_slip_is_shown_at_once_with_its_cost() -> None:
    """A beginner who learns it only at the end has forgotten what it was (common practice)."""
    learner = Learner(layered(), lambda asked: asked.look is not None)
    learner.practise()
    session, told = learner.begin(), 0
    while not session.ended:
        learner.clock += 0.5
        session.tick(learner.now)
        asked = session.page
        learner.act(session)
        if asked is None or asked.look is None or asked.look.slip is None:
            continue
        after = session.page
        assert after is not None
        assert after.put_right
        came = asked.look.outcome
        assert came is not None
        assert [after.title, after.lines[1]] == [came.say("looks"), came.say("costs")]
        told += 1
    assert told


def test_with_help_each_step_gives_its_reason() -> None:
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
        ("three-layer-number", "deck-knit"),
    ],
)
def test_every_procedure_can_be_practised_to_the_end(recipe: str, fabric: str) -> None:
    learner = Learner(planned(recipe, fabric))
    for _ in range(6):
        learner.practise()
    assert set(levels(learner).values()) == {HelpLevel.OWN}
    assert learner.practise(alone=True).help.clean


def test_peeling_too_soon_brings_back_help_for_the_peel() -> None:
    learner = Learner(planned("printed-pair"))
    learner.hasty = True
    for _ in range(6):
        learner.practise()
    found = levels(learner)
    assert found.pop("peel 1") < HelpLevel.OWN
    assert set(found.values()) == {HelpLevel.OWN}


def test_removing_a_tacks_carrier_too_soon_brings_back_help_for_it() -> None:
    """The third layer's film is peeled warm after its tack."""
    plan = planned("three-layer-number")
    off = [s for s in plan.passes[0].steps if s.phase is Phase.REMOVE_CARRIER]
    assert [step.wait is not None for step in off] == [False, False, True]
    learner = Learner(plan)
    learner.hasty = True
    for _ in range(6):
        learner.practise()
    found = levels(learner)
    assert found.pop("remove carrier 3") < HelpLevel.OWN
    assert set(found.values()) == {HelpLevel.OWN}


def test_the_demonstration_says_where_a_tack_waits_and_removes_its_carrier_when_due() -> None:
    session = Learner(planned("three-layer-number")).begin()
    clock, told = 100.0, list[str]()
    while (view := session.view()).move.id != "move.wait_carrier":
        clock += 0.5
        session.tick(Now("boot", clock, 1_800_000_000.0 + clock))
    while (view := session.view()).move.id == "move.wait_carrier":
        told += map(WORDS.say, view.lines)
        clock += 0.1
        session.tick(Now("boot", clock, 1_800_000_000.0 + clock))
    assert "off the platen: flat, carrier on" in told  # three layers: sooner than on the pad
    assert view.chips[0].zone is PeelZone.NOW  # still there: due, not already off


def test_short_times_also_shorten_a_tacks_wait() -> None:
    """Practice with short times: 20 s of a wait pass in one."""
    learner = Learner(planned("three-layer-number"))
    session = learner.begin()
    waited, practised = 0.0, 0.0
    while not session.ended:
        before = session.now.clock
        waits = session.press.waits_until(session.now)
        learner.clock += 0.5
        session.tick(learner.now)
        if waits is not None and session.press.state.heat is None:
            waited, practised = waited + 0.5, practised + session.now.clock - before
        learner.act(session)
    assert practised > 20
    assert waited < practised / 4


def test_practice_records_only_practice_events() -> None:
    learner = Learner(layered())
    learner.practise(alone=True)
    practised = (StepPractised, SlipShown, GarmentPractised)
    assert all(isinstance(event, practised) for event in learner.record)
    assert all(event.at.boot == "boot" for event in learner.record)


def test_short_times_show_the_sheets_seconds_but_pass_faster() -> None:
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


def test_practice_events_carry_the_stations_time() -> None:
    learner = Learner(layered())
    learner.practise(alone=True)
    assert isinstance(learner.record[0].at, Now)
    assert learner.record[-1].at.clock <= learner.clock


def test_failing_a_step_once_mastered_brings_back_guidance() -> None:
    learner = Learner(layered())
    for _ in range(5):
        learner.practise()
    learner.sees = blind
    failed: set[str] = set()
    while not failed:
        learner.practise()
        failed = {e.step for e in learner.record if isinstance(e, StepPractised) and not e.right}
    found = levels(learner)
    assert {found.pop(step) for step in failed} == {HelpLevel.GUIDED}
    assert set(found.values()) == {HelpLevel.OWN}
