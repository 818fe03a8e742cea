"""Closings are counted for the upkeep of each press, without those that never happened."""

from __future__ import annotations

from run_samples import bench_with

from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s


def test_closings_are_counted_and_what_was_not_closed_is_not() -> None:
    bench = bench_with()
    bench.tap()
    bench.ring()
    bench.tap()
    assert bench.state.closings == {"press-one": 2}
    bench.wait(3.0)
    bench.do(c.SayOpened())
    bench.do(c.SayClosed(closed=False))
    assert bench.state.closings == {"press-one": 1}


def test_heat_that_nobody_asked_for_is_a_closing_too() -> None:
    bench = bench_with()
    bench.do(c.HoldOn())
    bench.do(c.PressClosed())
    assert bench.state.closings == {"press-one": 1}


def test_a_part_that_was_seen_to_counts_from_there() -> None:
    bench = bench_with()
    bench.tap()
    bench.ring()
    bench.do(s.SeeTo("press-one", "pad"))
    assert bench.state.upkeep == {"press-one/pad": 1}
    bench.do(s.SeeTo("press-two", "pad"))
    assert bench.state.upkeep == {"press-one/pad": 1, "press-two/pad": 0}
