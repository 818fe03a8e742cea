"""Operators, shifts and jobs beginning and ending."""

from __future__ import annotations

from dataclasses import replace

import pytest
from run_samples import HOT, bench_with, on_shift, one_piece, plan_of, team

from kiosk.catalog.base import Degrees
from kiosk.catalog.model import StationSettings
from kiosk.plan.model import PeelPlace
from kiosk.run.decide.decide import decide
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state import commands as c
from kiosk.run.state.event import Refusal
from kiosk.run.state.model import ConfirmMode, TicketStage
from kiosk.run.state.rules import Display
from kiosk.station.desk.display import with_choices
from kiosk.words import Words


def start_of(job: str) -> c.StartJob:
    return c.StartJob(
        job, plan_of(one_piece(PeelPlace.PRESS, HOT), job=job), "hash", team("12", "13")
    )


def test_a_shift_begins_at_the_sign_on_and_ends_at_the_hand_over() -> None:
    bench = on_shift()
    assert (bench.state.shift, bench.state.operator) == (1, "MK")
    bench.do(c.HandOver())
    assert bench.is_in(ScreenKind.OFF)
    bench.do(c.SignOn("AB", ConfirmMode.EACH))
    assert (bench.state.shift, bench.state.confirm) == (2, ConfirmMode.EACH)


def test_one_operator_after_another_without_a_hand_over_is_one_shift() -> None:
    bench = on_shift()
    bench.do(c.SignOn("AB", ConfirmMode.GROUPED))
    assert bench.state.shift == 1


def test_initials_are_needed() -> None:
    assert on_shift().refused(c.SignOn("  ", ConfirmMode.EACH)) == "refuse.sign_on.initials"


def test_without_an_operator_nothing_is_pressed() -> None:
    bench = bench_with()
    bench.do(c.HandOver())
    assert bench.bar.meaning is None
    assert bench.refused(c.PutOnHold()) == "refuse.while.off"


def test_a_job_begins_with_all_its_tickets_run_by_run() -> None:
    bench = on_shift()
    plan = plan_of(one_piece(), one_piece(), one_piece(), runs=((0, 1), (2,)))
    bench.do(c.StartJob("j", plan, "hash", team("12", "13")))
    order = (bench.job.slot, *bench.job.queue)
    assert order == ("1/1/1", "1/2/1", "2/1/1", "2/2/1", "1/3/1", "2/3/1")


def test_the_start_record_holds_the_plan_its_hash_and_no_names() -> None:
    bench = bench_with()
    began = next(e for e in bench.events if type(e).__name__ == "JobStarted")
    assert began.plan == plan_of(one_piece())  # type: ignore[attr-defined]  # JobStarted
    assert began.plan_hash == "hash"  # type: ignore[attr-defined]  # JobStarted


def test_a_job_that_cannot_be_worked_is_turned_away() -> None:
    bench = on_shift()
    good = start_of("j")
    assert bench.refused(replace(good, garments=())) == "refuse.job.empty"
    twice = (*good.garments, good.garments[0])
    assert bench.refused(replace(good, garments=twice)) == "refuse.job.same_line"
    forgotten = plan_of(one_piece(), one_piece(), runs=((0,),))
    assert bench.refused(replace(good, plan=forgotten)) == "refuse.job.plan"


def test_a_job_is_put_back_open_and_taken_up_again_where_it_was() -> None:
    bench = bench_with(plan_of(one_piece(PeelPlace.PRESS, HOT)))
    for _ in range(2):
        bench.tap()
        bench.ring()
    bench.tap()
    bench.do(c.LeaveJob())
    assert bench.is_in(ScreenKind.IDLE)
    bench.do(start_of("other"))
    bench.do(c.LeaveJob())
    assert bench.names(start_of("ferry")) == ("JobTaken", "TicketCalled")
    assert bench.ticket("12").stage is TicketStage.GOOD
    assert bench.slot.garment.number == "13"


def test_a_resumed_job_asks_for_the_setting_again() -> None:
    bench = bench_with()
    bench.do(c.LeaveJob())
    bench.do(start_of("ferry"))
    assert bench.is_in(ScreenKind.SETTING)


def test_a_job_is_not_left_with_garments_on_the_rack() -> None:
    bench = bench_with()
    for _ in range(2):
        bench.tap()
        bench.ring()
    assert bench.refused(c.LeaveJob()) == "refuse.leave.rack"


def test_a_job_is_not_left_with_a_pressed_garment_in_hand() -> None:
    bench = bench_with(plan_of(one_piece(PeelPlace.PRESS, HOT)))
    for _ in range(2):
        bench.tap()
        bench.ring()
    assert bench.refused(c.LeaveJob()) == "refuse.leave.at_press"


def test_a_second_job_waits_until_the_first_is_put_back() -> None:
    bench = bench_with()
    assert bench.refused(start_of("other")) == "refuse.while.hands"


def test_a_job_is_done_when_every_ticket_has_its_end() -> None:
    bench = bench_with(plan_of(one_piece(PeelPlace.PRESS, HOT)), ("12",))
    for _ in range(2):
        bench.tap()
        bench.ring()
    assert [type(e).__name__ for e in bench.tap()] == ["Finished", "JobDone"]
    assert bench.is_in(ScreenKind.DONE)


def test_a_job_done_and_left_keeps_only_its_name_and_never_begins_again() -> None:
    bench = bench_with(plan_of(one_piece(PeelPlace.PRESS, HOT)), ("12",))
    for _ in range(2):
        bench.tap()
        bench.ring()
    bench.tap()
    assert bench.refused(start_of("ferry")) == "refuse.job.done"
    assert bench.names(start_of("other")) == ("JobLeft", "JobStarted", "TicketCalled")
    assert list(bench.state.jobs) == ["other"]
    assert bench.state.finished == ("ferry",)
    bench.do(c.LeaveJob())
    assert bench.refused(start_of("ferry")) == "refuse.job.done"


def test_a_job_with_rework_is_put_back_open_for_the_next_one() -> None:
    bench = bench_with(plan_of(one_piece(PeelPlace.PRESS, HOT)), ("12",))
    for _ in range(2):
        bench.tap()
        bench.ring()
    bench.do(c.Inspect("1/1/1", TicketStage.REWORK, "marks"))
    bench.do(start_of("other"))
    assert set(bench.state.jobs) == {"ferry", "other"}


def test_another_operator_takes_over_the_rack() -> None:
    bench = bench_with(numbers=("12",))
    for _ in range(2):
        bench.tap()
        bench.ring()
    bench.do(c.HandOver())
    bench.do(c.SignOn("AB", ConfirmMode.GROUPED))
    bench.tick(60.0)
    assert bench.verb == "peeled 12"


@pytest.mark.parametrize(
    ("wish", "found", "allowed"),
    [
        (Display(language="de"), "de", ("en", "es")),
        (Display(degrees="K"), "K", ("F", "C")),
        (Display(length="ft"), "ft", ("in", "mm")),
    ],
)
def test_an_unknown_display_choice_is_refused_with_the_known_ones(
    wish: Display, found: str, allowed: tuple[str, ...]
) -> None:
    """English and Spanish, °F and °C, inches and millimetres: ../shared/design.md section 7."""
    bench = on_shift()
    refusal = decide(bench.state, c.ChooseDisplay(wish), bench.now)
    assert isinstance(refusal, Refusal)
    sentence = Words().say(refusal.reason)
    assert all(word in sentence for word in (found, *allowed))
    assert bench.state.display == Display()


def test_an_unknown_recorded_display_choice_falls_back_to_the_shops() -> None:
    shop = StationSettings(language="es", temperature=Degrees.C)
    shown = with_choices(shop, Display("de", "K", "ft"))
    assert (shown.language, shown.temperature, shown.millimetres) == ("es", Degrees.C, False)
