"""Place, count and end of a garment: counted once, however many passes it goes through."""

from __future__ import annotations

from run_samples import HOT, Bench, bench_with, one_piece, plan_of

from kiosk.plan.model import PeelPlace
from kiosk.run.facts.tickets import outcomes, progress
from kiosk.run.state import commands as c
from kiosk.run.state.model import TicketStage

BOTH = plan_of(
    one_piece(PeelPlace.PRESS, HOT), one_piece(PeelPlace.PRESS, HOT, panel="front"), runs=((0, 1),)
)


def pressed(bench: Bench) -> Bench:
    bench.answer()
    for _ in range(2):
        bench.tap()
        bench.ring()
    return bench


def test_a_garment_ends_after_its_last_pass() -> None:
    bench = bench_with(BOTH, ("12", "13"))
    pressed(bench).tap()
    assert outcomes(bench.job) == (None, None)
    pressed(bench).tap()
    assert outcomes(bench.job) == (TicketStage.GOOD, None)


def test_a_garment_accepted_in_one_pass_is_accepted() -> None:
    bench = bench_with(BOTH, ("12",))
    pressed(bench)
    bench.do(c.Inspect("1/1/1", TicketStage.ACCEPTED, "marks"))
    pressed(bench).tap()
    assert outcomes(bench.job) == (TicketStage.ACCEPTED,)


def test_a_scrapped_garment_and_the_one_in_its_place_are_two() -> None:
    bench = bench_with(BOTH, ("12", "13"))
    pressed(bench)
    bench.scrap("1/1/1")
    assert outcomes(bench.job) == (TicketStage.SCRAP, None, None)


IN_LOTS = plan_of(one_piece(PeelPlace.PRESS, HOT), one_piece(PeelPlace.PRESS, HOT, panel="front"))


def place(bench: Bench) -> tuple[str, int, int]:
    """The current garment's number, its place, and the number of garments."""
    bench.tick()
    return (bench.slot.garment.number, *progress(bench.job, bench.slot))


def test_a_scrap_in_the_first_run_moves_nobodys_place() -> None:
    """Its ticket of the next run is void at once; it used to count as called too early."""
    bench = bench_with(IN_LOTS, ("12", "13", "14"))
    assert place(bench) == ("12", 1, 3)
    pressed(bench)
    bench.scrap("1/1/1")
    assert place(bench) == ("13", 2, 4)
    for number, nth in (("14", 3), ("12", 4)):
        pressed(bench).tap()
        assert place(bench) == (number, nth, 4)
    pressed(bench).tap()
    seen = [place(bench)]
    while seen[-1][1] < 4:
        pressed(bench).tap()
        seen.append(place(bench))
    assert seen == [("13", 2, 4), ("14", 3, 4), ("12", 4, 4)]  # one of the 4 was spoilt before


def test_a_scrap_in_a_later_run_has_its_garment_made_from_the_start() -> None:
    bench = bench_with(IN_LOTS, ("12", "13"))
    for _ in range(2):
        pressed(bench).tap()
        bench.tick()
    assert place(bench) == ("12", 1, 2)
    pressed(bench)
    bench.scrap("1/2/1")
    assert place(bench) == ("12", 3, 3)
    pressed(bench).tap()
    assert place(bench) == ("13", 2, 3)


def test_a_scrap_in_a_run_of_two_passes_ends_both_places() -> None:
    bench = bench_with(BOTH, ("12", "13"))
    pressed(bench)
    bench.scrap("1/1/1")
    assert place(bench) == ("13", 2, 3)
