"""Reads the parts of a material's sheet: window, bands, pressure, cover sheet, tack, waits."""

from __future__ import annotations

from functools import partial

import yaml

from kiosk.catalog.message import say
from kiosk.catalog.model import (
    DwellBand,
    Peel,
    PeelBand,
    Pressure,
    SheetRule,
    Tack,
    TemperatureWindow,
    Wait,
)
from kiosk.catalog.spans import Bands, Rest, bands
from kiosk.catalog.spots import Fields, Got, Spot
from kiosk.catalog.values import (
    in_order,
    one_of,
    seconds,
    some_of,
    some_seconds,
    temperature,
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
