"""Reports about a closing afterwards: it never happened, or it happened without a tap."""

from __future__ import annotations

import pytest
from run_samples import COLD, HOT, Bench, bench_with, one_piece, plan_of, stack, staged
from sound import assert_sound

from kiosk.log.rescue.walk import FinalCounter
from kiosk.plan.model import PeelPlace
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.events import NeverClosed, TicketCalled, ToldPressed
from kiosk.run.state.model import ConfirmMode, TicketStage, TimeSource

AT_PRESS = plan_of(one_piece(PeelPlace.PRESS, HOT))


def no_unasked_final(bench: Bench) -> bool:
    """Whether, by the record's own count, no garment had a final that nobody asked for."""
    finals = FinalCounter()
    for event in bench.events:
        finals.note(event)
    return not finals.unasked


# -- it never happened ----------------------------------------------------------


def test_a_stray_tack_is_taken_back_after_its_time() -> None:
    bench = bench_with(plan_of(stack()))
    bench.tap()
    bench.ring()  # pre-press
    before = bench.slot
    bench.tap()  # a stray tap while the layer was being laid
    bench.ring()
    assert bench.slot.step == 4
    bench.wait(1.0)
    assert bench.names(c.Back()) == ("NeverClosed",)
    assert bench.slot == before
    assert sum(bench.state.closings.values()) == 1  # the pre-press
    assert [(p.ticket, p.step) for p in bench.state.pressings] == [(before.id, 1)]
    names = [type(event).__name__ for event in bench.events]
    assert names[-3:] == ["Closed", "TimeUp", "NeverClosed"]  # all of it stays in the record


def test_only_the_closing_that_never_happened_is_removed_from_the_pad() -> None:
    bench = bench_with(plan_of(stack()))
    for _ in range(3):
        bench.tap()
        bench.ring()
    bench.wait(1.0)
    bench.do(s.SayNeverClosed())
    assert [each.step for each in bench.state.pressings] == [1, 3]  # pre-press and first tack


def test_a_stray_final_gives_the_garment_back_from_its_way_to_the_rack() -> None:
    bench = bench_with()
    bench.tap()
    bench.ring()
    before = bench.slot
    bench.tap()
    bench.ring()
    assert bench.job.leaving == before.id
    assert bench.slot.garment.number == "13"
    bench.wait(1.0)
    bench.do(s.SayNeverClosed())
    assert bench.slot == before
    assert (bench.job.rack, bench.job.leaving) == ((), "")
    assert bench.numbers(bench.job.queue) == ("13", "14")
    assert bench.slot.finals == 0
    bench.tap()  # and now it really is pressed
    bench.ring()
    assert bench.ticket("12").finals == 1
    assert no_unasked_final(bench)


def test_the_garment_that_tap_confirmed_on_the_rack_is_on_its_way_again() -> None:
    bench = bench_with(plan_of(staged()))
    bench.tap()
    bench.ring()
    leaving = bench.ticket("12")
    bench.tap()  # stray: 12 is not on the rack, and 13 is not under the press
    bench.ring()
    bench.wait(1.0)
    bench.do(s.SayNeverClosed())
    assert bench.job.leaving == leaving.id
    assert (bench.ticket("12").step, bench.ticket("12").hot_peeled) == (leaving.step, False)
    assert bench.slot.garment.number == "13"
    assert bench.slot.step == 0


def test_a_peel_of_the_rack_tapped_meanwhile_stays_good() -> None:
    bench = bench_with()
    for _ in range(2):
        bench.tap()
        bench.ring()  # 12 is on its way to the rack
    bench.tap()
    bench.ring()
    bench.tick(70.0)
    bench.tap()  # 13's final, a stray tap; the rack is served during it
    bench.tick(7.0)
    bench.do(bench.forward())
    assert bench.ticket("12").stage is TicketStage.GOOD
    bench.ring()
    bench.wait(1.0)
    bench.do(s.SayNeverClosed())
    assert bench.ticket("12").stage is TicketStage.GOOD
    assert bench.slot.garment.number == "13"
    assert bench.slot.finals == 0


def test_later_taps_on_it_are_taken_back_first() -> None:
    bench = bench_with(AT_PRESS)
    for _ in range(2):
        bench.tap()
        bench.ring()
    bench.tap()
    assert bench.ticket("12").stage is TicketStage.GOOD
    assert bench.refused(s.SayNeverClosed()) == "refuse.never_closed.nothing"
    assert bench.names(c.Back())[0] == "TakenBack"
    assert bench.names(c.Back())[0] == "NeverClosed"
    assert bench.ticket("12").finals == 0


def test_a_garment_judged_on_its_way_to_the_rack_is_taken_back_first() -> None:
    """Its second copy has been called: otherwise both would be open."""
    bench = bench_with()
    for _ in range(2):
        bench.tap()
        bench.ring()  # 12 is on its way to the rack
    bench.do(c.Inspect(bench.ticket("12").id, TicketStage.SCRAP, "scorch"))
    assert bench.refused(s.SayNeverClosed()) == "refuse.never_closed.nothing"
    assert bench.names(c.Back())[0] == "TakenBack"
    assert bench.names(s.SayNeverClosed())[0] == "NeverClosed"
    assert bench.ticket("12").finals == 0
    assert_sound(bench.state)


def test_after_the_next_closing_only_that_one_can_be_taken_back() -> None:
    bench = bench_with()
    bench.tap()
    bench.ring()
    bench.tap()
    bench.ring()
    bench.wait(1.0)
    bench.do(s.SayNeverClosed())  # this is the final, not the pre-press before it
    assert bench.slot.step == 2
    assert bench.refused(s.SayNeverClosed()) == "refuse.never_closed.nothing"


def test_a_closing_seen_by_a_switch_cannot_be_taken_back() -> None:
    bench = bench_with()
    bench.tap()
    bench.wait(0.5)
    bench.do(c.PressClosed())
    bench.ring()
    bench.do(c.PressOpened())
    bench.wait(1.0)
    assert bench.refused(s.SayNeverClosed()) == "refuse.never_closed.nothing"


def test_another_operator_cannot_take_the_closing_back() -> None:
    bench = bench_with()
    bench.tap()
    bench.ring()
    bench.wait(1.0)
    bench.do(c.SignOn("AB", ConfirmMode.GROUPED))
    bench.answer()
    assert bench.refused(s.SayNeverClosed()) == "refuse.never_closed.nothing"


def test_after_a_stop_the_garment_of_unknown_outcome_is_where_it_was() -> None:
    bench = bench_with()
    bench.tap()
    bench.reboot()
    bench.wait(1.0)
    bench.do(bench.forward())  # the press is open
    assert bench.slot.stage is TicketStage.UNKNOWN
    bench.wait(1.0)
    bench.do(s.SayNeverClosed())
    assert (bench.slot.stage, bench.slot.step, bench.slot.marks) == (TicketStage.AT_PRESS, 0, ())


# -- it happened without a tap -------------------------------------------------


def test_a_final_reported_afterwards_counts_and_is_marked() -> None:
    bench = bench_with(AT_PRESS)
    bench.tap()
    bench.ring()
    bench.wait(1.0)
    (pressed,) = bench.do(s.SayPressed(15.0))
    assert pressed == ToldPressed(bench.now, "1/1/1", 2, 4, 15.0)
    ticket = bench.ticket("12")
    assert (ticket.finals, ticket.step, ticket.opened_seen) == (1, 5, TimeSource.TOLD)
    assert (ticket.marks, ticket.beyond_seconds) == (("told",), 0.0)
    assert sum(bench.state.closings.values()) == 2
    last = bench.state.pressings[-1]
    assert last.ended.clock - last.began.clock == 15.0
    assert no_unasked_final(bench)


@pytest.mark.parametrize(
    ("seconds", "marks", "beyond"),
    [
        (9.0, ("told", "short"), -6.0),
        (18.0, ("told",), 3.0),
        (20.0, ("told",), 5.0),
        (30.0, ("told", "over"), 15.0),
    ],
)
def test_reported_seconds_count_as_the_garments_heat(
    seconds: float, marks: tuple[str, ...], beyond: float
) -> None:
    bench = bench_with(AT_PRESS)
    bench.tap()
    bench.ring()
    bench.do(s.SayPressed(seconds))
    assert bench.ticket("12").marks == marks
    assert bench.ticket("12").beyond_seconds == beyond


def test_a_garment_of_the_rack_goes_there_and_the_next_is_called() -> None:
    bench = bench_with(plan_of(one_piece(PeelPlace.RACK, COLD)))
    bench.tap()
    bench.ring()
    done = bench.do(s.SayPressed(15.0))
    assert isinstance(done[-1], TicketCalled)
    assert bench.job.leaving == "1/1/1"


def test_a_closing_reported_by_mistake_can_be_taken_back() -> None:
    bench = bench_with(AT_PRESS)
    bench.tap()
    bench.ring()
    before = bench.slot
    bench.do(s.SayPressed(15.0))
    (unsaid_,) = bench.do(c.Back())
    assert isinstance(unsaid_, NeverClosed)
    assert bench.slot == before


@pytest.mark.parametrize("seconds", [0.0, -3.0, 601.0])
def test_an_impossible_time_is_refused(seconds: float) -> None:
    assert bench_with().refused(s.SayPressed(seconds)) == "refuse.pressed.seconds"


def test_a_second_final_cannot_be_reported_either() -> None:
    bench = bench_with(AT_PRESS)
    for _ in range(2):
        bench.tap()
        bench.ring()
    assert bench.refused(s.SayPressed(15.0)) == "refuse.pressed.nothing"


def test_a_trainee_can_report_a_closing_too() -> None:
    bench = bench_with(confirm=ConfirmMode.EACH)
    bench.do(s.SayPressed(5.0))
    assert bench.slot.step == 2
