"""Stops, reboots, sleep: known heat continues, unknown is never pressed again unasked."""

from __future__ import annotations

import pytest
from run_samples import Bench, bench_with, one_piece, plan_of, stack

from kiosk.plan.model import PeelPlace
from kiosk.run.apply.fold import apply, replay
from kiosk.run.facts.peels import peel_time
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state import commands as c
from kiosk.run.state.event import Now
from kiosk.run.state.events import OutcomeUnknown, TimeUp
from kiosk.run.state.events_station import StationStarted
from kiosk.run.state.model import TicketStage


def in_final(place: PeelPlace = PeelPlace.RACK) -> Bench:
    bench = bench_with(plan_of(one_piece(place)))
    bench.tap()
    bench.ring()
    bench.tap()
    return bench


def test_replaying_the_events_is_recovery() -> None:
    bench = in_final()
    assert replay(bench.events) == bench.state


def test_a_start_before_the_deadline_in_the_same_boot_goes_on_counting() -> None:
    bench = in_final()
    heat = bench.state.heat
    bench.wait(6.0)
    bench.do(c.Start("1.0"))
    assert bench.is_in(ScreenKind.HEAT)
    assert bench.state.heat == heat
    assert bench.state.open_first


def test_the_countdown_that_went_on_ends_like_any_other() -> None:
    bench = in_final()
    bench.wait(6.0)
    bench.do(c.Start("1.0"))
    up = bench.ring()[0]
    assert isinstance(up, TimeUp)
    assert bench.ticket("12").stage is TicketStage.COOLING
    assert not bench.state.open_first


@pytest.mark.parametrize("late", [0.0, 0.5, 300.0])
def test_a_start_after_the_deadline_leaves_the_outcome_unknown(late: float) -> None:
    bench = in_final()
    assert bench.state.heat is not None
    bench.until((bench.state.heat.deadline or 0.0) + late)
    assert bench.names(c.Start("1.0")) == ("StationStarted", "OutcomeUnknown")
    assert bench.slot.stage is TicketStage.UNKNOWN
    assert bench.slot.marks == ("unknown",)
    assert bench.is_in(ScreenKind.OPEN_FIRST)


def test_a_reboot_in_a_hot_phase_leaves_the_outcome_unknown() -> None:
    bench = in_final()
    bench.wait(3.0)
    started, unknown = bench.reboot(2.0)
    assert isinstance(started, StationStarted)
    assert isinstance(unknown, OutcomeUnknown)
    assert unknown.why == "rebooted"


def test_open_the_press_is_shown_before_anything_else() -> None:
    bench = in_final()
    bench.reboot()
    assert bench.verb == "press is open"
    bench.tap()
    assert not bench.state.open_first


def test_a_long_press_reports_the_press_open_without_a_garments_opening() -> None:
    """design.md section 3: not seen stays not seen; nobody knows when it opened."""
    bench = in_final()
    bench.reboot()
    opened = bench.slot.opened
    assert bench.names(c.SayOpened()) == ("OpenSaid",)
    assert not bench.state.open_first
    assert bench.slot.opened == opened


def test_a_final_of_unknown_outcome_is_never_pressed_again_unasked() -> None:
    bench = in_final()
    bench.reboot()
    bench.tap()
    assert bench.slot.finals == 1
    assert bench.verb == "-"
    bench.do(c.Inspect("1/1/1", TicketStage.GOOD))
    assert bench.slot.garment.number == "13"


def test_a_final_of_unknown_outcome_can_be_looked_at_later() -> None:
    bench = in_final()
    bench.reboot()
    bench.tap()
    bench.do(c.PutAside("still hot"))
    assert bench.job.aside == ("1/1/1",)
    assert bench.slot.garment.number == "13"
    bench.do(c.Inspect("1/1/1", TicketStage.ACCEPTED, "marks", "not_known"))
    assert not bench.job.aside


def test_a_pre_press_of_unknown_outcome_can_go_on() -> None:
    bench = bench_with()
    bench.tap()
    bench.reboot()
    bench.tap()
    assert bench.verb == "go on 12"
    bench.tap()
    bench.answer()
    assert bench.slot.step == 2
    assert bench.verb == "close 12"


def test_a_tack_of_unknown_outcome_can_go_on() -> None:
    bench = bench_with(plan_of(stack()))
    bench.tap()
    bench.ring()
    bench.tap()
    bench.reboot()
    bench.tap()
    bench.tap()
    bench.answer()
    assert (bench.slot.step, bench.verb) == (4, "close 12")


def test_a_machine_that_slept_through_the_deadline_did_not_see_the_end() -> None:
    bench = in_final()
    assert bench.state.heat is not None
    bench.until((bench.state.heat.deadline or 0.0) + 5.1)
    unknown = bench.tick()[0]
    assert isinstance(unknown, OutcomeUnknown)
    assert unknown.why == "slept"
    assert bench.is_in(ScreenKind.OPEN_FIRST)


def test_five_seconds_late_is_still_the_end_of_time() -> None:
    bench = in_final()
    assert bench.state.heat is not None
    bench.until((bench.state.heat.deadline or 0.0) + 5.0)
    assert isinstance(bench.tick()[0], TimeUp)


def test_an_over_run_that_nobody_watched_over_a_reboot_is_unknown() -> None:
    bench = bench_with(plan_of(one_piece(), confirm_opening=True))
    bench.tap()
    bench.ring()
    assert bench.is_in(ScreenKind.OVER)
    bench.reboot()
    assert bench.slot.stage is TicketStage.UNKNOWN


def test_an_over_run_goes_on_counting_when_started_again_in_the_same_boot() -> None:
    bench = bench_with(plan_of(one_piece(), confirm_opening=True))
    bench.tap()
    bench.ring()
    bench.wait(2.0)
    bench.do(c.Start("1.0"))
    assert bench.is_in(ScreenKind.OVER)
    bench.tap()
    assert not bench.state.open_first


def test_unasked_heat_over_a_reboot_says_open_first_and_marks_the_garment() -> None:
    bench = bench_with()
    bench.do(c.PutOnHold("phone"))
    bench.do(c.PressClosed())
    bench.reboot()
    assert bench.is_in(ScreenKind.OPEN_FIRST)
    assert (bench.slot.stage, bench.slot.marks) == (TicketStage.AT_PRESS, ("unasked",))


def test_before_the_start_of_a_new_boot_nothing_is_taken() -> None:
    bench = bench_with()
    bench.boot, bench.clock = "boot-2", 3.0
    assert bench.refused(c.PutOnHold()) == "refuse.while.new"
    assert not bench.tick()


def test_rack_times_after_a_reboot_come_from_wall_time_and_are_uncertain() -> None:
    bench = in_final()
    bench.ring()
    bench.wait(20.0)
    bench.reboot(15.0)
    time = peel_time(bench.job, bench.ticket("12"), bench.now)
    assert time is not None
    assert (time.from_seconds, time.uncertain) == (25.0, True)


def test_a_wall_clock_set_back_over_a_reboot_does_not_make_time_run_backwards() -> None:
    bench = in_final()
    bench.ring()
    bench.reboot(-5000.0)
    time = peel_time(bench.job, bench.ticket("12"), bench.now)
    assert time is not None
    assert (time.waited, time.uncertain) == (0.0, True)


def test_a_changed_wall_clock_is_recorded_and_changes_no_dwell() -> None:
    bench = in_final()
    heat = bench.state.heat
    bench.wall_ahead += 3600.0
    bench.wait(1.0)
    moved = bench.tick()[0]
    assert type(moved).__name__ == "WallClockMoved"
    assert bench.state.heat == heat
    assert bench.tick(1.0) == ()
    assert isinstance(bench.ring()[0], TimeUp)


def test_a_small_drift_of_the_wall_clock_is_no_jump() -> None:
    bench = in_final()
    bench.wall_ahead += 5.0
    assert bench.tick() == ()


def test_a_simulated_log_is_never_run_and_a_real_one_never_simulated() -> None:
    bench = bench_with()
    assert bench.refused(c.Start("1.0", simulated=True)) == "refuse.start.real"
    simulated = Bench()
    simulated.do(c.Start("1.0", simulated=True))
    assert simulated.refused(c.Start("1.0")) == "refuse.start.simulated"
    simulated.do(c.Start("1.0", simulated=True))


def test_a_stop_at_any_moment_leaves_each_garment_pressed_at_most_once() -> None:
    whole = in_final()
    whole.ring()
    whole.tap()
    whole.ring()
    for length in range(1, len(whole.events) + 1):
        bench = bench_with()
        bench.events, bench.state = whole.events[:length], replay(whole.events[:length])
        bench.clock = whole.clock
        bench.reboot()
        for ticket in bench.job.tickets.values() if bench.state.job else ():
            assert ticket.finals <= 1
            assert ticket.stage is not TicketStage.WAITING or ticket.finals == 0


def test_a_start_changes_nothing_that_is_cool() -> None:
    bench = bench_with()
    job = bench.job
    bench.do(c.Start("1.0"))
    assert bench.job == job
    assert bench.verb == "close 12"


def test_after_a_start_the_switch_has_to_be_seen_again() -> None:
    bench = bench_with()
    bench.do(c.PressClosed())
    bench.ring()
    bench.do(c.PressOpened())
    bench.do(c.Start("1.0"))
    bench.tap()
    bench.ring()
    assert bench.ticket("12").stage is TicketStage.COOLING


def test_a_first_start_may_say_that_the_log_is_simulated() -> None:
    at = Now("boot-1", 0.0, 0.0)
    assert apply(replay(()), StationStarted(at, "1.0", True)).simulated
