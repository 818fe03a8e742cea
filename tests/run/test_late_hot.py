"""After a hot peel minutes late the operator reports how it went; it keeps a mark."""

from __future__ import annotations

from dataclasses import replace

import pytest
from run_samples import COLD, HOT, Bench, bench_with, one_piece, plan_of, staged

from kiosk.plan.model import PeelPlace
from kiosk.run.facts.questions import BarOwner
from kiosk.run.show.view import view
from kiosk.run.state import commands as c
from kiosk.run.state.events import Confirmed, Finished
from kiosk.run.state.model import ConfirmMode, TicketStage

AT_PRESS = plan_of(one_piece(PeelPlace.PRESS, HOT))  # hot for 10 s after the opening


def opened(confirm: ConfirmMode = ConfirmMode.GROUPED) -> Bench:
    """A garment whose final has just ended, its carrier still on."""
    bench = bench_with(AT_PRESS, confirm=confirm)
    while not bench.ticket("12").finals:
        bench.tap()
        if bench.state.heat is not None:
            bench.ring()
    return bench


def test_fifteen_minutes_late_one_press_does_not_make_it_good() -> None:
    bench = opened()
    bench.tick(900.0)
    assert (bench.bar.meaning, bench.bar.owner) == (None, BarOwner.NOBODY)
    shown = view(bench.state, bench.now)
    assert shown.move.id == "move.late_hot"
    assert (shown.inspecting, shown.inspect_number) == (True, "12")
    assert bench.refused(c.Forward(c.Meaning(c.Verb.FINISH, "1/1/1", 5), bench.clock)) in {
        "refuse.forward.nobody",
        "refuse.forward.changed",
    }


@pytest.mark.parametrize("stage", [TicketStage.GOOD, TicketStage.REWORK])
def test_the_result_keeps_the_late_mark(stage: TicketStage) -> None:
    bench = opened()
    bench.tick(900.0)
    done = bench.do(c.Inspect("1/1/1", stage, "lifted_edge", "peeled_late"))[0]
    assert isinstance(done, Finished)
    assert done.peeled
    assert done.late_seconds == pytest.approx(890.0)
    assert "late" in bench.ticket("12").marks


def test_in_time_one_press_is_enough_and_nothing_is_marked() -> None:
    bench = opened()
    bench.tick(60.0)  # peeled at once, inspected without hurry
    done = bench.do(bench.forward())[0]
    assert isinstance(done, Finished)
    assert done.late_seconds is None
    assert bench.ticket("12").marks == ()


def test_a_trainee_confirms_the_late_peel_and_is_asked_at_the_inspection() -> None:
    bench = opened(ConfirmMode.EACH)
    bench.tick(900.0)
    peeled = bench.do(bench.forward())[0]
    assert isinstance(peeled, Confirmed)
    assert peeled.late_seconds == pytest.approx(890.0)
    bench.wait(3.0)
    assert bench.bar.meaning is None
    done = bench.do(c.Inspect("1/1/1", TicketStage.GOOD))[0]
    assert isinstance(done, Finished)
    assert bench.ticket("12").marks == ("late",)


def test_late_hot_pieces_of_a_garment_for_the_rack_are_marked_by_the_next_closing() -> None:
    bench = bench_with(plan_of(replace(staged(), stages=(HOT, COLD))))
    bench.tap()
    bench.ring()
    bench.tick(900.0)
    bench.answer()
    bench.tap()
    assert bench.ticket("12").hot_peeled
    assert "late" in bench.ticket("12").marks
