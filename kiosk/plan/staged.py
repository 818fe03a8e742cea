"""A peel step's own wait and place, where carriers come off one after the other."""

from __future__ import annotations

from kiosk.plan.model import Pass, PeelWait, Place, Step


def stage_of(each: Pass, step: Step) -> tuple[PeelWait | None, Place]:
    """Return the wait of a peel step of `each`, None without one, and where it is done."""
    found = [(n, wait) for n, wait in enumerate(each.stages) if wait.peel is step.peel]
    if not found:
        return None, Place.PRESS
    nth, wait = found[0]
    if nth < len(each.places):
        return wait, each.places[nth]
    return wait, each.place if nth == len(each.stages) - 1 else Place.PRESS
