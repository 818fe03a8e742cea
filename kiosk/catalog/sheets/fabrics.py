"""Reads one entry of fabrics.yaml."""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction
from functools import partial

from kiosk.catalog.base.notes import Unsound
from kiosk.catalog.base.quantities import Temperature
from kiosk.catalog.base.spots import Fields, Spot
from kiosk.catalog.base.values import (
    one_of,
    or_null,
    seconds,
    some_seconds,
    temperature,
    word,
)
from kiosk.catalog.model.heat import FabricHeat
from kiosk.catalog.model.sheets import DwellCap, DyeRisk, Fabric
from kiosk.catalog.model.source import ALL_GUESSED
from kiosk.catalog.sheets.heat import fabric_heat
from kiosk.catalog.sheets.parts import PRESSURES, Bands, Rest, bands, check_ends
from kiosk.catalog.sheets.source import sources

RISKS = {r.value: r for r in DyeRisk}
REQUIRED = (
    "temperature_max", "dwell_max", "total_heat", "pressure_max", "dye_risk", "dye_cap",
    "pre_press",
)  # fmt: skip
LEFT_TO_THE_MODEL: FabricHeat | None = None


def fabric(key: str, spot: Spot) -> Fabric:
    """Return the fabric under `key`; Unsound where anything in it is wrong, all noted."""
    f = spot.fields(REQUIRED, ("title", "heat", "source"))
    title = f.get_or("title", word, key)
    hottest = f.get("temperature_max", temperature)
    dwell = f.get("dwell_max", bands(("at_most",), _cap_rest))
    total_heat = f.get("total_heat", some_seconds)
    pressure_max = f.get("pressure_max", one_of(PRESSURES))
    dye_risk = f.get("dye_risk", one_of(RISKS))
    dye_cap = f.get("dye_cap", or_null(temperature))
    pre_press = f.get("pre_press", seconds)
    heat = f.get_or("heat", fabric_heat, LEFT_TO_THE_MODEL)
    origin = f.get_or("source", sources((*REQUIRED, "heat")), ALL_GUESSED)
    with suppress(Unsound):  # noted; the fabric is given up below
        _check_dwell(dwell.value, hottest.value)
    return Fabric(
        key=key,
        title=title.value,
        temperature_max=hottest.value,
        dwell_max=dwell.value.values.value,
        total_heat=total_heat.value,
        pressure_max=pressure_max.value,
        dye_risk=dye_risk.value,
        dye_cap=dye_cap.value,
        pre_press=pre_press.value,
        heat=heat.value,
        source=origin.value,
    )


def _cap_rest(f: Fields, _: Spot) -> Rest[DwellCap]:
    return partial(DwellCap, at_most=f.get("at_most", some_seconds).value)


def _check_dwell(dwell: Bands[DwellCap], hottest: Temperature) -> None:
    """Note what is missing between 0, as the first band's unit has it, and the hottest."""
    if dwell.spans:
        unit = dwell.spans[0].start.unit
        check_ends(dwell, Temperature(Fraction(0), unit, f"0 {unit.value}"), hottest)
