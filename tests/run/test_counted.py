"""Closings are counted for the upkeep of each press, without those that never happened."""

from __future__ import annotations

from run_samples import bench_with

from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s


def test_only_closings_that_happened_are_counted() -> None:
    bench = bench_with()
    bench.tap()
    bench.ring()
    bench.tap()
    assert bench.state.closings == {"press-one": 2}
    bench.wait(3.0)
    bench.do(c.SayOpened())
    bench.do(c.SayClosed(closed=False))
    assert bench.state.closings == {"press-one": 1}


def test_unasked_heat_counts_as_a_closing() -> None:
    bench = bench_with()
    bench.do(c.PutOnHold())
    bench.do(c.PressClosed())
    assert bench.state.closings == {"press-one": 1}


def test_a_serviced_part_counts_closings_from_then_on() -> None:
    bench = bench_with()
    bench.tap()
    bench.ring()
    bench.do(s.NoteUpkeep("press-one", "pad"))
    assert bench.state.upkeep == {"press-one/pad": 1}
    bench.do(s.NoteUpkeep("press-two", "pad"))
    assert bench.state.upkeep == {"press-one/pad": 1, "press-two/pad": 0}
