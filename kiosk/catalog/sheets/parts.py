"""Reads parts of a sheet: bands, pressure, cover sheet, tack, waits, what the model is told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Generic, TypeVar

import yaml

from kiosk.catalog.base.fields import LEFT_OUT, Field, Table, Values, in_turn, read_fields, rising
from kiosk.catalog.base.message import say
from kiosk.catalog.base.quantities import Degrees, Pressure, Temperature
from kiosk.catalog.base.spots import Got, Spot, attempt
from kiosk.catalog.base.values import (
    in_order,
    one_of,
    quantity,
    seconds,
    some_of,
    some_seconds,
    temperature,
)
from kiosk.catalog.model.heat import (
    Carrier,
    Cloth,
    FabricHeat,
    MaterialHeat,
    OwnBody,
    PressHeat,
    Thresholds,
)
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


CARRIERS = {c.value: c for c in Carrier}
CLOTHS = {c.value: c for c in Cloth}
AIM_SHARE = 0.6  # of the way from `from` down to `to`: 50 °C between 65 and 40
GRAMS = 1000


def _celsius(spot: Spot) -> float:
    return _in_celsius(temperature(spot))


def _in_celsius(written: Temperature) -> float:
    return round(float(written.exact_in(Degrees.C)), 3)


def _kilograms(spot: Spot) -> float:
    return quantity("g/m2", 1, 100_000)(spot) / GRAMS


def _share(spot: Spot) -> float:
    return quantity("%", 0, 90)(spot) / 100


def _aims(start: float, end: float, aim: float | None = None) -> tuple[float, float, float]:
    """From, aim and to; where no aim is written it lies where the proposed one does."""
    return start, start - AIM_SHARE * (start - end) if aim is None else aim, end


# Units, and what lies far beyond any layer of a press: a slip of the keyboard.
_thickness, _conductivity = quantity("mm", 0.01, 60), quantity("W/mK", 0.005, 500)
FLAT = (
    Field("thickness", _thickness, LEFT_OUT, "mm_pressed"),
    Field("conductivity", _conductivity, LEFT_OUT, "conductivity_pressed"),
    Field("weight", _kilograms, LEFT_OUT, "kg_per_square_metre"),
    Field("capacity", quantity("J/kgK", 100, 5_000), LEFT_OUT, "joules_per_kg_kelvin"),
)
OPEN = (
    Field("open_thickness", _thickness, LEFT_OUT, "mm_open"),
    Field("open_conductivity", _conductivity, LEFT_OUT, "conductivity_open"),
)


def _flat_body(**body: float) -> OwnBody:
    """A layer that pressing does not thin."""
    thick, conducts = body.get("mm_pressed"), body.get("conductivity_pressed")
    return OwnBody(mm_open=thick, conductivity_open=conducts, **body)


def _fabric_heat(cloth: Cloth, **body: float) -> FabricHeat:
    return FabricHeat(cloth, OwnBody(**body))


_flat = Table(_flat_body, FLAT, some=True)
_warm = Table(
    lambda start, end, aim=None: _aims(*(each and _in_celsius(each) for each in (start, end, aim))),
    (
        Field("from", temperature, into="start"),
        Field("to", temperature, into="end"),
        Field("aim", temperature, LEFT_OUT),
    ),
    (rising("to", "aim", "from"),),
)
peel_at = Table(
    Thresholds,
    (
        Field("hot", _celsius, LEFT_OUT, "hot_until"),
        Field("warm", _warm, LEFT_OUT, "warm_from warm_aim warm_until"),
        Field("cold", _celsius, LEFT_OUT, "cold_at"),
    ),
    some=True,
)
"""The bond's temperatures for a material's peels; what is not written stays as proposed."""
material_heat = Table(
    MaterialHeat,
    (Field("carrier", one_of(CARRIERS), LEFT_OUT), Field("film", _flat, LEFT_OUT)),
)
fabric_heat = Table(_fabric_heat, (Field("cloth", one_of(CLOTHS)), *FLAT, *OPEN))
press_heat = Table(
    PressHeat,
    (
        Field("pad", _flat, LEFT_OUT),
        Field("overhead", _share, LEFT_OUT),
        Field("room", _celsius, LEFT_OUT),
    ),
)
