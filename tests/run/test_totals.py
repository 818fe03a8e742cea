"""A re-press is offered only if the remaining heat totals allow it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from run_samples import HOT, Bench, bench_with, one_piece, plan_of

from kiosk.plan.model import PeelPlace
from kiosk.plan.sources import HeatLeft
from kiosk.run.decide.decide import decide
from kiosk.run.facts.represses import broken_totals
from kiosk.run.state import commands as c
from kiosk.run.state.event import Refusal
from kiosk.run.state.model import TicketStage
from kiosk.words import Words

PLANNED = 20  # 5 s of pre-press and 15 s of final on the cloth
ALLOW = c.AllowRepress("1/1/1", "SV", "edge lifts")


def bench_of(cloth: int, piece: int = 60) -> Bench:
    """A station with one-layer numbers whose totals are `cloth` and `piece` seconds."""
    left = (HeatLeft("fabric", cloth, PLANNED), HeatLeft("number.1", piece, 15))
    return bench_with(plan_of(replace(one_piece(PeelPlace.PRESS, HOT), heat_left=left)))


def in_rework(bench: Bench) -> Bench:
    bench.tap()
    bench.ring()
    bench.tap()
    bench.ring()
    bench.do(c.Inspect("1/1/1", TicketStage.REWORK, "lifted_edge", "short_press"))
    return bench


def test_a_re_press_is_allowed_if_the_totals_hold_another_final() -> None:
    bench = in_rework(bench_of(cloth=35))
    bench.do(ALLOW)
    assert bench.ticket("12").represses == 1


def test_a_re_press_is_refused_if_it_would_break_a_total() -> None:
    bench = in_rework(bench_of(cloth=34))
    assert bench.refused(ALLOW) == "refuse.repress.heat"
    assert bench.ticket("12").represses == 0


def test_the_refusal_names_the_owner_of_the_total() -> None:
    bench = in_rework(bench_of(cloth=34, piece=29))
    refusal = decide(bench.state, ALLOW, bench.now)
    assert isinstance(refusal, Refusal)
    assert "too much heat in all for the fabric, number." in Words("en").say(refusal.reason)


def test_a_second_re_press_counts_the_first() -> None:
    bench = in_rework(bench_of(cloth=35))
    bench.do(ALLOW)
    bench.do(c.PutAside("the re-press first"))
    bench.answer()
    bench.tap()
    bench.ring()
    bench.do(c.Inspect("1/1/1", TicketStage.REWORK, "lifted_edge"))
    assert bench.refused(ALLOW) == "refuse.repress.heat"


@pytest.mark.parametrize(("late", "refused"), [(0.4, False), (2.0, False), (6.0, True)])
def test_an_over_run_counts_toward_the_totals(late: float, refused: bool) -> None:
    """A total of 40 s holds 20 planned, 15 again, and 5 over."""
    bench = bench_of(cloth=40)
    bench.tap()
    bench.ring()
    bench.tap()
    bench.ring()
    bench.wait(late)
    bench.do(c.PressOpened())
    bench.do(c.Inspect("1/1/1", TicketStage.REWORK, "lifted_edge"))
    ticket = bench.ticket("12")
    assert ticket.beyond_seconds == pytest.approx(late)
    assert bool(broken_totals(bench.job, ticket)) is refused


def test_heat_missing_from_a_short_final_is_left_for_the_next() -> None:
    """A total of 33 s: 20 planned and 15 again, less the 5 s missing from the first final."""
    bench = bench_of(cloth=33)
    bench.tap()
    bench.ring()
    bench.tap()
    bench.wait(11.0)
    bench.do(c.SayOpened())
    bench.do(c.SayClosed(closed=True))
    bench.do(c.Inspect("1/1/1", TicketStage.REWORK, "lifted_edge", "short_press"))
    ticket = bench.ticket("12")
    assert ticket.beyond_seconds == pytest.approx(-5.0, abs=0.01)
    bench.do(ALLOW)
    assert bench.ticket("12").represses == 1


@pytest.mark.parametrize("seconds", [0.4, 7.0])
def test_unasked_heat_counts_for_the_garment_at_the_press(seconds: float) -> None:
    bench = bench_of(cloth=60)
    bench.tap()
    bench.ring()
    bench.tap()
    bench.ring()
    bench.do(c.PressOpened())
    bench.do(c.PressClosed())
    bench.wait(seconds)
    bench.do(c.PressOpened())
    assert bench.slot.beyond_seconds == pytest.approx(seconds)
