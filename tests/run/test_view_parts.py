"""The screens of a panel pressed in two parts, the garment shifted between them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from run_samples import Bench as Run
from run_samples import bench_with, plan_of, stack, team

from kiosk.plan.model import Pass, Phase, Piece, Plan, PlatenPart
from kiosk.run.show.parts import Ink, SlabKind
from kiosk.run.show.view import view
from kiosk.run.state import commands as c
from kiosk.run.state.rules import QuestionCause, QuestionKind
from kiosk.words import Words

WORDS = Words("en")
NAME = PlatenPart(1, 2, ("name",), {"adult": 1.0, "youth": 1.0})
NUMBER = PlatenPart(2, 2, ("number",), {"adult": -6.875, "youth": -5.0})
PIECES = tuple(
    Piece(f"{e}.{n}", e, n, 2, "sheet-film", colour, "back")
    for e in ("name", "number")
    for n, colour in ((1, "black"), (2, "white"))
)


def part_of(element: str, part: PlatenPart) -> Pass:
    """The stack of `run_samples` on another element; only the first part has a pre-press."""
    steps = tuple(
        replace(step, pieces=tuple(name.replace("number", element) for name in step.pieces))
        for step in stack().steps
        if part.nth == 1 or step.phase is not Phase.PRE_PRESS
    )
    return replace(stack(), group=part.nth - 1, steps=steps, part=part)


def two_parts(second: PlatenPart = NUMBER, runs: tuple[tuple[int, ...], ...] = ((0, 1),)) -> Plan:
    passes = (part_of("name", NAME), part_of("number", second))
    return plan_of(*passes, runs=runs, pieces=PIECES)


def texts(run: Run) -> list[str]:
    shown = view(run.state, run.now)
    return [WORDS.say(each) for each in (shown.move, *shown.lines, shown.bar.label)]


def press_part(run: Run, closings: int) -> None:
    for _ in range(closings):
        run.tap()
        run.ring()


def test_the_second_part_is_moved_not_loaded_and_its_seam_is_named() -> None:
    run = bench_with(two_parts(), ("12", "13"))
    assert texts(run)[:3] == [
        "Load the garment",
        "back up, collar toward you",
        "collar seam at 1 in on the ruler",
    ]
    press_part(run, 4)
    assert texts(run)[-1] == "Good: same garment, number next"
    run.tap()
    run.tick()
    assert texts(run) == [
        "Move it, lay lower piece",
        "collar seam 6 7/8 in past the platen's edge",
        "side seams, zips, buttons off platen; lint off",
        "BLACK, number",
        "Moved, laid: tack 2 s",
    ]
    press_part(run, 3)
    assert texts(run)[-1] == "Good: next garment"


def test_a_youth_size_lies_at_its_own_place() -> None:
    run = bench_with(two_parts(), ("12",))
    assert "at 1 in on the ruler" in texts(run)[2]
    small = Run()
    small.do(c.Start("1.0"))
    small.do(c.SignOn("MK", run.state.confirm))
    plan = two_parts(replace(NUMBER, seam_rulers={"youth": -5.0}))
    small.do(c.StartJob("j", plan, "hash", team("12", size="YM")))
    small.answer()
    press_part(small, 4)
    small.tap()
    small.tick()
    assert "collar seam 5 in past the platen's edge" in texts(small)


def test_only_the_parts_own_pieces_are_laid_and_those_before_are_outlined() -> None:
    run = bench_with(two_parts(), ("12",))
    press_part(run, 1)
    inks = {p.piece: p.ink for p in view(run.state, run.now).pieces}
    assert inks == {
        "name.1": Ink.NEXT, "name.2": Ink.AHEAD, "number.1": Ink.AHEAD, "number.2": Ink.AHEAD,
    }  # fmt: skip
    press_part(run, 3)
    run.tap()
    run.tick()
    inks = {p.piece: p.ink for p in view(run.state, run.now).pieces}
    assert inks == {
        "name.1": Ink.LAID, "name.2": Ink.LAID, "number.1": Ink.NEXT, "number.2": Ink.AHEAD,
    }  # fmt: skip


@pytest.mark.parametrize(("under", "films"), [((), 1), (("name",), 3)])
def test_the_cross_section_has_what_lies_under_the_platen(
    under: tuple[str, ...], films: int
) -> None:
    run = bench_with(two_parts(replace(NUMBER, under=under)), ("12",))
    press_part(run, 4)
    run.tap()
    run.tick()
    stack_shown = view(run.state, run.now).stack
    assert sum(slab.kind is SlabKind.FILM for slab in stack_shown) == films


def test_the_first_part_is_inspected_for_what_is_on_it() -> None:
    run = bench_with(two_parts(), ("12",))
    press_part(run, 4)
    assert texts(run)[1] == "on the back: name, size as the ticket"
    assert texts(run)[2].startswith("straight")
    run.tap()
    run.tick()
    press_part(run, 3)
    assert texts(run)[1] == "on the back: number, name, size as the ticket"
    assert texts(run)[2].startswith("digits in order")


def test_in_a_lot_of_its_own_the_second_part_asks_for_the_number_in_hand_and_the_name() -> None:
    """The number is not on the shirt yet: only the name shows whose it is."""
    run = bench_with(two_parts(runs=((0,), (1,))), ("12",))
    press_part(run, 4)
    run.tap()
    run.tick()
    (question,) = run.job.questions
    assert (question.ask, question.because) == (QuestionKind.NUMBER, QuestionCause.LATER_PASS)
    assert "the number of the pieces in hand" in texts(run)[1]
    run.answer()
    assert texts(run)[:3] == [
        "Load, lay the lower piece",
        "name on the garment as on the ticket",
        "collar seam 6 7/8 in past the platen's edge",
    ]


def test_a_garment_without_a_name_is_not_identified_by_it() -> None:
    run = bench_with(two_parts(runs=((0,), (1,))), ("12",))
    press_part(run, 4)
    run.tap()
    run.tick()
    run.answer()
    shown = view(run.state, run.now, nameless=frozenset({"1"}))
    assert WORDS.say(shown.lines[0]) == "back up, collar toward you"
