"""Cuts a pass into moves: the steps that one tap of forward confirms, by who is at the press."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.plan.model import HOT_PHASES, Pass, Phase, Place
from kiosk.run.model import Confirm, Ticket


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
    step = 0
    while (move := move_from(passage, step, confirm)) is not None:
        found.append(move)
        step = _after_racking(passage, confirm, move)
    return tuple(found)


def move_from(
    passage: Pass, step: int, confirm: Confirm, skip_pre_press: bool = False
) -> Move | None:
    """Return the move that begins at index `step`, None at the pass's end."""
    if step >= len(passage.steps):
        return None
    hot = next_hot(passage, step, skip_pre_press)
    last_of_all = len(passage.steps) - 1
    if confirm is Confirm.GROUPED:
        last = last_of_all if hot is None else hot - 1
        return Move(step, last, hot, ends=hot is None)
    if hot == step:
        return Move(step, step - 1, hot)
    last = hot - 1 if hot is not None and _only_cold(passage, step + 1, hot) else step
    return Move(step, last, hot if last + 1 == hot else None, ends=step == last_of_all)


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


def last_peel(passage: Pass) -> int | None:
    """Return the index of the pass's last peel step, the one that its place and wait are for."""
    peels = [i for i, step in enumerate(passage.steps) if step.phase is Phase.PEEL]
    return peels[-1] if peels else None


def racks(passage: Pass) -> bool:
    """Return whether a ticket of this pass cools on the rack."""
    return passage.place is Place.RACK and passage.wait is not None and bool(last_peel(passage))


def _only_cold(passage: Pass, start: int, end: int) -> bool:
    """Whether all steps from `start` to before `end` are hot ones that are left out."""
    return all(passage.steps[i].phase in HOT_PHASES for i in range(start, end))


def _after_racking(passage: Pass, confirm: Confirm, move: Move) -> int:
    """Where the next move begins; a racked ticket's peels and inspection are one move."""
    if move.ends:
        return len(passage.steps)
    return move.last + 1 if move.hot is None else move.hot + 1
