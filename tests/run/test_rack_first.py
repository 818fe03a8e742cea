"""Serving the rack in a short closing, and before a load during which it would be late."""

from __future__ import annotations

from dataclasses import replace

import pytest
from run_samples import COLD, HOT, WARM, Bench, bench_with, one_piece, plan_of

from kiosk.catalog.model.sheets import Peel
from kiosk.plan.model import PeelPlace, PeelWait
from kiosk.run.facts.hands import rack_after
from kiosk.run.facts.questions import BarOwner
from kiosk.run.show.view import view
from kiosk.run.state import commands as c
from kiosk.run.state.model import TicketStage

SIX = ("12", "13", "14", "15", "16", "17")
SOON = PeelWait(Peel.WARM, 60.0, 110.0, "made up")


def pressed(bench: Bench, garments: int) -> Bench:
    """A number of garments pressed and taken to the rack, none of them peeled."""
    for _ in range(garments):
        for _ in range(2):
            bench.tap()
            bench.ring()
    return bench


def test_six_cold_garments_are_served_in_one_pre_press_of_five_seconds() -> None:
    bench = pressed(bench_with(numbers=(*SIX, "18")), 6)
    bench.tick(70.0)
    bench.tap()  # the pre-press of the seventh
    assert bench.state.heat is not None
    assert bench.state.heat.dwell_seconds == 5.0
    bench.until(bench.state.heat.starts + 1.0)
    for number in SIX:
        bench.wait(0.6)
        assert (bench.verb, bench.bar.owner) == (f"peeled {number}", BarOwner.RACK)
        bench.do(bench.forward())
    assert {bench.ticket(number).stage for number in SIX} == {TicketStage.GOOD}
    assert bench.state.heat is not None  # all in the same closing


@pytest.mark.parametrize(
    ("dwell", "after"), [(2.0, 1.0), (5.0, 1.0), (8.0, 4.0), (9.0, 5.0), (30.0, 5.0), (None, 5.0)]
)
def test_the_bar_switches_to_the_rack_after_part_of_the_closing(
    dwell: float | None, after: float
) -> None:
    assert rack_after(dwell) == after


def test_what_would_be_late_after_the_load_is_peeled_before_it() -> None:
    bench = pressed(bench_with(plan_of(one_piece(PeelPlace.RACK, SOON)), SIX), 2)
    bench.tick(70.0)
    bench.tap()
    bench.ring()
    bench.do(c.PutAside("lint"))  # now another garment has to be loaded
    assert bench.verb == "peeled 12"
    assert bench.bar.owner is BarOwner.RACK
    shown = view(bench.state, bench.now)
    assert shown.number == "12"
    lines = {line.id: line.values for line in shown.lines}
    assert lines["line.rack_first"]["number"] == "15"
    assert shown.bar.below.id == "below.rack_first"
    bench.tap()
    assert bench.ticket("12").stage is TicketStage.GOOD
    assert bench.verb == "close 15"


def test_of_two_that_would_be_late_the_one_late_sooner_is_peeled_first() -> None:
    bench = pressed(bench_with(plan_of(one_piece(PeelPlace.RACK, SOON)), SIX), 2)
    bench.tick(90.0)
    bench.tap()
    bench.ring()
    bench.do(c.PutAside("lint"))
    peeled = []
    while bench.verb.startswith("peeled"):
        peeled.append(bench.verb)
        bench.tap()
    assert peeled == ["peeled 12", "peeled 13"]
    assert bench.verb == "close 15"


def test_a_peel_that_is_not_late_by_the_next_closing_waits_for_it() -> None:
    bench = pressed(bench_with(plan_of(one_piece(PeelPlace.RACK, COLD)), SIX), 2)
    bench.tick(70.0)
    assert bench.verb == "close 14"  # due, but good for minutes


def test_hands_that_have_begun_to_load_are_not_stopped() -> None:
    bench = pressed(bench_with(plan_of(one_piece(PeelPlace.RACK, SOON)), SIX), 2)
    bench.tick(75.0)  # 12 came due, and is nearly late, while 14 was being loaded
    assert bench.verb == "close 14"


def test_a_garment_just_going_to_the_rack_does_not_count_as_missed() -> None:
    short = replace(WARM, from_seconds=0.0, to_seconds=5.0)
    bench = pressed(bench_with(plan_of(one_piece(PeelPlace.RACK, short)), SIX), 1)
    bench.tick(2.0)
    assert bench.job.leaving == "1/1/1"
    assert bench.verb == "close 13"


def test_at_a_press_without_a_rack_nothing_changes() -> None:
    bench = pressed(bench_with(plan_of(one_piece(PeelPlace.PRESS, HOT))), 1)
    assert bench.verb == "finish 12"
