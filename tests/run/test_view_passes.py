"""The bar's words for a garment with more than one pass, and for a single carrier."""

from __future__ import annotations

import pytest
from run_samples import HOT, Bench, bench_with, one_piece, plan_of, stack
from view_cases import label, move

from kiosk.plan.model import PeelPlace, Piece
from kiosk.run.show.view import view
from kiosk.run.state import commands as c
from kiosk.run.state.model import ConfirmMode, TicketStage

FRONT = one_piece(PeelPlace.PRESS, HOT, panel="front")
BACK = one_piece(PeelPlace.PRESS, HOT)


def shown(bench: Bench) -> str:
    return label(view(bench.state, bench.now))


def to_inspection(bench: Bench) -> Bench:
    bench.answer()
    while not bench.verb.startswith("finish"):
        bench.tap()
        if bench.state.heat is not None:
            bench.ring()
    return bench


@pytest.mark.parametrize(
    ("confirm", "again", "following", "last"),
    [
        (ConfirmMode.EACH, "Good: same garment, front", "Good: next garment", "Good: the last one"),
        (
            ConfirmMode.GROUPED,
            "Peeled, good: same, front",
            "Peeled, good: next garment",
            "Peeled, good: the last one",
        ),
    ],
)
def test_a_garment_coming_back_for_its_front_is_not_the_next_garment(
    confirm: ConfirmMode, again: str, following: str, last: str
) -> None:
    bench = bench_with(plan_of(BACK, FRONT, runs=((0, 1),)), ("12", "13"), confirm)
    texts = []
    for _ in range(4):
        texts.append(shown(to_inspection(bench)))
        bench.tap()
    assert texts == [again, following, again, last]
    assert all(ticket.stage is TicketStage.GOOD for ticket in bench.job.tickets.values())


@pytest.mark.parametrize(
    ("confirm", "label"),
    [(ConfirmMode.EACH, "Good: garment done"), (ConfirmMode.GROUPED, "Peeled, good: garment done")],
)
def test_a_job_of_one_garment_has_no_last_one(confirm: ConfirmMode, label: str) -> None:
    bench = bench_with(plan_of(FRONT), ("12",), confirm)
    assert shown(to_inspection(bench)) == label


def test_a_single_carrier_is_singular_in_move_and_bar() -> None:
    pieces = tuple(Piece(f"number.{n}", "number", n, 2, "sheet-film", "black") for n in (1, 2))
    bench = bench_with(plan_of(stack(), pieces=pieces), ("12",), ConfirmMode.EACH)
    texts = []
    while not bench.verb.startswith("finish"):
        at_hand = view(bench.state, bench.now)
        if "arrier" in move(at_hand):
            texts.append((move(at_hand), label(at_hand).partition(":")[0]))
        bench.tap()
        if bench.state.heat is not None:
            bench.ring()
    assert texts
    assert set(texts) == {("Take the carrier off", "Carrier off")}


def test_without_its_pre_press_a_trainee_lays_next() -> None:
    bench = bench_with(plan_of(BACK), ("12",), ConfirmMode.EACH)
    assert shown(bench) == "Loaded and flat: close 5 s"
    bench.do(c.Skip("dry"))
    assert shown(bench) == "Loaded and flat: lay next"
