"""Why the parts of a panel that is too long for the platen cannot follow each other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from kiosk.catalog.base import Degrees, nearest
from kiosk.catalog.model import SheetRule
from kiosk.plan.model import Limit
from kiosk.plan.settings.group import PieceLimits
from kiosk.plan.settings.rulebook import FABRIC, Rulebook
from kiosk.plan.settings.splits import Bench
from kiosk.plan.settings.structure import dwell_low

Found = tuple[tuple[Limit, ...], dict[str, float]]


@dataclass(frozen=True, slots=True)
class _Later:
    """A part's pieces, and those of earlier parts that lie under the platen with them."""

    laid: tuple[PieceLimits, ...]
    again: tuple[PieceLimits, ...]


def between_parts(
    pieces: Sequence[PieceLimits], bench: Bench
) -> tuple[tuple[Limit, ...], Mapping[str, float]]:
    """Return the fewest limits that keep the parts from following each other, and their gap.

    Each part can be pressed by itself: what is left are the pieces that lie under the platen a
    second time, and what the cloth takes in all. Where no few of them are known to be enough,
    all limits together are.
    """
    parts = tuple(_later(pieces, bench))
    found = [*_again(parts, bench), *_totals(parts, bench)]
    if found:
        return min(found, key=lambda each: len(each[0]))
    book = Rulebook(pieces, bench.cloth, bench.policy)
    return tuple(each.limit for each in book.placed), {}


def _later(pieces: Sequence[PieceLimits], bench: Bench) -> Iterator[_Later]:
    before: tuple[PieceLimits, ...] = ()
    for part in bench.parts:
        laid = tuple(p for p in pieces if p.element in part.elements)
        yield _Later(laid, tuple(p for p in before if p.element in part.under))
        before += laid


def _again(parts: Sequence[_Later], bench: Bench) -> Iterator[Found]:
    """What a piece under the platen again does not bear of what the part's own pieces ask for."""
    for part in parts:
        for old in part.again:
            if old.material.sheet_carrier_off is SheetRule.NO_PRESS:
                yield (_sheet(old),), {}
            for new in part.laid:
                yield from _pair(new, old, bench.press.unit)


def _pair(new: PieceLimits, old: PieceLimits, unit: Degrees) -> Iterator[Found]:
    if (apart := new.sheet.low - old.sheet.high) > 0:
        low = Limit(new.name, "temperature.low", new.material.temperature.low.text)
        high = Limit(old.name, "temperature.high", old.material.temperature.high.text)
        shown = apart if unit is Degrees.F else nearest(apart * Fraction(9, 5))
        yield (low, high), {"temperature_f": float(shown)}
    if (steps := new.material.pressure_low - old.material.pressure_high) > 0:
        low = Limit(new.name, "pressure.low", new.material.pressure_low.word)
        high = Limit(old.name, "pressure.high", old.material.pressure_high.word)
        yield (low, high), {"pressure_steps": float(steps)}
    asked = {_face(new), old.material.sheet_carrier_off}
    if asked == {SheetRule.REQUIRED, SheetRule.FORBIDDEN}:
        key = "carrier_on" if new.carrier_in_final else "carrier_off"
        yield (Limit(new.name, f"cover_sheet.{key}", _face(new).value), _sheet(old)), {}


def _face(piece: PieceLimits) -> SheetRule:
    sheet = piece.material
    return sheet.sheet_carrier_on if piece.carrier_in_final else sheet.sheet_carrier_off


def _sheet(piece: PieceLimits) -> Limit:
    return Limit(piece.name, "cover_sheet.carrier_off", piece.material.sheet_carrier_off.value)


def _totals(parts: Sequence[_Later], bench: Bench) -> Iterator[Found]:
    """The fewest seconds of all parts against what the cloth takes, and each piece."""
    asked = [_fewest(part.laid) for part in parts]
    over = bench.cloth.pre_press_seconds + sum(s for s, _ in asked) - bench.cloth.total_seconds
    if over > 0:
        total = Limit(FABRIC, "total_heat", bench.cloth.fabric.total_heat.text)
        yield (*(limit for _, limits in asked for limit in limits), total), {"dwell_s": float(over)}
    for place, part in enumerate(parts):
        for piece in part.laid:
            under = [place, *(n for n, later in enumerate(parts) if piece in later.again)]
            heat = sum(asked[n][0] for n in under)
            if (over := heat - piece.sheet.total_seconds) > 0:
                total = Limit(piece.name, "total_heat", piece.material.total_heat.text)
                limits = tuple(limit for n in under for limit in asked[n][1])
                yield (*limits, total), {"dwell_s": float(over)}


def _fewest(laid: Sequence[PieceLimits]) -> tuple[int, tuple[Limit, ...]]:
    """The fewest seconds of a part pressed in one group, tacks too, and who asks for them."""
    slowest = max(laid, key=_least)
    seconds = _least(slowest)
    limits = [Limit(slowest.name, "dwell.low", dwell_low(slowest.material))]
    for layer in sorted({p.layer for p in laid if p.stacked}):
        tacked = [p for p in laid if p.stacked and p.layer == layer and p.sheet.tack]
        longest = max(tacked, key=lambda p: p.sheet.tack.low if p.sheet.tack else 0, default=None)
        if longest is not None and longest.sheet.tack and longest.material.tack:
            seconds += longest.sheet.tack.low
            limits.append(Limit(longest.name, "tack.low", longest.material.tack.low.text))
    return seconds, tuple(limits)


def _least(piece: PieceLimits) -> int:
    return min(window.low for window in piece.sheet.dwell.values())
