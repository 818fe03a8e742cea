"""Reads the parts of a sheet: bands of temperature, pressure, cover sheet, tack, waits."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from typing import Generic, TypeVar

import yaml

from kiosk.catalog.base.message import say
from kiosk.catalog.base.quantities import Pressure, Temperature
from kiosk.catalog.base.spots import Fields, Got, Spot, attempt
from kiosk.catalog.base.values import in_order, one_of, seconds, some_of, some_seconds, temperature
from kiosk.catalog.model.sheets import (
    DwellBand,
    Peel,
    PeelBand,
    SheetRule,
    Tack,
    TemperatureWindow,
    Wait,
)

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


PRESSURES = {p.word: p for p in Pressure}
PEELS = {p.word: p for p in Peel}
OFF_RULES = {r.value: r for r in SheetRule}
ON_RULES = {w: r for w, r in OFF_RULES.items() if r is not SheetRule.NO_PRESS}


def window(spot: Spot) -> TemperatureWindow:
    """Return a material's own temperatures, low to high with the normal between."""
    f = spot.fields(("low", "high", "normal"))
    low, high = f.get("low", temperature), f.get("high", temperature)
    normal = f.get("normal", temperature)
    in_order(spot, ("low", low.value), ("normal", normal.value), ("high", high.value))
    return TemperatureWindow(low.value, high.value, normal.value)


def _dwell_rest(f: Fields, spot: Spot) -> Rest[DwellBand]:
    low, high = f.get("low", some_seconds), f.get("high", some_seconds)
    normal = f.get("normal", some_seconds)
    in_order(spot, ("low", low.value), ("normal", normal.value), ("high", high.value))
    return partial(DwellBand, low=low.value, high=high.value, normal=normal.value)


def _peel_rest(f: Fields, _: Spot) -> Rest[PeelBand]:
    return partial(PeelBand, allowed=f.get("allowed", some_of(PEELS)).value)


dwell_bands = bands(("low", "high", "normal"), _dwell_rest)
_peel_bands = bands(("allowed",), _peel_rest)


def peel_bands(spot: Spot) -> Bands[PeelBand]:
    """Return the bands of allowed peels; an empty list is for what has no carrier."""
    if isinstance(spot.node, yaml.SequenceNode) and not spot.node.value:
        return Bands(spot, (), Got(((),)))
    return _peel_bands(spot)


def pressure(spot: Spot) -> tuple[Pressure, Pressure]:
    """Return the lowest and the highest pressure."""
    f = spot.fields(("low", "high"))
    low, high = f.get("low", one_of(PRESSURES)), f.get("high", one_of(PRESSURES))
    in_order(spot, ("low", low.value), ("high", high.value))
    return low.value, high.value


def cover_sheet(spot: Spot) -> tuple[SheetRule, SheetRule]:
    """Return the rule with the carrier on (never `no_press`) and with it off."""
    f = spot.fields(("carrier_on", "carrier_off"))
    on, off = f.get("carrier_on", one_of(ON_RULES)), f.get("carrier_off", one_of(OFF_RULES))
    return on.value, off.value


def tack(spot: Spot) -> Tack:
    """Return the short closing that holds one layer."""
    f = spot.fields(("low", "high", "normal", "peel"))
    low, high = f.get("low", some_seconds), f.get("high", some_seconds)
    normal, peel = f.get("normal", some_seconds), f.get("peel", some_of(PEELS))
    in_order(spot, ("low", low.value), ("normal", normal.value), ("high", high.value))
    return Tack(low.value, high.value, normal.value, peel.value)


def peel_wait(spot: Spot) -> dict[Peel, Wait]:
    """Return the waits after opening by peel."""
    f = spot.fields((), tuple(PEELS))
    got = {PEELS[name]: f.get(name, _wait) for name in PEELS if name in f.entries}
    if not f.entries:
        raise spot.wrong(say("catalog.asked.something"))
    return {peel: wait.value for peel, wait in got.items()}


def _wait(spot: Spot) -> Wait:
    f = spot.fields(("from", "to"))
    start, end = f.get("from", seconds), f.get("to", seconds)
    in_order(spot, ("from", start.value), ("to", end.value))
    return Wait(start.value, end.value)
