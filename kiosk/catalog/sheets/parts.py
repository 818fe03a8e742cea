"""Reads the parts of a sheet: bands of temperature, pressure, cover sheet, tack, waits."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Generic, TypeVar

import yaml

from kiosk.catalog.base.fields import LEFT_OUT, Field, Table, Values, in_turn, read_fields, rising
from kiosk.catalog.base.message import say
from kiosk.catalog.base.quantities import Pressure, Temperature
from kiosk.catalog.base.spots import Got, Spot, attempt
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
FROM_AND_TO = (Field("from", temperature), Field("to", temperature))


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
    make: Callable[..., B], *rest: Field, check: Callable[[Values], None] | None = None
) -> Callable[[Spot], Bands[B]]:
    """Return a reader of a list of bands with `from`, `to` and the fields of the `rest`.

    Holes and overlaps between the bands are noted.
    """

    def read_one(spot: Spot) -> tuple[Got[Span], Got[dict[str, object]]]:
        values = read_fields(spot, (*FROM_AND_TO, *rest))
        span = attempt(lambda _: _span(values), spot)
        checks = attempt(lambda _: check(values) if check else None, spot)
        return span, attempt(lambda _: checks.value or {f.key: values[f.key] for f in rest}, spot)

    def made(where: Got[Span], others: Got[dict[str, object]]) -> B:
        return make(where.value.start, where.value.end, **others.value)

    def read(spot: Spot) -> Bands[B]:
        got = [attempt(read_one, item) for item in spot.items()]
        spans = attempt(lambda _: [where.value for where, _ in (g.value for g in got)], spot)
        ordered = _in_rising_order(spans.value) if spans.sound else ()
        _check_between(ordered)
        return Bands(spot, ordered, attempt(lambda _: tuple(made(*g.value) for g in got), spot))

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


def _span(values: Values) -> Span:
    in_order(values.spot, ("from", values["from"]), ("to", values["to"]))
    return Span(values.spot, values["from"], values["to"])


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


_rises = rising("low", "normal", "high")
_TIMES = tuple(Field(key, some_seconds) for key in ("low", "high", "normal"))
window = Table(
    TemperatureWindow,
    tuple(Field(key, temperature) for key in ("low", "high", "normal")),
    (_rises,),
)
dwell_bands = bands(DwellBand, *_TIMES, check=_rises)
_peel_bands = bands(PeelBand, Field("allowed", some_of(PEELS)))


def peel_bands(spot: Spot) -> Bands[PeelBand]:
    """Return the bands of allowed peels; an empty list is for what has no carrier."""
    if isinstance(spot.node, yaml.SequenceNode) and not spot.node.value:
        return Bands(spot, (), Got(((),)))
    return _peel_bands(spot)


pressure = Table(
    in_turn,
    (Field("low", one_of(PRESSURES)), Field("high", one_of(PRESSURES))),
    (rising("low", "high"),),
)
cover_sheet = Table(
    in_turn, (Field("carrier_on", one_of(ON_RULES)), Field("carrier_off", one_of(OFF_RULES)))
)
"""The rule with the carrier on (never `no_press`) and with it off."""
tack = Table(Tack, (*_TIMES, Field("peel", some_of(PEELS))), (_rises,))
_wait = Table(
    Wait,
    (Field("from", seconds, into="start"), Field("to", seconds, into="end")),
    (rising("from", "to"),),
)


def _by_peel(**waits: Wait) -> dict[Peel, Wait]:
    return {PEELS[name]: wait for name, wait in waits.items()}


peel_wait = Table(_by_peel, tuple(Field(name, _wait, LEFT_OUT) for name in PEELS), some=True)
