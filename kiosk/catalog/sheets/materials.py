"""Reads the entries of materials.yaml and fabrics.yaml."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from kiosk.catalog.base.fields import ITS_KEY, LEFT_OUT, Field, Table, Values
from kiosk.catalog.base.message import say
from kiosk.catalog.base.quantities import Temperature
from kiosk.catalog.base.values import (
    character_set,
    flag,
    one_of,
    or_null,
    seconds,
    some_of,
    some_seconds,
    temperature,
    word,
)  # fmt: skip
from kiosk.catalog.model.sheets import DwellCap, DyeRisk, Fabric, Material, SheetRule, Surface
from kiosk.catalog.sheets import parts
from kiosk.catalog.sheets.parts import fabric_heat, material_heat, peel_at
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


_NEEDED = (
    Field("temperature", parts.window),
    Field("dwell", parts.dwell_bands),
    Field("pressure", parts.pressure, into="pressure_low pressure_high"),
    Field("peel", parts.peel_bands),
    Field("cover_sheet", parts.cover_sheet, into="sheet_carrier_on sheet_carrier_off"),
    Field("carrier", flag),
    Field("tack", or_null(parts.tack)),
    Field("surface", one_of(SURFACES)),
    Field("goes_on", some_of(GROUNDS)),
    Field("accepts_on_top", flag),
    Field("total_heat", some_seconds),
    Field("blocks_dye", flag),
)
_MAY = (
    Field("peel_wait", parts.peel_wait, NO_WAITS),
    Field("colour", or_null(word), LEFT_OUT),
    Field("letters", or_null(character_set), LEFT_OUT),
    Field("peel_at", peel_at, LEFT_OUT),
    Field("heat", material_heat, LEFT_OUT),
)
MATERIAL = Table(
    _material,
    (Field("title", word, ITS_KEY), *_NEEDED, source_of(*_NEEDED, *_MAY), *_MAY),
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


_LIMITS = (
    Field("temperature_max", temperature),
    Field("dwell_max", parts.bands(DwellCap, Field("at_most", some_seconds))),
    Field("total_heat", some_seconds),
    Field("pressure_max", one_of(parts.PRESSURES)),
    Field("dye_risk", one_of(RISKS)),
    Field("dye_cap", or_null(temperature)),
    Field("pre_press", seconds),
)
_HEAT = Field("heat", fabric_heat, LEFT_OUT)
FABRIC = Table(
    _fabric,
    (Field("title", word, ITS_KEY), *_LIMITS, _HEAT, source_of(*_LIMITS, _HEAT)),
    (_check_caps,),
)
