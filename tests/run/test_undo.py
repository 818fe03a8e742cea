"""Back one: what can be taken back, and that everything is then as before."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from run_samples import HOT, Bench, bench_with, one_piece, plan_of

from kiosk.plan.model import PeelPlace
from kiosk.run.state import commands as c
from kiosk.run.state.model import ConfirmMode, JobRun, TicketStage

STAYS = c.Back(closing_stays=True)


def same(job: JobRun) -> JobRun:
    """The job without its undo history and the start of its current move."""
    return replace(job, undo=(), hands_from=None)


def two_passes() -> Bench:
    plan = plan_of(one_piece(), one_piece(panel="front"))
    return bench_with(plan, ("12",))


def to_rack(bench: Bench) -> Bench:
    bench.tap()
    bench.ring()
    bench.tap()
    bench.ring()
    return bench


def at_press() -> Bench:
    return to_rack(bench_with(plan_of(one_piece(PeelPlace.PRESS, HOT))))


def trainee() -> Bench:
    bench = bench_with(confirm=ConfirmMode.EACH)
    bench.tap()
    bench.ring()
    return bench


def tapped(bench: Bench) -> None:
    bench.tap()


def peeled(bench: Bench) -> None:
    bench.do(c.Inspect("1/1/1", TicketStage.GOOD))


def scrapped(bench: Bench) -> None:
    bench.scrap("1/1/1")


def left_out(bench: Bench) -> None:
    bench.do(c.Skip("pressed yesterday"))


def put_aside(bench: Bench) -> None:
    bench.do(c.PutAside("hole in the sleeve"))


CASES: dict[str, tuple[Callable[[], Bench], Callable[[Bench], None], str]] = {
    "a confirmed phase": (trainee, tapped, "confirmed"),
    "a finish at the press": (at_press, tapped, "finished"),
    "a peel of the rack": (lambda: to_rack(bench_with()), peeled, "peeled"),
    "a scrap at the press": (at_press, scrapped, "finished"),
    "a scrap of the rack": (lambda: to_rack(bench_with()), scrapped, "peeled"),
    "a scrap with passes ahead": (two_passes, scrapped, "finished"),
    "a pre-press left out": (bench_with, left_out, "skipped"),
    "a garment put aside": (bench_with, put_aside, "set aside"),
    "the last peel of a job": (lambda: to_rack(bench_with(numbers=("12",))), peeled, "peeled"),
    "a peel that called the next pass": (lambda: to_rack(two_passes()), peeled, "peeled"),
}


@pytest.mark.parametrize(("begin", "act", "what"), CASES.values(), ids=CASES)
def test_taking_back_leaves_the_job_as_it_was(
    begin: Callable[[], Bench], act: Callable[[Bench], None], what: str
) -> None:
    bench = begin()
    before = bench.job
    act(bench)
    assert same(bench.job) != same(before), "the act changes something"
    taken = bench.do(c.Back())[0]
    assert taken.what == what  # type: ignore[attr-defined]  # TakenBack
    assert same(bench.job) == same(before)


def test_both_the_tap_and_its_taking_back_stay_in_the_record() -> None:
    bench = at_press()
    bench.tap()
    bench.do(c.Back())
    names = [type(event).__name__ for event in bench.events]
    assert names[-3:] == ["Finished", "TicketCalled", "TakenBack"]


def test_nothing_is_taken_back_while_hot() -> None:
    bench = bench_with()
    assert bench.refused(c.Back()) == "refuse.back.nothing"
    bench.tap()
    assert bench.refused(c.Back()) == "refuse.while.heat"
    bench.ring()
    assert bench.names(c.Back()) == ("NeverClosed",)
    assert bench.refused(c.Back()) == "refuse.back.nothing"


def test_a_finish_cannot_be_taken_back_once_the_next_garment_was_pressed() -> None:
    bench = at_press()
    bench.tap()
    bench.tap()
    bench.ring()
    assert bench.refused(STAYS) == "refuse.back.nothing"
    assert bench.names(c.Back()) == ("NeverClosed",)
    assert bench.refused(c.Back()) == "refuse.back.nothing"


def test_a_peel_of_the_rack_can_be_taken_back_after_the_next_closing() -> None:
    bench = to_rack(bench_with())
    peeled(bench)
    bench.tap()
    bench.ring()
    bench.do(STAYS)
    assert bench.ticket("12").stage is TicketStage.COOLING
    assert bench.slot.garment.number == "13"


def test_a_peel_taken_back_later_is_not_on_its_way_to_the_rack_again() -> None:
    bench = to_rack(bench_with())
    assert bench.job.leaving == "1/1/1"
    peeled(bench)
    bench.tap()
    bench.ring()
    bench.do(STAYS)
    assert bench.job.leaving == ""


def test_several_taps_are_taken_back_one_by_one() -> None:
    bench = to_rack(to_rack(bench_with()))
    before = bench.job.rack
    bench.do(c.Inspect("2/1/1", TicketStage.GOOD))
    bench.do(c.Inspect("1/1/1", TicketStage.GOOD))
    bench.do(c.Back())
    bench.do(c.Back())
    assert bench.job.rack == before


def test_a_peel_cannot_be_taken_back_once_the_same_garment_is_in_its_next_pass() -> None:
    bench = to_rack(two_passes())
    peeled(bench)
    bench.answer()
    bench.tap()
    bench.ring()
    assert bench.refused(STAYS) == "refuse.back.next_pass"


def test_a_scrap_cannot_be_taken_back_once_its_replacement_was_begun() -> None:
    bench = to_rack(bench_with(numbers=("12",)))
    scrapped(bench)
    bench.answer()
    bench.tap()
    bench.ring()
    assert bench.slot.copy == 2
    assert bench.refused(STAYS) == "refuse.back.replaced"


def test_questions_that_were_open_are_open_again() -> None:
    bench = bench_with()
    bench.do(c.HandOver())
    bench.do(c.SignOn("AB", ConfirmMode.GROUPED))
    asked = bench.job.questions
    assert asked
    bench.do(c.PutAside("cannot find it"))
    bench.do(c.Back())
    assert bench.job.questions == asked


def test_an_operator_cannot_take_back_a_ticket_after_a_supervisors_ruling() -> None:
    bench = trainee()
    bench.tap()
    bench.do(c.RowChanged("1", "new"))
    assert bench.refused(c.Back()) == "refuse.back.nothing"


def test_a_garment_put_aside_goes_to_the_end_of_its_run() -> None:
    bench = bench_with(plan_of(one_piece(), one_piece(panel="front")), ("12", "13"))
    bench.do(c.PutAside("hole in the sleeve"))
    assert (bench.slot.id, *bench.job.queue) == ("2/1/1", "1/1/1", "1/2/1", "2/2/1")


def test_the_last_garment_in_the_queue_cannot_be_put_aside() -> None:
    bench = bench_with(numbers=("12",))
    assert bench.refused(c.PutAside("hole")) == "refuse.aside.last"


def test_a_garment_is_not_put_aside_after_its_final() -> None:
    bench = at_press()
    assert bench.refused(c.PutAside("hole")) == "refuse.aside.pressed"


def test_a_garment_put_aside_after_its_tack_begins_again_after_that_heat() -> None:
    bench = trainee()
    bench.tap()
    assert bench.slot.step == 3
    bench.do(c.PutAside("phone"))
    assert bench.ticket("12").step == 2
