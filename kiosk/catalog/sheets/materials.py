"""Reads one entry of materials.yaml."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass

from kiosk.catalog.base.message import say
from kiosk.catalog.base.notes import Unsound
from kiosk.catalog.base.quantities import Pressure, Seconds
from kiosk.catalog.base.spots import Fields, Got, Spot
from kiosk.catalog.base.values import (
    character_set,
    flag,
    one_of,
    or_null,
    some_of,
    some_seconds,
    word,
)
from kiosk.catalog.model.heat import PROPOSED, MaterialHeat, Thresholds
from kiosk.catalog.model.sheets import (
    DwellBand,
    Material,
    Peel,
    PeelBand,
    SheetRule,
    Surface,
    Tack,
    TemperatureWindow,
    Wait,
)
from kiosk.catalog.model.source import ALL_GUESSED, Sources
from kiosk.catalog.sheets import parts as sheets
from kiosk.catalog.sheets.heat import material_heat, peel_at
from kiosk.catalog.sheets.parts import Bands, check_ends
from kiosk.catalog.sheets.source import sources

SURFACES = {s.value: s for s in Surface}
GROUNDS = {g: g for g in ("fabric", *SURFACES)}
REQUIRED = (
    "temperature", "dwell", "pressure", "peel", "cover_sheet", "carrier", "tack", "surface",
    "goes_on", "accepts_on_top", "total_heat", "blocks_dye",
)  # fmt: skip
VALUES = ("peel_wait", "colour", "letters", "peel_at", "heat")
OPTIONAL = ("title", "source", *VALUES)
CUT_ON_DEMAND: frozenset[str] | None = None
LEFT_TO_THE_MODEL: MaterialHeat | None = None


@dataclass(frozen=True, slots=True)
class _Parts:
    """What could be read of a material before it is checked as a whole."""

    title: Got[str]
    window: Got[TemperatureWindow]
    dwell: Got[Bands[DwellBand]]
    pressure: Got[tuple[Pressure, Pressure]]
    peel: Got[Bands[PeelBand]]
    sheet: Got[tuple[SheetRule, SheetRule]]
    carrier: Got[bool]
    tack: Got[Tack | None]
    surface: Got[Surface]
    goes_on: Got[frozenset[str]]
    accepts_on_top: Got[bool]
    total_heat: Got[Seconds]
    blocks_dye: Got[bool]
    peel_wait: Got[dict[Peel, Wait]]
    source: Got[Sources]
    colour: Got[str | None]
    letters: Got[frozenset[str] | None]
    peel_at: Got[Thresholds]
    heat: Got[MaterialHeat | None]


def material(key: str, spot: Spot) -> Material:
    """Return the material under `key`; Unsound where anything in it is wrong, all noted."""
    fields = spot.fields(REQUIRED, OPTIONAL)
    parts = _parts(key, fields)
    for check in CHECKS:
        with suppress(Unsound):  # noted; the other checks go on
            check(fields, parts)
    return _build(key, parts)


def _parts(key: str, f: Fields) -> _Parts:
    return _Parts(
        title=f.get_or("title", word, key),
        window=f.get("temperature", sheets.window),
        dwell=f.get("dwell", sheets.dwell_bands),
        pressure=f.get("pressure", sheets.pressure),
        peel=f.get("peel", sheets.peel_bands),
        sheet=f.get("cover_sheet", sheets.cover_sheet),
        carrier=f.get("carrier", flag),
        tack=f.get("tack", or_null(sheets.tack)),
        surface=f.get("surface", one_of(SURFACES)),
        goes_on=f.get("goes_on", some_of(GROUNDS)),
        accepts_on_top=f.get("accepts_on_top", flag),
        total_heat=f.get("total_heat", some_seconds),
        blocks_dye=f.get("blocks_dye", flag),
        peel_wait=f.get_or("peel_wait", sheets.peel_wait, {}),
        source=f.get_or("source", sources((*REQUIRED, *VALUES)), ALL_GUESSED),
        colour=f.get_or("colour", or_null(word), None),
        letters=f.get_or("letters", or_null(character_set), CUT_ON_DEMAND),
        peel_at=f.get_or("peel_at", peel_at, PROPOSED),
        heat=f.get_or("heat", material_heat, LEFT_TO_THE_MODEL),
    )


def _check_dwell(_: Fields, parts: _Parts) -> None:
    check_ends(parts.dwell.value, parts.window.value.low, parts.window.value.high)


def _check_peel(_: Fields, parts: _Parts) -> None:
    check_ends(parts.peel.value, parts.window.value.low, parts.window.value.high)


def _check_no_peel(fields: Fields, parts: _Parts) -> None:
    if parts.carrier.value and parts.peel.value.values.value == ():
        raise fields.entries["peel"].wrong(say("catalog.material.no_peel"))


def _check_bare(fields: Fields, parts: _Parts) -> None:
    if not parts.carrier.value and parts.sheet.value[1] is SheetRule.NO_PRESS:
        raise fields.entries["cover_sheet"].wrong(say("catalog.material.bare_no_press"))


def _check_carrier(fields: Fields, parts: _Parts) -> None:
    if not parts.carrier.value and parts.tack.value is not None:
        raise fields.entries["tack"].wrong(say("catalog.material.bare_tack"))


def _build(key: str, parts: _Parts) -> Material:
    pressure_low, pressure_high = parts.pressure.value
    carrier_on, carrier_off = parts.sheet.value
    return Material(
        key=key,
        title=parts.title.value,
        temperature=parts.window.value,
        dwell=parts.dwell.value.values.value,
        pressure_low=pressure_low,
        pressure_high=pressure_high,
        peel=parts.peel.value.values.value,
        sheet_carrier_on=carrier_on,
        sheet_carrier_off=carrier_off,
        carrier=parts.carrier.value,
        tack=parts.tack.value,
        surface=parts.surface.value,
        goes_on=parts.goes_on.value,
        accepts_on_top=parts.accepts_on_top.value,
        total_heat=parts.total_heat.value,
        blocks_dye=parts.blocks_dye.value,
        peel_wait=parts.peel_wait.value,
        source=parts.source.value,
        colour=parts.colour.value,
        letters=parts.letters.value,
        peel_at=parts.peel_at.value,
        heat=parts.heat.value,
    )


CHECKS = (_check_dwell, _check_peel, _check_no_peel, _check_bare, _check_carrier)
