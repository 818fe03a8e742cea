"""Grouped moves: for families a supervisor signed an operator off for, until they expire."""

from __future__ import annotations

import pytest
from run_samples import Bench, one_piece, plan_of, stack, staged, team

from kiosk.plan.group import families, plan_families
from kiosk.plan.model import Pass, Piece
from kiosk.run.facts.moves import confirm_of
from kiosk.run.state import commands as c
from kiosk.run.state.model import ConfirmMode

DAY = 86_400.0
LAYERED = (Piece("number.1", "number", 1, 2, "film", "black"),)


def signed(bench: Bench, operator: str, family: str, days: float = 30.0) -> None:
    bench.do(c.GiveSignOff(operator, family, bench.now.wall + days * DAY, "SV", met=True))


def a_trainee() -> Bench:
    bench = Bench()
    bench.do(c.Start("1.0"))
    bench.do(c.SignOn("TR", ConfirmMode.EACH))
    return bench


def confirms(bench: Bench, passage: Pass, pieces: tuple[Piece, ...] = LAYERED) -> ConfirmMode:
    return confirm_of(bench.state, plan_of(passage, pieces=pieces), passage)


@pytest.mark.parametrize(
    ("passage", "layers", "expected"),
    [
        (one_piece(), 1, ("one-piece",)),
        (stack(), 2, ("two-layer",)),
        (stack(), 3, ("three-layer",)),
        (stack(), 4, ("three-layer",)),
        (staged(), 1, ("one-piece", "staged-peel")),
    ],
)
def test_the_family_of_a_pass_comes_from_its_plan(
    passage: Pass, layers: int, expected: tuple[str, ...]
) -> None:
    plan = plan_of(passage, pieces=(Piece("number.1", "number", 1, layers, "film", "black"),))
    assert families(plan, passage) == plan_families(plan) == expected


def test_an_operator_confirms_grouped_moves_in_the_families_they_are_signed_off_for() -> None:
    bench = a_trainee()
    signed(bench, "TR", "two-layer")
    assert confirms(bench, stack()) is ConfirmMode.GROUPED
    assert confirms(bench, one_piece(), ()) is ConfirmMode.EACH


def test_a_pass_of_two_families_needs_both() -> None:
    bench = a_trainee()
    signed(bench, "TR", "one-piece")
    assert confirms(bench, staged(), ()) is ConfirmMode.EACH
    signed(bench, "TR", "staged-peel")
    assert confirms(bench, staged(), ()) is ConfirmMode.GROUPED


def test_the_taps_of_a_garment_are_those_of_the_family() -> None:
    bench = a_trainee()
    signed(bench, "TR", "two-layer")
    plan = plan_of(stack(), pieces=LAYERED)
    bench.do(c.StartJob("j", plan, "hash", team("4", size="")))
    bench.do(c.ReadSetting(300))
    assert bench.finish() == stack().closings + 1


def test_another_operators_sign_off_does_not_count() -> None:
    bench = a_trainee()
    signed(bench, "QV", "two-layer")
    assert confirms(bench, stack()) is ConfirmMode.EACH
    bench.do(c.SignOn("QV", ConfirmMode.EACH))
    assert confirms(bench, stack()) is ConfirmMode.GROUPED


def test_an_expired_sign_off_ends_with_the_next_sign_on_never_in_the_middle() -> None:
    bench = a_trainee()
    signed(bench, "TR", "two-layer", days=1.0)
    bench.wait(2 * DAY)
    assert confirms(bench, stack()) is ConfirmMode.GROUPED
    bench.do(c.SignOn("TR", ConfirmMode.EACH))
    assert confirms(bench, stack()) is ConfirmMode.EACH


def test_a_supervisor_takes_a_sign_off_back() -> None:
    bench = a_trainee()
    signed(bench, "TR", "two-layer")
    signed(bench, "TR", "two-layer", days=-1.0)
    assert confirms(bench, stack()) is ConfirmMode.EACH
    assert bench.state.sign_offs == ()


def test_an_operator_signed_off_for_everything_stays_so() -> None:
    bench = a_trainee()
    bench.do(c.SignOn("TR", ConfirmMode.GROUPED))
    assert confirms(bench, staged(), ()) is ConfirmMode.GROUPED


def test_nobody_signs_off_without_a_supervisor() -> None:
    bench = a_trainee()
    asked = c.GiveSignOff("TR", "two-layer", bench.now.wall + DAY, " ", met=True)
    assert bench.refused(asked) == "refuse.supervisor"
