"""The peels of a pass one after the other: at the press, in hand, on the rack."""

from __future__ import annotations

from kiosk.catalog.model import Peel
from kiosk.plan.model import Pass, PeelWait, Phase, Place

# Steps that are peels are looked for in every frame: a tuple compares by identity first.
PEEL = (Phase.PEEL,)


def peel_steps(passage: Pass) -> tuple[int, ...]:
    """Return the indices of a pass's peel steps, the earliest peel first."""
    return tuple(i for i, step in enumerate(passage.steps) if step.phase in PEEL)


def racked_at(passage: Pass, step: int) -> int | None:
    """Return the first peel at or after index `step` that waits on the rack, else the last peel.

    Those before it are done by the hands that take the garment to the rack. None for a pass
    without a peel, or where `step` is past all of them.
    """
    ahead = [(n, i) for n, i in enumerate(peel_steps(passage)) if i >= step]
    racked = (i for n, i in ahead if place_of(passage, n) is Place.RACK)
    return next(racked, ahead[-1][1] if ahead else None)


def next_stage(passage: Pass, step: int) -> int | None:
    """Return the peel that a garment on the rack is confirmed at next, from index `step` on.

    A hot one is over at once and goes with the one after it. None past the last.
    """
    ahead = [i for i in peel_steps(passage) if i >= step]
    if not _is_staged(passage):
        return ahead[-1] if ahead else None
    waits = (i for i in ahead if passage.steps[i].peel is not Peel.HOT)
    return next(waits, ahead[-1] if ahead else None)


def is_early(passage: Pass, step: int) -> bool:
    """Return whether the peel that comes next on the rack leaves another one to wait for."""
    stage, peels = next_stage(passage, step), peel_steps(passage)
    return stage is not None and stage < peels[-1]


def place_of(passage: Pass, nth: int) -> Place:
    """Return where peel `nth` (from 0) is done; early ones of older plans at the press."""
    if nth < len(passage.places):
        return passage.places[nth]
    return passage.place if nth == len(peel_steps(passage)) - 1 else Place.PRESS


def wait_at(passage: Pass, step: int) -> PeelWait | None:
    """Return the wait of the peel that comes next on the rack, from index `step` on."""
    stage = next_stage(passage, step)
    if stage is None or not _is_staged(passage):
        return passage.wait
    return passage.stages[peel_steps(passage).index(stage)]


def wait_by_time(passage: Pass, step: int, waited: float) -> PeelWait | None:
    """Return the wait that hands are in `waited` seconds after opening, which nobody confirmed.

    What is hot is off at once, and what would be late is taken for done: it is declared with the
    next move.
    """
    if not _is_staged(passage):
        return passage.wait
    ahead = zip(peel_steps(passage), passage.stages, strict=True)
    waits = (w for i, w in ahead if i >= step and w.peel is not Peel.HOT)
    return next((wait for wait in waits if wait.to_seconds >= waited), passage.wait)


def _is_staged(passage: Pass) -> bool:
    """Whether the plan knows the wait of each peel: older ones know the last only."""
    return len(passage.stages) == len(peel_steps(passage)) > 1
