"""Whether bands of temperature cover what they must, without holes or overlaps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kiosk.catalog.message import say
from kiosk.catalog.notes import Unsound
from kiosk.catalog.quantities import Temperature
from kiosk.catalog.spots import Fields, Got, Spot
from kiosk.catalog.values import in_order, temperature


@dataclass(frozen=True, slots=True)
class Span:
    """From and to of one band, both included, with its place in the file."""

    spot: Spot
    start: Temperature
    end: Temperature


def span(spot: Spot, fields: Fields) -> Got[Span]:
    """Return the entries `from` and `to` of a band; a failed reading is remembered."""
    start, end = fields.get("from", temperature), fields.get("to", temperature)
    try:
        in_order(spot, ("from", start.value), ("to", end.value))
        return Got((Span(spot, start.value, end.value),))
    except Unsound:
        return Got(None)


def check_cover(at: Spot, spans: Sequence[Span], low: Temperature, high: Temperature) -> None:
    """Note each hole and overlap of `spans` between `low` and `high`, both included.

    Counted in whole degrees of the unit that the bands are written in: 260-279 and 280-300
    leave no hole.
    """
    unit = spans[0].start.unit
    ordered = sorted(spans, key=lambda s: s.start.exact_in(unit))
    covered = low.whole_in(unit) - 1
    for n, each in enumerate(ordered):
        start = each.start.whole_in(unit)
        if start > covered + 1:
            _hole(each.spot, covered + 1, start - 1, unit.value)
        elif n and start <= covered:
            each.spot.notes.add(
                say("catalog.bands.overlap", degree=f"{start} {unit.value}"),
                line=each.spot.line,
                key=f"{each.spot.key}.from",
                found=each.start.text,
            )
        covered = max(covered, each.end.whole_in(unit))
    if covered < high.whole_in(unit):
        _hole(at, covered + 1, high.whole_in(unit), unit.value)


def _hole(at: Spot, first: int, last: int, unit: str) -> None:
    at.notes.add(
        say("catalog.bands.hole", first=f"{first} {unit}", last=f"{last} {unit}"),
        line=at.line,
        key=at.key,
    )
