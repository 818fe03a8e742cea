"""How a garment ended is told once, however many passes it went through."""

from __future__ import annotations

from run_samples import HOT, Bench, bench_with, one_piece, plan_of

from kiosk.plan.model import Place
from kiosk.run import commands as c
from kiosk.run.model import Stage
from kiosk.run.progress import ends

BOTH = plan_of(
    one_piece(Place.PRESS, HOT), one_piece(Place.PRESS, HOT, panel="front"), runs=((0, 1),)
)


def pressed(bench: Bench) -> Bench:
    bench.answer()
    for _ in range(2):
        bench.tap()
        bench.ring()
    return bench


def test_a_garment_has_its_end_after_its_last_pass() -> None:
    bench = bench_with(BOTH, ("12", "13"))
    pressed(bench).tap()
    assert ends(bench.job) == (None, None)
    pressed(bench).tap()
    assert ends(bench.job) == (Stage.GOOD, None)


def test_a_garment_accepted_in_one_pass_is_accepted() -> None:
    bench = bench_with(BOTH, ("12",))
    pressed(bench)
    bench.do(c.Inspect("1/1/1", Stage.ACCEPTED, "marks"))
    pressed(bench).tap()
    assert ends(bench.job) == (Stage.ACCEPTED,)


def test_a_scrapped_garment_and_the_one_in_its_place_are_two() -> None:
    bench = bench_with(BOTH, ("12", "13"))
    pressed(bench)
    bench.scrap("1/1/1")
    assert ends(bench.job) == (Stage.SCRAP, None, None)
