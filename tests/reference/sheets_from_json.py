"""Catalog values from the worked cases' JSON, which has the same form as the YAML files."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from kiosk.catalog.base.quantities import (
    Degrees,
    Length,
    Pressure,
    Seconds,
    Temperature,
    TemperatureStep,
)
from kiosk.catalog.model.house import Policy
from kiosk.catalog.model.recipes import Element, Layer, Panel, Recipe
from kiosk.catalog.model.sheets import (
    DwellBand,
    DwellCap,
    DyeRisk,
    Fabric,
    Material,
    Peel,
    PeelBand,
    Press,
    SheetRule,
    Surface,
    Tack,
    TemperatureWindow,
)
from kiosk.catalog.model.source import ALL_GUESSED

Json = Mapping[str, Any]


def degrees(text: str) -> Temperature:
    number, unit = text.split()
    return Temperature(Fraction(number), Degrees(unit), text)


def step(text: str) -> TemperatureStep:
    number, unit = text.split()
    return TemperatureStep(Fraction(number), Degrees(unit), text)


def seconds(text: str) -> Seconds:
    return Seconds(Fraction(text.removesuffix(" s")), text)


def pressure(word: str) -> Pressure:
    return Pressure[word.upper().replace("-", "_")]


def peels(words: list[str]) -> frozenset[Peel]:
    return frozenset(Peel[word.upper()] for word in words)


def window(low: str, high: str, normal: str) -> TemperatureWindow:
    return TemperatureWindow(degrees(low), degrees(high), degrees(normal))


def dwell_band(band: Json) -> DwellBand:
    low, high, normal = (seconds(band[key]) for key in ("low", "high", "normal"))
    return DwellBand(degrees(band["from"]), degrees(band["to"]), low, high, normal)


def peel_band(band: Json) -> PeelBand:
    return PeelBand(degrees(band["from"]), degrees(band["to"]), peels(band["allowed"]))


def tack(sheet: Json | None) -> Tack | None:
    if sheet is None:
        return None
    low, high, normal = (seconds(sheet[key]) for key in ("low", "high", "normal"))
    return Tack(low, high, normal, peels(sheet["peel"]))


def material(key: str, sheet: Json) -> Material:
    return Material(
        key=key,
        title=sheet.get("title", key),
        temperature=window(**sheet["temperature"]),
        dwell=tuple(dwell_band(band) for band in sheet["dwell"]),
        pressure_low=pressure(sheet["pressure"]["low"]),
        pressure_high=pressure(sheet["pressure"]["high"]),
        peel=tuple(peel_band(band) for band in sheet["peel"]),
        sheet_carrier_on=SheetRule(sheet["cover_sheet"]["carrier_on"]),
        sheet_carrier_off=SheetRule(sheet["cover_sheet"]["carrier_off"]),
        carrier=sheet["carrier"],
        tack=tack(sheet["tack"]),
        surface=Surface(sheet["surface"]),
        goes_on=frozenset(sheet["goes_on"]),
        accepts_on_top=sheet["accepts_on_top"],
        total_heat=seconds(sheet["total_heat"]),
        blocks_dye=sheet["blocks_dye"],
        peel_wait={},
        source=ALL_GUESSED,
    )


def fabric(key: str, cloth: Json) -> Fabric:
    caps = tuple(
        DwellCap(degrees(cap["from"]), degrees(cap["to"]), seconds(cap["at_most"]))
        for cap in cloth["dwell_max"]
    )
    return Fabric(
        key=key,
        title=cloth.get("title", key),
        temperature_max=degrees(cloth["temperature_max"]),
        dwell_max=caps,
        total_heat=seconds(cloth["total_heat"]),
        pressure_max=pressure(cloth["pressure_max"]),
        dye_risk=DyeRisk(cloth["dye_risk"]),
        dye_cap=degrees(cloth["dye_cap"]) if cloth["dye_cap"] else None,
        pre_press=seconds(cloth["pre_press"]),
    )


def press(set_temperature: str, tolerance: str) -> Press:
    inch = Length(Fraction(16), "16 in")
    return Press(
        key="bench-1",
        set_temperature=degrees(set_temperature),
        tolerance=step(tolerance),
        opens_itself=True,
        collar_toward_operator=True,
        platen_width=inch,
        platen_height=inch,
        closes_in=seconds("1 s"),
    )


def element(name: str, *materials: str, shared_carrier: bool = False) -> Element:
    return Element(name, tuple(Layer(material, "black") for material in materials), shared_carrier)


def recipe(*panels: tuple[str, tuple[Element, ...]]) -> Recipe:
    return Recipe("made-up", "made up", tuple(Panel(name, parts) for name, parts in panels))


def case_arguments(case: Json, book: Json) -> tuple[Any, ...]:
    """Return recipe, fabric, press, policy and materials of one worked case."""
    bench = case["shop"]["presses"]["bench-1"]
    panels = [
        (
            panel["panel"],
            tuple(
                element(part["element"], *(layer["material"] for layer in part["layers"]))
                for part in panel["elements"]
            ),
        )
        for panel in case["recipe"]["panels"]
    ]
    return (
        recipe(*panels),
        fabric(case["fabric"], book["fabrics"][case["fabric"]]),
        press(bench["set_temperature"], bench["tolerance"]),
        Policy(**case["shop"]["policy"]),
        {key: material(key, sheet) for key, sheet in book["materials"].items()},
    )
