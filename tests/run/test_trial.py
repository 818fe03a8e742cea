"""A setting based on guesses is tried before its lot; the finding is kept."""

from __future__ import annotations

from dataclasses import replace

import pytest
from run_samples import HOT, Bench, on_shift, one_piece, plan_of, stack, team

from kiosk.catalog.model import Demand
from kiosk.catalog.model.source import Source, SourceKind, Sources
from kiosk.plan.model import PeelPlace, Piece, Plan
from kiosk.plan.sources import PlanSources
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.facts.trials import NOT_TRIED, setting_tried, untried
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.events import Closed
from kiosk.run.state.events_shift import (
    FirstArticleJudged,
    Overridden,
    Overruled,
    TrialBegun,
    TrialJudged,
)
from kiosk.run.state.rules import Rules, TrialFinding, TriedSubject
from kiosk.station.desk.work.trial import with_trial

ASKED, REQUIRED = Rules(trial=Demand.ASKED), Rules(trial=Demand.REQUIRED)
GUESSED = plan_of(one_piece(PeelPlace.PRESS, HOT))
AT = setting_tried(GUESSED, GUESSED.passes[0])
SHEET = Sources(Source(SourceKind.SUPPLIER_SHEET, title="a sheet"))


def trial_at(setting: str) -> Sources:
    return Sources(Source(SourceKind.SHOP_TRIAL, initials="MK", at=setting))


def with_sources(material: Sources, fabric: Sources) -> Plan:
    return replace(GUESSED, sources=PlanSources({"sheet-film": material}, fabric))


def job(plan: Plan = GUESSED, rules: Rules = ASKED) -> Bench:
    bench = on_shift()
    bench.do(c.StartJob(plan.job, plan, "hash", team("12", "13", "14"), rules=rules))
    bench.do(c.ReadSetting(300))
    return bench


def test_a_guessed_setting_gets_no_heat_before_its_trial() -> None:
    bench = job()
    assert bench.is_in(ScreenKind.TRIAL)
    assert bench.verb == "-"
    bench.do(s.BeginTrial())
    (event, *_) = bench.do(s.JudgeTrial())
    assert isinstance(event, TrialJudged)
    assert event.passed
    assert event.tried == (
        TriedSubject("material", "sheet-film", AT), TriedSubject("fabric", "test-knit", AT),
    )  # fmt: skip
    assert event.by == bench.state.operator
    assert not bench.is_in(ScreenKind.TRIAL)
    assert [finding.tried for finding in bench.state.trials] == list(event.tried)


def test_equal_work_of_two_passes_is_tried_once() -> None:
    bench = job(
        plan_of(*(one_piece(PeelPlace.PRESS, HOT, panel=side) for side in ("back", "front")))
    )
    (begun,) = bench.do(s.BeginTrial())
    assert isinstance(begun, TrialBegun)
    assert len(begun.articles) == 1


@pytest.mark.parametrize(
    ("plan", "due"),
    [
        (with_sources(SHEET, SHEET), False),
        (with_sources(SHEET, Sources()), True),
        (with_sources(Sources(), SHEET), True),
        (with_sources(trial_at(AT), SHEET), False),
        (with_sources(trial_at(f"250 F, 9 s, mesh; {AT}"), SHEET), False),
        (with_sources(trial_at("250 F, 9 s, mesh"), SHEET), True),
        (with_sources(Sources(SHEET.owner, {"peel_wait": Source()}), SHEET), False),
        (with_sources(Sources(SHEET.owner, {"dwell": Source()}), SHEET), True),
    ],
)
def test_a_trial_is_due_where_a_number_that_decides_is_a_guess_at_this_setting(
    plan: Plan, due: bool
) -> None:
    assert job(plan).is_in(ScreenKind.TRIAL) is due


def test_a_shop_that_asks_for_no_trials_gets_none() -> None:
    assert not job(rules=Rules()).is_in(ScreenKind.TRIAL)


def test_a_trial_that_failed_leaves_it_due_and_names_nothing() -> None:
    bench = job()
    bench.do(s.BeginTrial())
    bench.do(s.JudgeTrial(("lifted_edge", "peel")))
    assert bench.is_in(ScreenKind.TRIAL)
    assert bench.state.trials == ()
    assert not bench.job.trying


def test_an_unknown_fault_is_not_a_finding() -> None:
    bench = job()
    bench.do(s.BeginTrial())
    assert bench.refused(s.JudgeTrial(("rust",))) == "refuse.inspect.defect"


def test_a_trial_not_begun_cannot_be_judged() -> None:
    assert job().refused(s.JudgeTrial()) == "refuse.trial.not_asked"


def test_a_supervisor_lets_it_pass_where_it_is_asked_but_not_where_required() -> None:
    word = s.LetPass(Overruled.TRIAL, "SV", "known from before")
    (event, *_) = job().do(word)
    assert isinstance(event, Overridden)
    bench = job()
    bench.do(word)
    assert not bench.is_in(ScreenKind.TRIAL)
    assert bench.state.trials == ()
    assert job(rules=REQUIRED).refused(word) == "refuse.override.required"


def test_the_first_garment_can_be_the_trial_and_holds_its_lot() -> None:
    bench = job()
    bench.do(s.TryFirst())
    bench.answer()
    for _ in range(2):
        bench.tap()
        bench.ring()
    bench.tap()
    assert bench.is_in(ScreenKind.LOT)
    events = bench.do(s.JudgeFirst("1/1/1", approved=True, approver="MK", supervisor=True))
    judged = [e for e in events if isinstance(e, FirstArticleJudged | TrialJudged)]
    assert [type(each) for each in judged] == [FirstArticleJudged, TrialJudged]
    assert judged[1] == TrialJudged(
        judged[1].at, bench.job.job, (judged[0].article,),  # type: ignore[union-attr]
        (TriedSubject("material", "sheet-film", AT), TriedSubject("fabric", "test-knit", AT)),
        True, "supervisor", (), "1/1/1",
    )  # fmt: skip
    bench.answer()
    assert bench.verb == "close 13"


def test_one_card_serves_both_where_a_lot_needs_both() -> None:
    bench = job(rules=replace(ASKED, first_article=Demand.ASKED))
    bench.do(s.TryFirst())
    bench.answer()
    for _ in range(2):
        bench.tap()
        bench.ring()
    bench.tap()
    events = bench.do(s.JudgeFirst("1/1/1", approved=True, approver="MK", supervisor=True))
    assert sum(isinstance(e, FirstArticleJudged) for e in events) == 1
    assert len(bench.state.trials) == 2
    assert not bench.is_in(ScreenKind.LOT)


def test_the_heat_of_a_piece_counts_for_no_garment() -> None:
    bench = job()
    made = bench.do(s.BeginTrial()) + bench.do(s.JudgeTrial())
    assert not any(isinstance(e, Closed) for e in made)
    assert all(ticket.finals == 0 for ticket in bench.job.tickets.values())


def test_a_start_in_the_middle_of_a_trial_shows_open_the_press_first() -> None:
    bench = job()
    bench.do(s.BeginTrial())
    bench.do(c.Start("again"))
    assert bench.is_in(ScreenKind.OPEN_FIRST)
    bench.do(c.SayOpened())
    assert bench.is_in(ScreenKind.TRIAL)
    assert not bench.job.trying


def test_a_finding_waits_until_its_file_names_it() -> None:
    bench = job()
    bench.do(s.BeginTrial())
    bench.do(s.JudgeTrial())
    first, second = (finding.tried for finding in bench.state.trials)
    bench.do(s.NoteTrial(first))
    assert [finding.tried for finding in bench.state.trials] == [second]
    assert bench.do(s.NoteTrial(first)) == ()


def test_one_pressing_shows_nothing_about_totals_or_dye() -> None:
    """Common practice, no source: one pressing does not show what repeated heat and time do."""
    assert set(NOT_TRIED["material"]) == {"peel_wait", "total_heat", "blocks_dye"}
    assert set(NOT_TRIED["fabric"]) == {"total_heat", "dye_risk", "dye_cap"}


STACKED = plan_of(
    stack(),
    pieces=tuple(Piece(f"number.{n}", "number", n, 1, "sheet-film", "black") for n in (1, 2)),
)
FINAL_ONLY, WITH_TACK = AT, setting_tried(STACKED, STACKED.passes[0], "sheet-film")


def of_film(setting: str) -> Sources:
    """The film's sources after a trial at a setting, as in the shop's file then."""
    finding = TrialFinding(TriedSubject("material", "sheet-film", setting), 1_770_000_000.0, "MK")
    return with_trial(Sources(), finding, "edges")


def test_a_trial_without_a_tack_shows_nothing_about_the_tack() -> None:
    assert of_film(FINAL_ONLY).of("tack").is_guess
    assert of_film(FINAL_ONLY).of("dwell").kind is SourceKind.SHOP_TRIAL
    assert of_film(WITH_TACK).of("tack").kind is SourceKind.SHOP_TRIAL


@pytest.mark.parametrize(
    ("plan", "tried", "due"),
    [
        (GUESSED, FINAL_ONLY, False),
        (STACKED, WITH_TACK, False),
        (STACKED, FINAL_ONLY, True),  # the tack was never pressed
        (GUESSED, WITH_TACK, False),  # the final was
    ],
)
def test_a_stack_waits_for_a_trial_of_its_tack(plan: Plan, tried: str, due: bool) -> None:
    known = PlanSources({"sheet-film": of_film(tried)}, SHEET)
    made = replace(plan, sources=known)
    found = [each.key for each in untried(made, made.passes[0])]
    assert found == (["sheet-film"] if due else [])


def test_a_guessed_tack_that_is_not_pressed_needs_no_trial() -> None:
    film = Sources(Source(SourceKind.SUPPLIER_SHEET), {"tack": Source()})
    assert job(with_sources(film, SHEET)).is_in(ScreenKind.ASK)
