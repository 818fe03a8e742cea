"""All limits of one closing group in the order of the rules, those of a stack first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from kiosk.catalog.model import Fabric, Material, Peel, Policy, Surface
from kiosk.plan.model import Limit
from kiosk.plan.settings.limits import ClothLimits, PieceLimits

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


POLICY = "policy"
AFTER_THE_PIECES = 10_000

Entries = Iterator[tuple[str, str]]
OfPiece = Callable[[PieceLimits], Entries]
OfCloth = Callable[[ClothLimits, Sequence[PieceLimits]], Entries]
OfPolicy = Callable[[Policy], Entries]
Judged = tuple[str, str, bool]  # owner and key of a limit, and whether it is broken


@dataclass(frozen=True, slots=True)
class Placed:
    """A limit; its rule, its owner in the recipe and its entry there, each counted in order."""

    limit: Limit
    rule: int
    place: int
    entry: int


class Rulebook:
    """The limits that bear on `pieces` in one closing group, ordered by rule, then by recipe."""

    def __init__(self, pieces: Sequence[PieceLimits], cloth: ClothLimits, policy: Policy) -> None:
        self.placed = tuple(_all_limits(pieces, cloth, policy))
        self._bits = {(p.limit.owner, p.limit.key): 1 << n for n, p in enumerate(self.placed)}

    def broken(self, judged: Iterable[Judged]) -> int:
        """Return the limits judged broken as a set; those that are not in the book fall out."""
        limits = 0
        for owner, key, is_broken in judged:
            if is_broken:
                limits |= self._bits.get((owner, key), 0)
        return limits


def _all_limits(
    pieces: Sequence[PieceLimits], cloth: ClothLimits, policy: Policy
) -> Iterator[Placed]:
    """Yield the limits in the order in which design.md section 4 names their rules."""
    for rule, (of_piece, of_cloth, of_policy) in enumerate(RULES):
        for piece in pieces:
            for entry, (key, value) in enumerate(of_piece(piece)):
                yield Placed(Limit(piece.name, key, value), rule, piece.order, entry)
        for key, value in of_cloth(cloth, pieces):
            yield Placed(Limit(FABRIC, key, value), rule, AFTER_THE_PIECES, 0)
        for key, value in of_policy(policy):
            yield Placed(Limit(POLICY, key, value), rule, AFTER_THE_PIECES, 0)


def _nothing(*_: object) -> Entries:
    return iter(())


def _temperature(piece: PieceLimits) -> Entries:
    yield "temperature.low", piece.material.temperature.low.text
    yield "temperature.high", piece.material.temperature.high.text


def _temperature_max(cloth: ClothLimits, _: Sequence[PieceLimits]) -> Entries:
    yield "temperature_max", cloth.fabric.temperature_max.text


def _dye_cap(cloth: ClothLimits, pieces: Sequence[PieceLimits]) -> Entries:
    if cloth.fabric.dye_cap and not all(p.material.blocks_dye for p in pieces):
        yield "dye_cap", cloth.fabric.dye_cap.text


def _seconds(piece: PieceLimits) -> Entries:
    yield "dwell.low", dwell_low(piece.material)
    yield "dwell.high", dwell_high(piece.material)
    if piece.stacked and piece.material.tack:
        yield "tack.low", piece.material.tack.low.text
        yield "tack.high", piece.material.tack.high.text


def _dwell_max(cloth: ClothLimits, _: Sequence[PieceLimits]) -> Entries:
    yield "dwell_max", dwell_max(cloth.fabric)


def _piece_total(piece: PieceLimits) -> Entries:
    yield "total_heat", piece.material.total_heat.text


def _cloth_total(cloth: ClothLimits, _: Sequence[PieceLimits]) -> Entries:
    yield "total_heat", cloth.fabric.total_heat.text


def _pressure(piece: PieceLimits) -> Entries:
    yield "pressure.low", piece.material.pressure_low.word
    yield "pressure.high", piece.material.pressure_high.word


def _pressure_max(cloth: ClothLimits, _: Sequence[PieceLimits]) -> Entries:
    yield "pressure_max", cloth.fabric.pressure_max.word


def _peel(piece: PieceLimits) -> Entries:
    if piece.carrier_in_final:
        yield "peel", peels(piece.material)
    if piece.stacked and piece.material.tack:
        yield "tack.peel", peel_words(piece.material.tack.peel)


def _staged_peel(policy: Policy) -> Entries:
    if not policy.staged_peel:
        yield "staged_peel", yes_no(False)


def _sheet(piece: PieceLimits) -> Entries:
    yield "cover_sheet.carrier_on", piece.material.sheet_carrier_on.value
    yield "cover_sheet.carrier_off", piece.material.sheet_carrier_off.value


def _bare_tack(policy: Policy) -> Entries:
    if not policy.bare_tack:
        yield "bare_tack", yes_no(False)


RULES: tuple[tuple[OfPiece, OfCloth, OfPolicy], ...] = (
    (_temperature, _nothing, _nothing),
    (_nothing, _temperature_max, _nothing),
    (_nothing, _dye_cap, _nothing),
    (_seconds, _nothing, _nothing),
    (_nothing, _dwell_max, _nothing),
    (_piece_total, _cloth_total, _nothing),
    (_pressure, _pressure_max, _nothing),
    (_peel, _nothing, _staged_peel),
    (_sheet, _nothing, _bare_tack),
)
