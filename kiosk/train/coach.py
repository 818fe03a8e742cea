"""What a practice screen shows of a step: less, the more the trainee can do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from kiosk.plan.model import Step
from kiosk.run.views import Ink, Kind, StackSlab, View
from kiosk.train.levels import Level

LINES_WITH_WHY = 1
LAYER_SECONDS = 0.8
HELPED = frozenset({Kind.HANDS, Kind.HEAT})


def coached(view: View, step: Step | None, level: Level) -> View:
    """Return the view with the help of `level`: the first line and why, or the move alone."""
    if view.kind not in HELPED or step is None or level is Level.OWN:
        return view
    if view.kind is Kind.HEAT and level > Level.GUIDED:
        return view  # what a press does is always said
    if level <= Level.GUIDED:
        why = () if step.why is None else (step.why,)
        return replace(view, lines=(*view.lines[:LINES_WITH_WHY], *why))
    return replace(view, lines=())


def layer_by_layer(view: View, seconds: float) -> View:
    """Return the view with what goes down appearing piece by piece, `seconds` after it began.

    First nothing of it, then one piece more at a time, in drawing and cross-section alike.
    """
    coming = [piece for piece in view.pieces if piece.ink is Ink.NEXT]
    shown = int(seconds / LAYER_SECONDS)
    if shown >= len(coming):
        return view
    there = {piece.piece for piece in coming[:shown]}
    pieces = tuple(
        replace(piece, ink=Ink.AHEAD)
        if piece.ink is Ink.NEXT and piece.piece not in there
        else piece
        for piece in view.pieces
    )
    return replace(view, pieces=pieces, stack=tuple(_stack(view.stack, shown > 0)))


def next_layer(view: View, seconds: float) -> float | None:
    """Return in how many seconds the next piece appears, None once all are there."""
    coming = sum(piece.ink is Ink.NEXT for piece in view.pieces)
    shown = int(seconds / LAYER_SECONDS)
    return None if shown >= coming else (shown + 1) * LAYER_SECONDS - seconds


def _stack(slabs: tuple[StackSlab, ...], down: bool) -> Iterator[StackSlab]:
    """What lies there already, and what is going down once its first piece is."""
    yield from (slab for slab in slabs if down or not slab.coming)
