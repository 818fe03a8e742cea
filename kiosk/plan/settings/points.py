"""The points of one closing group, each as the set of limits that it breaks.

A point is a temperature, a pressure, the seconds of each closing, a time to peel each carrier
and a cover sheet on or off for each closing. Only points that break the least are kept.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import reduce

from kiosk.catalog.model import Peel, Pressure
from kiosk.plan.settings.faces import by_carrier
from kiosk.plan.settings.group import Group, PieceLimits
from kiosk.plan.settings.heat_points import heat_points, sheet_points
from kiosk.plan.settings.hitting import either, least_broken
from kiosk.plan.settings.limits import ClothLimits
from kiosk.plan.settings.rulebook import FABRIC, POLICY, Judged, Rulebook


def broken_limits(group: Group, cloth: ClothLimits, book: Rulebook) -> list[int]:
    """Return the sets of limits that points break; one is empty if all limits agree somewhere."""
    anywhere = reduce(either, _anywhere(group, cloth, book))
    alike = {_reading(group, cloth, degree): degree for degree in degrees(group, cloth)}
    return least_broken(
        broken
        for degree in alike.values()
        for broken in either(anywhere, _at(degree, group, cloth, book))
    )


def degrees(group: Group, cloth: ClothLimits) -> range:
    """Return the degrees from below all limits to above them: beyond nothing changes."""
    sheets = [p.sheet for p in group.active]
    coldest = min(cloth.coldest, *(sheet.low for sheet in sheets))
    return range(coldest, max(cloth.temperature_max, *(sheet.high for sheet in sheets)) + 1)


def temperature_limits(group: Group, cloth: ClothLimits, degree: int) -> list[Judged]:
    """Return the limits of temperature, judged at `degree`."""
    judged = [(FABRIC, "temperature_max", degree > cloth.temperature_max)]
    judged.append((FABRIC, "dye_cap", cloth.dye_cap is not None and degree > cloth.dye_cap))
    for p in group.active:
        judged.append((p.name, "temperature.low", degree < p.sheet.low))
        judged.append((p.name, "temperature.high", degree > p.sheet.high))
    return judged


def _reading(group: Group, cloth: ClothLimits, degree: int) -> tuple[object, ...]:
    """Return all that the limits say at `degree`: degrees with equal readings are alike."""
    return (
        tuple(temperature_limits(group, cloth, degree)),
        cloth.most_at(degree),
        tuple((p.sheet.dwell_at(degree), p.sheet.peel_at(degree)) for p in group.active),
    )


def _at(degree: int, group: Group, cloth: ClothLimits, book: Rulebook) -> list[int]:
    """Return what points of one temperature break, but for what is equal at all of them."""
    carried = group.final().carried
    peels = _peel(carried, {p.name: p.sheet.peel_at(degree) for p in carried}, "peel", book)
    seconds = heat_points(group, cloth, degree, book)
    return either([book.broken(temperature_limits(group, cloth, degree))], either(seconds, peels))


def _anywhere(group: Group, cloth: ClothLimits, book: Rulebook) -> list[list[int]]:
    """Return what points break at any temperature, kind by kind."""
    pressures = [book.broken(_pressure_limits(group, cloth, pressure)) for pressure in Pressure]
    tacks = [
        _peel(tack.laid, {p.name: p.tack_peel for p in tack.laid}, "tack.peel", book)
        for tack in group.tacks()
    ]
    return [least_broken(pressures), sheet_points(group.final(), book), *tacks]


def _pressure_limits(group: Group, cloth: ClothLimits, pressure: Pressure) -> list[Judged]:
    judged = [(FABRIC, "pressure_max", pressure > cloth.fabric.pressure_max)]
    for p in group.active:
        judged.append((p.name, "pressure.low", pressure < p.material.pressure_low))
        judged.append((p.name, "pressure.high", pressure > p.material.pressure_high))
    return judged


def _peel(
    pieces: Sequence[PieceLimits],
    allowed: Mapping[str, frozenset[Peel]],
    key: str,
    book: Rulebook,
) -> list[int]:
    """Return what the times to peel break: all at once, or each carrier at its own."""
    if not pieces:
        return [0]
    units = [
        [book.broken((p.name, key, peel not in allowed[p.name]) for p in unit) for peel in Peel]
        for unit in by_carrier(pieces)
    ]
    together = [reduce(int.__or__, broken) for broken in zip(*units, strict=True)]
    not_staged = book.broken([(POLICY, "staged_peel", True)])
    return least_broken([*together, *either([not_staged], reduce(either, units))])
