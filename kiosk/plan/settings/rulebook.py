"""All limits of one closing group in the order of the rules, and the rules of stacks."""

from collections.abc import Iterable, Iterator, Sequence
from enum import IntEnum
from itertools import count

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import GROUNDS, Material, Peel, Policy
from kiosk.plan.model import FABRIC, Limit
from kiosk.plan.settings.limits import ClothLimits, PieceLimits


def broken_stack(pieces: Sequence[PieceLimits]) -> tuple[Limit, Limit] | None:
    """Return the first pair of limits that a stack breaks, by rule, then by recipe; or None."""
    for rule in (_accepts, _goes_on_film, _goes_on_fabric, _tack, _carrier):
        for pair in rule(pieces):
            return pair
    return None


def _accepts(pieces: Sequence[PieceLimits]) -> Iterator[tuple[Limit, Limit]]:
    for below, above in _joints(pieces):
        if not below.material.accepts_on_top:
            yield Limit(below.name, "accepts_on_top", NO), _layer(above)


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
            yield Limit(piece.name, "carrier", NO), _stacked_by(piece, pieces)


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
    """What the piece goes on, fabric first."""
    found = (ground for ground in GROUNDS if ground in piece.material.goes_on)
    return Limit(piece.name, "goes_on", ", ".join(found))


def _layer(piece: PieceLimits) -> Limit:
    return Limit(piece.name, "layer", str(piece.layer))


def dwell_low(material: Material) -> str:
    """Return the fewest seconds of each band, as text."""
    return ", ".join(band.low.text for band in material.dwell)


def peel_words(allowed: Iterable[Peel]) -> str:
    """Return a set of peels as text, earliest first."""
    return ", ".join(peel.word for peel in sorted(allowed))


POLICY = "policy"
NO = "no"  # a false flag as written in a file
AFTER_THE_PIECES = 10_000

Judged = tuple[str, str, bool]  # owner and key of a limit, and whether it is broken


class SettingsRule(IntEnum):
    """The rules in the order in which a conflict names their limits."""

    TEMPERATURE, HOTTEST, DYE, SECONDS, LONGEST, TOTAL, PRESSURE, PEEL, SHEET = range(9)


Entries = Iterator[tuple[SettingsRule, str, str]]  # a limit's rule, key and value


@dataclass(frozen=True, slots=True)
class RankedLimit:
    """A limit with its sort key: rule, owner's place in the recipe, entry of the owner."""

    limit: Limit
    rule: int
    place: int
    entry: int


class Rulebook:
    """The limits that apply to `pieces` in one closing group, ordered by rule, then by recipe."""

    def __init__(self, pieces: Sequence[PieceLimits], cloth: ClothLimits, policy: Policy) -> None:
        self.ranked = tuple(_all_limits(pieces, cloth, policy))
        self._bits = {(p.limit.owner, p.limit.key): 1 << n for n, p in enumerate(self.ranked)}

    def broken(self, judged: Iterable[Judged]) -> int:
        """Return the set of limits judged broken; limits not in the book are ignored."""
        limits = 0
        for owner, key, is_broken in judged:
            if is_broken:
                limits |= self._bits.get((owner, key), 0)
        return limits


def _all_limits(
    pieces: Sequence[PieceLimits], cloth: ClothLimits, policy: Policy
) -> list[RankedLimit]:
    """The limits rule by rule: those of the pieces, then of the cloth, then of the policy."""
    found = [
        RankedLimit(Limit(piece.name, key, value), rule, piece.order, entry)
        for piece in pieces
        for entry, (rule, key, value) in enumerate(_of_piece(piece))
    ]
    for owner, entries in ((FABRIC, _of_cloth(cloth, pieces)), (POLICY, _of_policy(policy))):
        found += [
            RankedLimit(Limit(owner, key, value), rule, AFTER_THE_PIECES, 0)
            for rule, key, value in entries
        ]
    return sorted(found, key=lambda ranked: ranked.rule)


def _of_piece(piece: PieceLimits) -> Entries:
    sheet, tack = piece.material, piece.material.tack if piece.stacked else None
    yield SettingsRule.TEMPERATURE, "temperature.low", sheet.temperature.low.text
    yield SettingsRule.TEMPERATURE, "temperature.high", sheet.temperature.high.text
    yield SettingsRule.SECONDS, "dwell.low", dwell_low(sheet)
    yield SettingsRule.SECONDS, "dwell.high", ", ".join(band.high.text for band in sheet.dwell)
    if tack:
        yield SettingsRule.SECONDS, "tack.low", tack.low.text
        yield SettingsRule.SECONDS, "tack.high", tack.high.text
    yield SettingsRule.TOTAL, "total_heat", sheet.total_heat.text
    yield SettingsRule.PRESSURE, "pressure.low", sheet.pressure_low.word
    yield SettingsRule.PRESSURE, "pressure.high", sheet.pressure_high.word
    if piece.carrier_in_final:
        yield SettingsRule.PEEL, "peel", ", ".join(peel_words(band.allowed) for band in sheet.peel)
    if tack:
        yield SettingsRule.PEEL, "tack.peel", peel_words(tack.peel)
    yield SettingsRule.SHEET, "cover_sheet.carrier_on", sheet.sheet_carrier_on.value
    yield SettingsRule.SHEET, "cover_sheet.carrier_off", sheet.sheet_carrier_off.value


def _of_cloth(cloth: ClothLimits, pieces: Sequence[PieceLimits]) -> Entries:
    fabric = cloth.fabric
    yield SettingsRule.HOTTEST, "temperature_max", fabric.temperature_max.text
    if fabric.dye_cap and not all(p.material.blocks_dye for p in pieces):
        yield SettingsRule.DYE, "dye_cap", fabric.dye_cap.text
    yield SettingsRule.LONGEST, "dwell_max", ", ".join(cap.at_most.text for cap in fabric.dwell_max)
    yield SettingsRule.TOTAL, "total_heat", fabric.total_heat.text
    yield SettingsRule.PRESSURE, "pressure_max", fabric.pressure_max.word


def _of_policy(policy: Policy) -> Entries:
    if not policy.staged_peel:
        yield SettingsRule.PEEL, "staged_peel", NO
    if not policy.bare_tack:
        yield SettingsRule.SHEET, "bare_tack", NO


# A set of limits is an integer with one bit per limit.


def least_broken(sets: Iterable[int]) -> list[int]:
    """Return the minimal sets: those that contain no other one."""
    found = set(sets)
    if 0 in found or len(found) < 2:
        return [0] if 0 in found else list(found)
    minimal: list[int] = []
    for each in sorted(found, key=int.bit_count):
        if not any(smaller & each == smaller for smaller in minimal):
            minimal.append(each)
    return minimal


def either(first: Iterable[int], second: Iterable[int]) -> list[int]:
    """Return the minimal sets broken at points that pair any of `first` with any of `second`."""
    seconds = list(second)
    return least_broken(a | b for a in first for b in seconds)


def smallest_hitting(sets: Iterable[int]) -> list[int]:
    """Return all smallest sets that share a limit with each of `sets`, none of which is empty."""
    needed = least_broken(sets)
    for size in count():
        found = _hitting(needed, 0, size)
        if found:
            return sorted(found)
    raise AssertionError("unreachable")  # a set of all limits hits every set


def _hitting(needed: list[int], chosen: int, more: int) -> set[int]:
    missed = next((each for each in needed if not each & chosen), None)
    if missed is None:
        return {chosen}
    if not more:
        return set()
    return {
        found for limit in bits(missed) for found in _hitting(needed, chosen | 1 << limit, more - 1)
    }


def bits(limits: int) -> list[int]:
    """Return the indices of the limits in a set, in order."""
    return [place for place in range(limits.bit_length()) if limits >> place & 1]
