"""A lot is held by its first garment until approval, or by too many scraps of one cause."""

from __future__ import annotations

from dataclasses import replace

from run_samples import HOT, Bench, on_shift, one_piece, plan_of, team

from kiosk.catalog.base.quantities import Degrees
from kiosk.catalog.model import Approver, Demand
from kiosk.plan.model import PanelSettings, PeelPlace, Plan
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show import view
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.events_shift import FirstArticleJudged, Overridden, Overruled
from kiosk.run.state.events_station import HandedOver
from kiosk.run.state.model import TicketStage
from kiosk.run.state.rules import Rules
from kiosk.words import Words

WORDS = Words("en")
FIRST = Rules(first_article=Demand.ASKED, approver=Approver.OPERATOR)
AT_PRESS = plan_of(one_piece(PeelPlace.PRESS, HOT))
GOOD = s.JudgeFirst("1/1/1", approved=True, approver="MK", across_inches=0.1, along_inches=0.0)


def lot(rules: Rules = FIRST, plan: Plan = AT_PRESS) -> Bench:
    bench = on_shift()
    bench.do(c.StartJob(plan.job, plan, "hash", team("12", "13", "14"), rules=rules))
    return bench.answer()


def press_one(bench: Bench) -> Bench:
    """Take the current garment to a good end."""
    for _ in range(2):
        bench.tap()
        bench.ring()
    bench.tap()
    return bench


def warned(plan: Plan = AT_PRESS) -> Plan:
    """The plan with the one warning that only a supervisor may approve."""
    panel = PanelSettings("back", Degrees.F, (), (), {}, 0, 0, ("no_fabric_margin",), ())
    return replace(plan, settings=(panel,))


def test_the_second_garment_waits_until_the_first_is_approved() -> None:
    bench = press_one(lot())
    assert bench.is_in(ScreenKind.LOT)
    assert bench.verb == "-"
    (event, *_) = bench.do(GOOD)
    assert isinstance(event, FirstArticleJudged)
    assert event.article == "300 F, 15 s, medium to medium-firm, test-knit, sheet-film"
    assert (event.approver, event.pressed_by, event.across_inches) == ("MK", "MK", 0.1)
    assert bench.answer().verb == "close 13"
    press_one(bench)
    assert bench.answer().verb == "close 14"


def test_a_first_garment_on_the_rack_holds_the_lot_already() -> None:
    bench = lot(plan=plan_of(one_piece()))
    for _ in range(2):
        bench.tap()
        bench.ring()
    assert bench.is_in(ScreenKind.HANDS)
    assert bench.job.slot == ""
    bench.wait(61.0)
    bench.tap()
    assert bench.is_in(ScreenKind.LOT)


def test_the_bar_of_a_first_garment_names_its_card_and_no_next_garment() -> None:
    bench = lot()
    bench.tap()
    bench.ring()
    bench.tap()
    bench.ring()
    assert WORDS.say(view(bench.state, bench.now).bar.label) == "Peeled, good: now its card"
    bench.tap()
    bench.do(GOOD)
    bench.answer()
    for _ in range(2):
        bench.tap()
        bench.ring()
    assert WORDS.say(view(bench.state, bench.now).bar.label) == "Peeled, good: next garment"


def test_while_a_first_garment_is_pressed_the_bar_loads_no_next_one() -> None:
    bench = lot(plan=plan_of(one_piece()))
    bench.tap()
    bench.ring()
    bench.tap()
    bench.wait(3.0)
    assert bench.state.heat is not None
    assert WORDS.say(view(bench.state, bench.now).bar.label) == "Then: flat on the rack"


def test_only_the_approver_named_by_the_shop_may_approve() -> None:
    bench = press_one(lot(replace(FIRST, approver=Approver.SUPERVISOR)))
    assert bench.refused(GOOD) == "refuse.first.supervisor"
    bench.do(replace(GOOD, supervisor=True))
    bench = press_one(lot(replace(FIRST, approver=Approver.ANOTHER)))
    assert bench.refused(GOOD) == "refuse.first.another"
    assert bench.refused(replace(GOOD, approver=" ")) == "refuse.sign_on.initials"
    bench.do(replace(GOOD, approver="ZD"))


def test_nobody_approves_their_own_work_where_the_plan_has_a_supervisors_warning() -> None:
    bench = press_one(lot(plan=warned()))
    for initials in ("MK", "ZD"):
        assert bench.refused(replace(GOOD, approver=initials)) == "refuse.first.supervisor"
    (event, *_) = bench.do(replace(GOOD, supervisor=True))
    assert isinstance(event, FirstArticleJudged)
    assert event.approver == "supervisor"


def test_a_first_garment_with_a_fault_is_not_approved_and_the_next_one_is_first() -> None:
    bench = press_one(lot())
    faulty = replace(GOOD, faults=("lifted_edge",))
    assert bench.refused(faulty) == "refuse.first.faults"
    assert bench.refused(replace(faulty, approved=False, faults=())) == "refuse.inspect.defect"
    bench.do(replace(faulty, approved=False))
    assert bench.ticket("12").stage is TicketStage.REWORK
    assert bench.is_in(ScreenKind.LOT)
    assert bench.refused(GOOD) == "refuse.first.not_good"
    bench.do(c.Inspect("1/1/1", TicketStage.SCRAP, "lifted_edge", "short_press"))
    assert bench.answer().verb == "close 13"
    press_one(bench)
    assert bench.is_in(ScreenKind.LOT)
    bench.do(replace(GOOD, ticket="2/1/1"))
    assert bench.answer().verb == "close 14"


def test_a_mended_first_garment_is_approved_after_all() -> None:
    bench = press_one(lot())
    bench.do(replace(GOOD, approved=False, faults=("marks",)))
    bench.do(c.Inspect("1/1/1", TicketStage.GOOD))
    bench.do(GOOD)
    assert bench.answer().verb == "close 13"


def test_each_setting_has_a_first_garment_of_its_own() -> None:
    two = plan_of(
        one_piece(PeelPlace.PRESS, HOT),
        one_piece(PeelPlace.PRESS, HOT, degrees=270, panel="front"),
        runs=((0, 1),),
    )
    bench = press_one(lot(plan=two))
    assert bench.answer().verb == "close 12"  # its other side, at another setting
    press_one(bench)
    assert bench.is_in(ScreenKind.LOT)
    bench.do(GOOD)
    bench.answer()
    assert bench.verb == "close 13"
    press_one(bench)
    assert bench.is_in(ScreenKind.LOT)  # the other side of the first one is not approved yet
    bench.do(replace(GOOD, ticket="1/2/1"))
    assert bench.answer().verb == "close 13"


def test_a_supervisor_lets_the_lot_go_on_where_the_shop_only_asks() -> None:
    bench = press_one(lot())
    word = s.LetPass(Overruled.FIRST_ARTICLE, "supervisor", "agreed")
    (event, *_) = bench.do(word)
    assert isinstance(event, Overridden)
    assert event.ticket == "1/1/1"
    assert bench.answer().verb == "close 13"
    bench = press_one(lot(replace(FIRST, first_article=Demand.REQUIRED)))
    assert bench.refused(word) == "refuse.override.required"


def test_a_first_garment_that_was_not_closed_after_all_is_the_first_again() -> None:
    bench = lot()
    bench.tap()
    bench.ring()
    bench.tap()
    bench.wait(3.0)
    bench.do(c.SayOpened())
    bench.do(c.SayClosed(closed=False))
    bench.do(c.PutAside("later"))
    assert bench.answer().verb == "close 13"
    press_one(bench)
    assert bench.is_in(ScreenKind.LOT)
    bench.do(replace(GOOD, ticket="2/1/1"))
    assert bench.answer().verb == "close 14"


def test_a_first_garment_whose_final_never_happened_is_no_longer_the_first() -> None:
    bench = lot()
    for _ in range(2):
        bench.tap()
        bench.ring()
    bench.wait(1.0)
    bench.do(s.SayNeverClosed())
    bench.do(c.PutAside("later"))
    assert bench.answer().verb == "close 13"
    press_one(bench)
    assert bench.is_in(ScreenKind.LOT)
    bench.do(replace(GOOD, ticket="2/1/1"))
    assert bench.answer().verb == "close 14"


def test_overriding_the_check_does_not_release_a_lot_that_waits_for_its_first_garment() -> None:
    bench = press_one(lot())
    word = s.LetPass(Overruled.VERIFICATION, "supervisor", "agreed")
    assert bench.refused(word) == "refuse.override.nothing"
    assert bench.is_in(ScreenKind.LOT)


def scrap(bench: Bench, cause: str) -> None:
    bench.do(c.Inspect(bench.job.slot, TicketStage.SCRAP, "scorch", cause))
    if bench.shown.job is not None and bench.shown.job.slot:
        bench.answer()


def test_scraps_of_one_cause_hold_the_job_until_a_supervisor_has_looked() -> None:
    bench = lot(Rules(scrap_limit=2))
    scrap(bench, "over_run")
    scrap(bench, "fabric")
    assert bench.is_in(ScreenKind.HANDS)
    scrap(bench, "over_run")
    assert bench.is_in(ScreenKind.LOT)
    (event, *_) = bench.do(s.LetPass(Overruled.SCRAP_LIMIT, "supervisor", "a new pad"))
    assert isinstance(event, Overridden)
    assert event.about == "over_run"
    bench.answer()
    scrap(bench, "over_run")
    assert bench.is_in(ScreenKind.HANDS)


def test_a_scrap_that_is_taken_back_counts_no_longer() -> None:
    bench = lot(Rules(scrap_limit=2))
    scrap(bench, "over_run")
    bench.do(c.Back())
    bench.answer()
    scrap(bench, "over_run")
    assert bench.is_in(ScreenKind.HANDS)
    scrap(bench, "over_run")
    assert bench.is_in(ScreenKind.LOT)
    bench.do(c.Back())
    assert bench.answer().is_in(ScreenKind.HANDS)


def test_a_scrap_without_a_cause_counts_as_cause_not_known() -> None:
    bench = lot(Rules(scrap_limit=2))
    scrap(bench, "")
    scrap(bench, "not_known")
    assert bench.is_in(ScreenKind.LOT)


def test_the_handover_lists_what_is_where() -> None:
    bench = lot(Rules(), plan=plan_of(one_piece()))
    for _ in range(2):
        bench.tap()
        bench.ring()
    bench.answer()
    (event,) = bench.do(c.HandOver(to=" ZD ", notes=("pad_worn",)))
    assert isinstance(event, HandedOver)
    assert (event.operator, event.to, event.job) == ("MK", "ZD", "ferry")
    assert (event.slot, event.rack, event.aside) == ("2/1/1", ("1/1/1",), ())
    assert (event.setting, event.verified, event.notes) == (300, False, ("pad_worn",))
    shift = bench.state.shift
    bench.do(c.SignOn("ZD", bench.state.confirm))
    assert bench.state.shift == shift + 1
