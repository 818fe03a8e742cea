"""The rules of a stack, looked at before any temperature; limits as they stand in the files."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from kiosk.catalog.model import Fabric, Material, Peel, Surface
from kiosk.plan.model import Limit
from kiosk.plan.settings.group import PieceLimits

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


GROUNDS = ("fabric", *(surface.value for surface in Surface))


def yes_no(value: bool) -> str:
    """Return a flag as it is written."""
    return "yes" if value else "no"


def grounds(material: Material) -> str:
    """Return what a material goes on, fabric first."""
    return ", ".join(ground for ground in GROUNDS if ground in material.goes_on)


def dwell_low(material: Material) -> str:
    """Return the fewest seconds of all bands."""
    return ", ".join(band.low.text for band in material.dwell)


def dwell_high(material: Material) -> str:
    """Return the most seconds of all bands."""
    return ", ".join(band.high.text for band in material.dwell)


def dwell_max(fabric: Fabric) -> str:
    """Return the dwell limits of all bands of a cloth."""
    return ", ".join(cap.at_most.text for cap in fabric.dwell_max)


def peels(material: Material) -> str:
    """Return the peels of all bands."""
    return ", ".join(peel_words(band.allowed) for band in material.peel)


def peel_words(allowed: Iterable[Peel]) -> str:
    """Return a set of peels, earliest first."""
    return ", ".join(peel.word for peel in sorted(allowed))
