"""The rules of a stack, looked at before any temperature."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kiosk.plan.model import Limit
from kiosk.plan.settings.group import PieceLimits
from kiosk.plan.settings.written import grounds, yes_no

FABRIC = "fabric"


def broken_stack(pieces: Sequence[PieceLimits]) -> tuple[Limit, Limit] | None:
    """Return the first pair of limits that a stack breaks, by the rules, then by the recipe."""
    for rule in (_accepts, _goes_on_film, _goes_on_fabric, _tack, _carrier):
        for pair in rule(pieces):
            return pair
    return None


def _accepts(pieces: Sequence[PieceLimits]) -> Iterator[tuple[Limit, Limit]]:
    for below, above in _joints(pieces):
        if not below.material.accepts_on_top:
            yield Limit(below.name, "accepts_on_top", yes_no(False)), _layer(above)


def _goes_on_film(pieces: Sequence[PieceLimits]) -> Iterator[tuple[Limit, Limit]]:
    for below, above in _joints(pieces):
        surface = below.material.surface.value
        if surface not in above.material.goes_on:
            yield Limit(below.name, "surface", surface), _goes_on(above)


def _goes_on_fabric(pieces: Sequence[PieceLimits]) -> Iterator[tuple[Limit, Limit]]:
    for piece in pieces:
        if piece.layer == 1 and FABRIC not in piece.material.goes_on:
            yield _layer(piece), _goes_on(piece)


def _tack(pieces: Sequence[PieceLimits]) -> Iterator[tuple[Limit, Limit]]:
    for piece in pieces:
        if piece.stacked and piece.material.tack is None:
            yield Limit(piece.name, "tack", "null"), _stacked_by(piece, pieces)


def _carrier(pieces: Sequence[PieceLimits]) -> Iterator[tuple[Limit, Limit]]:
    for piece in pieces:
        if piece.stacked and not piece.material.carrier:
            yield Limit(piece.name, "carrier", yes_no(False)), _stacked_by(piece, pieces)


def _joints(pieces: Sequence[PieceLimits]) -> list[tuple[PieceLimits, PieceLimits]]:
    """Return the pairs of pieces that lie on each other, lower first."""
    return [
        (below, above)
        for below in pieces
        for above in pieces
        if below.element == above.element and above.layer == below.layer + 1
    ]


def _stacked_by(piece: PieceLimits, pieces: Sequence[PieceLimits]) -> Limit:
    """Return what makes `piece` part of a stack: its own layer, or the one on top of layer 1."""
    if piece.layer > 1:
        return _layer(piece)
    return _layer(next(above for below, above in _joints(pieces) if below is piece))


def _goes_on(piece: PieceLimits) -> Limit:
    return Limit(piece.name, "goes_on", grounds(piece.material))


def _layer(piece: PieceLimits) -> Limit:
    return Limit(piece.name, "layer", str(piece.layer))
