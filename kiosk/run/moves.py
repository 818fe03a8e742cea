"""Cuts a pass into moves: the steps that one tap of forward confirms, by who is at the press."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.plan.family import families
from kiosk.plan.model import HOT_PHASES, Pass, Phase, Place, Plan
from kiosk.run.model import Confirm, State, Ticket


@dataclass(frozen=True, slots=True)
class Move:
    """Hand steps `first`..`last` of a pass (none where `last` is below `first`).

    `hot` is the step that the same tap starts by closing the press, None where it starts
    none. `ends` is True for the move that ends the ticket: (peeled,) good.
    """

    first: int
    last: int
    hot: int | None = None
    ends: bool = False


def moves(passage: Pass, confirm: Confirm) -> tuple[Move, ...]:
    """Return all moves of a pass in order; their number is the forward taps of one ticket."""
    found: list[Move] = []
    move = move_from(passage, 0, confirm)
    while move is not None:
        found.append(move)
        after = move.last if move.hot is None else move.hot
        move = move_from(passage, after + 1, confirm)
    return tuple(found)


def move_from(
    passage: Pass, step: int, confirm: Confirm, skip_pre_press: bool = False
) -> Move | None:
    """Return the move that begins at index `step`, None at the pass's end."""
    step = _kept(passage, step, skip_pre_press)
    end = len(passage.steps) - 1
    if not 0 <= step <= end:
        return None
    hot = next_hot(passage, step, skip_pre_press)
    if hot is None and (confirm is Confirm.GROUPED or _on_the_rack(passage, step)):
        return Move(step, end, ends=True)
    if confirm is Confirm.GROUPED and hot is not None:
        return Move(step, hot - 1, hot)
    if hot == step:
        return Move(step, step - 1, hot)
    closes = _kept(passage, step + 1, skip_pre_press) == hot
    return Move(step, step, hot if closes else None, ends=step == end)


def confirm_of(state: State, plan: Plan, passage: Pass) -> Confirm:
    """Return how the operator at the station confirms in `passage`: by family, or in all."""
    if state.confirm is Confirm.GROUPED or not state.grouped:
        return state.confirm
    signed = set(families(plan, passage)) <= set(state.grouped)
    return Confirm.GROUPED if signed else Confirm.EACH


def move_of(passage: Pass, ticket: Ticket, confirm: Confirm) -> Move | None:
    """Return the move at hand of a ticket of this pass."""
    return move_from(passage, ticket.step, confirm, ticket.skipped)


def next_hot(passage: Pass, step: int, skip_pre_press: bool = False) -> int | None:
    """Return the index of the first hot step at or after `step`."""
    for index in range(max(step, 0), len(passage.steps)):
        phase = passage.steps[index].phase
        if phase in HOT_PHASES and not (skip_pre_press and phase is Phase.PRE_PRESS):
            return index
    return None


def first_hand(passage: Pass, step: int) -> int:
    """Return where the hand steps that lead to `step` begin: after the last hot step before."""
    step = min(step, len(passage.steps))
    while step > 0 and passage.steps[step - 1].phase not in HOT_PHASES:
        step -= 1
    return step


def last_peel(passage: Pass) -> int | None:
    """Return the index of the pass's last peel step, the one that its place and wait are for."""
    peels = [i for i, step in enumerate(passage.steps) if step.phase is Phase.PEEL]
    return peels[-1] if peels else None


def racks(passage: Pass) -> bool:
    """Return whether a ticket of this pass cools on the rack."""
    return passage.place is Place.RACK and last_peel(passage) is not None


def _on_the_rack(passage: Pass, step: int) -> bool:
    """Whether only what a ticket of the rack ends with is left: one tap, "peeled, good"."""
    return racks(passage) and step >= (last_peel(passage) or 0)


def _kept(passage: Pass, step: int, skip_pre_press: bool) -> int:
    """Return `step`, or the one after it where it is a pre-press that is left out."""
    if skip_pre_press and 0 <= step < len(passage.steps):
        return step + (passage.steps[step].phase is Phase.PRE_PRESS)
    return step
