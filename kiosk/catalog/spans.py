"""Bands of temperature, and whether they cover what they must, without holes or overlaps."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from typing import Generic, TypeVar

from kiosk.catalog.message import say
from kiosk.catalog.quantities import Temperature
from kiosk.catalog.spots import Fields, Got, Spot, attempt
from kiosk.catalog.values import in_order, temperature

B = TypeVar("B")
Rest = Callable[[Temperature, Temperature], B]  # a band that lacks only its from and to


@dataclass(frozen=True, slots=True)
class Span:
    """From and to of one band, both included, with its place in the file."""

    spot: Spot
    start: Temperature
    end: Temperature


@dataclass(frozen=True, slots=True)
class Bands(Generic[B]):
    """A list of bands: `spans` from cold to hot, empty where one of them could not be read."""

    at: Spot
    spans: tuple[Span, ...]
    values: Got[tuple[B, ...]]


def bands(
    keys: tuple[str, ...], read_rest: Callable[[Fields, Spot], Rest[B]]
) -> Callable[[Spot], Bands[B]]:
    """Return a reader of a list of bands with `from`, `to` and `keys`, which `read_rest` reads.

    Holes and overlaps between the bands are noted.
    """

    def read_one(spot: Spot) -> tuple[Got[Span], Got[Rest[B]]]:
        fields = spot.fields(("from", "to", *keys))
        return attempt(partial(_span, fields), spot), attempt(partial(read_rest, fields), spot)

    def read(spot: Spot) -> Bands[B]:
        got = [attempt(read_one, item) for item in spot.items()]
        spans = attempt(lambda _: [where.value for where, _ in (g.value for g in got)], spot)
        ordered = _in_rising_order(spans.value) if spans.sound else ()
        _check_between(ordered)
        return Bands(spot, ordered, attempt(lambda _: tuple(_join(*g.value) for g in got), spot))

    return read


def check_ends(bands: Bands[B], low: Temperature, high: Temperature) -> None:
    """Note where `bands` begin above `low` or end below `high`.

    Counted, as between the bands, in whole degrees of the unit that the bands are written in:
    260-279 and 280-300 leave no hole.
    """
    if not bands.spans:
        return
    unit = bands.spans[0].start.unit
    first, last = low.whole_in(unit), high.whole_in(unit)
    start = bands.spans[0].start.whole_in(unit)
    end = max(span.end.whole_in(unit) for span in bands.spans)
    for hole in ((first, min(start - 1, last)), (max(end + 1, first), last)):
        if hole[0] <= hole[1]:
            _note_hole(bands.at, *hole, unit.value)


def _span(fields: Fields, spot: Spot) -> Span:
    start, end = fields.get("from", temperature), fields.get("to", temperature)
    in_order(spot, ("from", start.value), ("to", end.value))
    return Span(spot, start.value, end.value)


def _join(where: Got[Span], rest: Got[Rest[B]]) -> B:
    return rest.value(where.value.start, where.value.end)


def _in_rising_order(spans: list[Span]) -> tuple[Span, ...]:
    unit = spans[0].start.unit
    return tuple(sorted(spans, key=lambda span: span.start.exact_in(unit)))


def _check_between(spans: tuple[Span, ...]) -> None:
    for below, above in pairwise(spans):
        unit = spans[0].start.unit
        end, start = below.end.whole_in(unit), above.start.whole_in(unit)
        if start > end + 1:
            _note_hole(above.spot, end + 1, start - 1, unit.value)
        elif start <= end:
            above.spot.notes.add(
                say("catalog.bands.overlap", degree=f"{start} {unit.value}"),
                line=above.spot.line,
                key=f"{above.spot.key}.from",
                found=above.start.text,
            )


def _note_hole(at: Spot, first: int, last: int, unit: str) -> None:
    at.notes.add(
        say("catalog.bands.hole", first=f"{first} {unit}", last=f"{last} {unit}"),
        line=at.line,
        key=at.key,
    )
