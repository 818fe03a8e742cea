"""How a pass is cut into moves; indices are those of the sample passes."""

from __future__ import annotations

import pytest
from run_samples import bench_with, one_piece, plan_of, stack, staged

from kiosk.plan.model import Pass, PeelPlace
from kiosk.run.facts.moves import Move, move_from, moves
from kiosk.run.state.model import ConfirmMode

PASSES = {"one piece": one_piece(), "stack": stack(), "staged": staged()}


@pytest.mark.parametrize("passage", PASSES.values(), ids=PASSES)
def test_grouped_moves_need_one_tap_per_closing_plus_one(passage: Pass) -> None:
    assert len(moves(passage, ConfirmMode.GROUPED)) == passage.closings + 1


def test_one_piece_work_takes_three_taps_and_a_two_layer_stack_five() -> None:
    assert len(moves(one_piece(), ConfirmMode.GROUPED)) == 3
    assert len(moves(stack(), ConfirmMode.GROUPED)) == 5


def test_a_grouped_move_ends_with_closing_on_the_next_hot_step() -> None:
    assert moves(one_piece(), ConfirmMode.GROUPED) == (
        Move(0, 0, 1),
        Move(2, 3, 4),
        Move(5, 6, ends=True),
    )


def test_a_trainee_confirms_each_phase_and_the_last_before_heat_closes() -> None:
    assert moves(stack(), ConfirmMode.EACH) == (
        Move(0, 0, 1),
        Move(2, 2, 3),
        Move(4, 4),
        Move(5, 5, 6),
        Move(7, 7),
        Move(8, 8, 9),
        Move(10, 10, ends=True),
    )


def test_a_peel_at_the_press_is_a_trainees_tap_of_its_own() -> None:
    at_press = moves(one_piece(PeelPlace.PRESS), ConfirmMode.EACH)
    assert at_press[-2:] == (Move(5, 5), Move(6, 6, ends=True))


def test_a_garment_from_the_rack_is_one_tap_for_a_trainee_too() -> None:
    assert moves(one_piece(PeelPlace.RACK), ConfirmMode.EACH)[-1] == Move(5, 6, ends=True)
    assert moves(staged(), ConfirmMode.EACH)[-2:] == (Move(4, 4), Move(5, 6, ends=True))


@pytest.mark.parametrize("confirm", ConfirmMode)
@pytest.mark.parametrize("passage", PASSES.values(), ids=PASSES)
def test_every_step_is_confirmed_or_pressed_exactly_once(
    passage: Pass, confirm: ConfirmMode
) -> None:
    steps: list[int] = []
    for move in moves(passage, confirm):
        steps += range(move.first, move.last + 1)
        steps += [] if move.hot is None else [move.hot]
    assert steps == list(range(len(passage.steps)))


def test_a_ticket_given_back_at_a_hot_step_has_nothing_to_confirm_but_the_closing() -> None:
    assert move_from(one_piece(), 4, ConfirmMode.EACH) == Move(4, 3, 4)
    assert move_from(one_piece(), 4, ConfirmMode.GROUPED) == Move(4, 3, 4)


def test_a_pre_press_left_out_joins_the_hand_steps_around_it() -> None:
    assert move_from(one_piece(), 0, ConfirmMode.GROUPED, True) == Move(0, 3, 4)
    assert move_from(one_piece(), 0, ConfirmMode.EACH, True) == Move(0, 0)
    assert move_from(one_piece(), 1, ConfirmMode.EACH, True) == Move(2, 2)


def test_there_is_no_move_beyond_the_end() -> None:
    assert move_from(one_piece(), 7, ConfirmMode.EACH) is None
    assert move_from(one_piece(), -1, ConfirmMode.GROUPED) is None


@pytest.mark.parametrize("passage", PASSES.values(), ids=PASSES)
@pytest.mark.parametrize("confirm", ConfirmMode)
def test_the_station_asks_for_as_many_taps_as_there_are_moves(
    passage: Pass, confirm: ConfirmMode
) -> None:
    bench = bench_with(plan_of(passage), ("12",), confirm)
    taps = 0
    while not bench.job.done:
        if bench.state.heat is not None:
            bench.ring()
        elif bench.bar.meaning is None:
            bench.tick(61.0)
        else:
            bench.tap()
            taps += 1
    assert taps == len(moves(passage, confirm))
