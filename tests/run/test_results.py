"""Results (good, accepted, rework, scrap) and their effect on the garment's other tickets."""

from __future__ import annotations

from dataclasses import replace

import pytest
from run_samples import COLD, HOT, Bench, bench_with, one_piece, plan_of

from kiosk.plan.model import PeelPlace
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state import commands as c
from kiosk.run.state.defects import CAUSES, DEFECTS, causes_of
from kiosk.run.state.events import Finished
from kiosk.run.state.model import TicketStage


def at_inspection(numbers: tuple[str, ...] = ("12", "13", "14")) -> Bench:
    """A bench with the first garment at the press, its final done, its hot peel next."""
    bench = bench_with(plan_of(one_piece(PeelPlace.PRESS, HOT)), numbers)
    bench.tap()
    bench.ring()
    bench.tap()
    bench.ring()
    return bench


def rework(bench: Bench, ticket: str = "1/1/1") -> None:
    bench.do(c.Inspect(ticket, TicketStage.REWORK, "lifted_edge", "short_press", "number.1"))


def test_a_result_frees_the_press_and_calls_the_next() -> None:
    bench = at_inspection()
    assert bench.names(c.Inspect("1/1/1", TicketStage.ACCEPTED, "marks")) == (
        "Finished",
        "TicketCalled",
    )
    assert bench.slot.garment.number == "13"


def test_a_defect_is_recorded_and_a_good_garment_has_none() -> None:
    """design.md section 1: what went wrong and why."""
    defect = "lifted_edge", "short_press", "number.1"
    found = []
    for stage in (TicketStage.REWORK, TicketStage.GOOD):
        (done, *_) = at_inspection().do(c.Inspect("1/1/1", stage, *defect))
        assert isinstance(done, Finished)
        found.append((done.defect, done.cause, done.piece))
    assert found == [defect, ("", "", "")]


@pytest.mark.parametrize(
    ("source", "waits", "early"),
    [
        ("plan.wait.guess", 20.0, (40.0, True)),
        ("plan.wait.sheet", 20.0, (40.0, False)),
        ("plan.wait.guess", 70.0, (None, False)),
    ],
)
def test_a_peel_early_only_by_a_guess_is_marked_so(
    source: str, waits: float, early: tuple[float | None, bool]
) -> None:
    """docs/sources.md: the report never counts a peel early by a guess. Cold from 60 s."""
    bench = bench_with(plan_of(one_piece(wait=replace(COLD, source=source))))
    bench.tap()
    bench.ring()
    bench.tap()
    bench.ring()
    bench.wait(waits)
    (done, *_) = bench.do(c.Inspect("1/1/1", TicketStage.GOOD))
    assert isinstance(done, Finished)
    assert (done.early_seconds, done.early_by_guess) == early


def test_a_result_that_is_not_good_names_its_defect() -> None:
    bench = at_inspection()
    assert bench.refused(c.Inspect("1/1/1", TicketStage.REWORK)) == "refuse.inspect.defect"
    assert bench.refused(c.Inspect("1/1/1", TicketStage.SCRAP, "ugly")) == "refuse.inspect.defect"
    odd = c.Inspect("1/1/1", TicketStage.SCRAP, "scorch", "moon")
    assert bench.refused(odd) == "refuse.inspect.cause"
    elsewhere = c.Inspect("1/1/1", TicketStage.SCRAP, "scorch", "over_run", "sleeve.9")
    assert bench.refused(elsewhere) == "refuse.inspect.piece"


def test_a_good_garment_has_no_defect() -> None:
    bench = at_inspection()
    done = bench.do(c.Inspect("1/1/1", TicketStage.GOOD, "scorch", "over_run"))[0]
    assert isinstance(done, Finished)
    assert (done.defect, done.cause) == ("", "")


def test_rework_stays_open_and_may_still_end_good() -> None:
    bench = at_inspection()
    rework(bench)
    assert bench.ticket("12").stage is TicketStage.REWORK
    assert bench.job.aside == ("1/1/1",)
    again = c.Inspect("1/1/1", TicketStage.REWORK, "marks")
    assert bench.refused(again) == "refuse.inspect.rework_already"
    bench.do(c.Inspect("1/1/1", TicketStage.GOOD))
    assert bench.ticket("12").stage is TicketStage.GOOD


def test_the_job_is_not_done_while_a_garment_is_in_rework() -> None:
    bench = at_inspection(("12",))
    rework(bench)
    assert bench.is_in(ScreenKind.DONE)
    assert not bench.job.done
    assert bench.names(c.Inspect("1/1/1", TicketStage.GOOD)) == ("Finished", "JobDone")


def test_a_scrap_opens_a_new_ticket_for_the_same_line() -> None:
    bench = at_inspection()
    bench.scrap("1/1/1")
    new = bench.ticket("12", copy=2)
    assert (new.id, new.stage, new.finals) == ("1/1/2", TicketStage.WAITING, 0)
    assert bench.job.queue == ("3/1/1", "1/1/2")


def test_a_scrapped_garments_other_passes_are_void_and_restart() -> None:
    plan = plan_of(
        one_piece(PeelPlace.PRESS, HOT),
        one_piece(PeelPlace.PRESS, HOT, panel="front"),
        runs=((0, 1),),
    )
    bench = bench_with(plan, ("12", "13"))
    bench.tap()
    bench.ring()
    bench.tap()
    bench.ring()
    bench.scrap("1/1/1")
    assert bench.ticket("12", 1).stage is TicketStage.VOID
    assert bench.job.queue == ("2/2/1", "1/1/2", "1/2/2")
    assert bench.slot.id == "2/1/1"


def test_the_new_copy_waits_at_the_end_of_its_own_run() -> None:
    plan = plan_of(one_piece(), one_piece(panel="front"))
    bench = bench_with(plan, ("12", "13"))
    bench.scrap("1/1/1")
    assert (bench.slot.id, *bench.job.queue) == ("2/1/1", "1/1/2", "2/2/1", "1/2/2")


def test_a_garment_can_be_scrapped_before_its_final_but_not_be_good() -> None:
    bench = bench_with()
    assert bench.refused(c.Inspect("1/1/1", TicketStage.GOOD)) == "refuse.inspect.not_pressed"
    bench.scrap("1/1/1")
    assert bench.ticket("12").stage is TicketStage.SCRAP


def test_a_garment_under_the_press_has_no_result_yet() -> None:
    bench = bench_with()
    bench.tap()
    scrap = c.Inspect("1/1/1", TicketStage.SCRAP, "scorch")
    assert bench.refused(scrap) == "refuse.inspect.hot"


def test_a_garment_that_waits_has_no_result() -> None:
    bench = bench_with()
    assert bench.refused(c.Inspect("2/1/1", TicketStage.GOOD)) == "refuse.inspect.not_here"
    assert bench.refused(c.Inspect("9/9/9", TicketStage.GOOD)) == "refuse.inspect.no_ticket"
    assert bench.refused(c.Inspect("1/1/1", TicketStage.VOID)) == "refuse.inspect.stage"


def test_the_garment_of_the_rack_can_be_judged_with_the_press_closed() -> None:
    bench = bench_with()
    bench.tap()
    bench.ring()
    bench.tap()
    bench.ring()
    bench.tap()
    bench.do(c.Inspect("1/1/1", TicketStage.SCRAP, "scorch", "over_run"))
    assert bench.ticket("12").stage is TicketStage.SCRAP
    assert bench.is_in(ScreenKind.HEAT)


def test_a_later_pass_waits_for_the_earlier_one_to_be_good() -> None:
    plan = plan_of(one_piece(), one_piece(panel="front"))
    bench = bench_with(plan, ("12",))
    bench.tap()
    bench.ring()
    bench.tap()
    bench.ring()
    assert bench.job.slot == ""
    bench.tick(60.0)
    bench.tap()
    assert bench.slot.passage == 1


def test_a_later_pass_waits_while_the_earlier_one_is_in_rework() -> None:
    plan = plan_of(one_piece(PeelPlace.PRESS, HOT), one_piece(PeelPlace.PRESS, HOT, panel="front"))
    bench = bench_with(plan, ("12",))
    bench.tap()
    bench.ring()
    bench.tap()
    bench.ring()
    rework(bench)
    assert bench.job.slot == ""
    bench.do(c.Inspect("1/1/1", TicketStage.ACCEPTED, "marks"))
    assert bench.slot.passage == 1


@pytest.mark.parametrize(
    ("command", "peeled"),
    [
        (c.Inspect("1/1/1", TicketStage.GOOD), True),
        (c.Inspect("1/1/1", TicketStage.REWORK, "lifted_edge", "peeled_early"), True),
        (c.Inspect("1/1/1", TicketStage.REWORK, "off_centre", "laid_wrong"), False),
    ],
)
def test_a_garment_judged_not_good_before_its_peel_is_due_keeps_its_carrier(
    command: c.Inspect, peeled: bool
) -> None:
    bench = bench_with()
    bench.tap()
    bench.ring()
    bench.tap()
    bench.ring()
    done = bench.do(command)[0]
    assert isinstance(done, Finished)
    assert done.peeled is peeled
    assert (done.early_seconds is not None) is peeled


def test_each_class_of_defect_offers_its_likely_causes_first_and_then_all() -> None:
    for defect in DEFECTS:
        offered = causes_of(defect.id)
        assert offered[: len(defect.causes)] == defect.causes
        assert sorted(offered) == sorted(CAUSES)
    assert causes_of("never heard of") == CAUSES
