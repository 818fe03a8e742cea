"""Reads the entries of materials.yaml and fabrics.yaml."""

from fractions import Fraction
from typing import Any

from kiosk.catalog.base.fields import ITS_KEY, LEFT_OUT, Asked, Field, Table, Values
from kiosk.catalog.base.message import say
from kiosk.catalog.base.quantities import Temperature
from kiosk.catalog.base.values import (
    OneOf,
    OrNull,
    SomeOf,
    character_set,
    flag,
    seconds,
    some_seconds,
    temperature,
    word,
)  # fmt: skip
from kiosk.catalog.model.sheets import DwellCap, DyeRisk, Fabric, Material, SheetRule, Surface
from kiosk.catalog.sheets import parts
from kiosk.catalog.sheets.heat import fabric_heat, material_heat, peel_at
from kiosk.catalog.sheets.source import source_of

SURFACES = {s.value: s for s in Surface}
GROUNDS = {g: g for g in ("fabric", *SURFACES)}
RISKS = {r.value: r for r in DyeRisk}
NO_WAITS: dict[object, object] = {}


def _check_dwell(values: Values) -> None:
    parts.check_ends(values["dwell"], values["temperature"].low, values["temperature"].high)


def _check_peel(values: Values) -> None:
    parts.check_ends(values["peel"], values["temperature"].low, values["temperature"].high)


def _check_no_peel(values: Values) -> None:
    if values["carrier"] and values["peel"].values.value == ():
        raise values.entries["peel"].wrong(say("catalog.material.no_peel"))


def _check_bare(values: Values) -> None:
    if not values["carrier"] and values["cover_sheet"][1] is SheetRule.NO_PRESS:
        raise values.entries["cover_sheet"].wrong(say("catalog.material.bare_no_press"))


def _check_carrier(values: Values) -> None:
    if not values["carrier"] and values["tack"] is not None:
        raise values.entries["tack"].wrong(say("catalog.material.bare_tack"))


def _material(dwell: Any, peel: Any, **others: Any) -> Material:
    return Material(dwell=dwell.values.value, peel=peel.values.value, **others)


_PEELED, _AT_ENDS = ("carrier", "yes"), ("temperature.low", "temperature.high")
_NUMBERS = (
    Field("temperature", parts.window, asked=Asked()),
    Field("dwell", parts.dwell_bands, asked=Asked(like=_AT_ENDS)),
    Field("pressure", parts.pressure, into="pressure_low pressure_high", asked=Asked()),
    Field("carrier", flag, asked=Asked("yes")),
    Field("peel", parts.peel_bands, asked=Asked("[]", like=_AT_ENDS, only=_PEELED)),
    Field("peel_wait", parts.peel_wait, NO_WAITS, asked=Asked(only=_PEELED)),
    Field("cover_sheet", parts.cover_sheet, into="sheet_carrier_on sheet_carrier_off",
          asked=Asked()),
    Field("tack", OrNull(parts.tack), asked=Asked("null", only=_PEELED)),
    Field("surface", OneOf(SURFACES), asked=Asked("smooth")),
    Field("goes_on", SomeOf(GROUNDS), asked=Asked("[fabric]")),
    Field("accepts_on_top", flag, asked=Asked("no")),
    Field("total_heat", some_seconds, asked=Asked("60 s")),
    Field("blocks_dye", flag, asked=Asked("no")),
)  # fmt: skip
_MAY = (
    Field("colour", OrNull(word), LEFT_OUT),
    Field("letters", OrNull(character_set), LEFT_OUT),
    Field("peel_at", peel_at, LEFT_OUT),
    Field("heat", material_heat, LEFT_OUT),
)
_TITLE = Field("title", word, ITS_KEY, asked=Asked())
MATERIAL = Table(
    _material,
    (_TITLE, *_NUMBERS, source_of(*_NUMBERS, *_MAY), *_MAY),
    (_check_dwell, _check_peel, _check_no_peel, _check_bare, _check_carrier),
)


def _check_caps(values: Values) -> None:
    """Note what is missing between 0, as the first band's unit has it, and the hottest."""
    spans = values["dwell_max"].spans
    if spans:
        unit = spans[0].start.unit
        coldest = Temperature(Fraction(0), unit, f"0 {unit.value}")
        parts.check_ends(values["dwell_max"], coldest, values["temperature_max"])


def _fabric(dwell_max: Any, **others: Any) -> Fabric:
    return Fabric(dwell_max=dwell_max.values.value, **others)


_CAPS = parts.BandList(DwellCap, (Field("at_most", some_seconds, asked=Asked("20 s")),))
_LIMITS = (
    Field("temperature_max", temperature, asked=Asked("300 F / 150 C")),
    Field("dwell_max", _CAPS, asked=Asked(like=("", "temperature_max"))),
    Field("total_heat", some_seconds, asked=Asked("60 s")),
    Field("pressure_max", OneOf(parts.PRESSURES), asked=Asked("medium")),
    Field("dye_risk", OneOf(RISKS), asked=Asked("possible")),
    Field(
        "dye_cap", OrNull(temperature), asked=Asked("null", only=("dye_risk", "possible", "high"))
    ),
    Field("pre_press", seconds, asked=Asked("5 s")),
)
_HEAT = Field("heat", fabric_heat, LEFT_OUT, asked=Asked())
FABRIC = Table(_fabric, (_TITLE, *_LIMITS, _HEAT, source_of(*_LIMITS, _HEAT)), (_check_caps,))
