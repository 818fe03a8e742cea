"""Read materials.yaml, fabrics.yaml, the heat model's inputs, and recipes."""

import re
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Any, TypeVar

from kiosk.catalog.base import values
from kiosk.catalog.base.fields import ITS_KEY, LEFT_OUT, Field, FieldTable, Prompt, Values, rising
from kiosk.catalog.base.notes import listed, nearest_word, say
from kiosk.catalog.base.quantities import Degrees, Temperature
from kiosk.catalog.base.spots import Spot, attempt
from kiosk.catalog.base.values import KeyedEntries, OrNull, flag, length, reference, word
from kiosk.catalog.model import house
from kiosk.catalog.model.recipes import MOST_LAYERS, Element, Layer, Panel, Recipe
from kiosk.catalog.model.sheets import (
    GROUNDS,
    DwellCap,
    DyeRisk,
    Fabric,
    Material,
    SheetRule,
    Surface,
)
from kiosk.catalog.sheets import parts
from kiosk.catalog.sheets.parts import source_of

CARRIERS = {c.value: c for c in house.Carrier}
CLOTHS = {c.value: c for c in house.Cloth}
AIM_SHARE = 0.6  # of the way from `from` down to `to`: 50 °C between 65 and 40
GRAMS = 1000


def _celsius(spot: Spot) -> float:
    return _in_celsius(values.temperature(spot))


def _in_celsius(temperature: Temperature) -> float:
    return round(float(temperature.exact_in(Degrees.C)), 3)


def _kilograms(spot: Spot) -> float:
    return values.quantity("g/m2", 1, 100_000)(spot) / GRAMS


def _share(spot: Spot) -> float:
    return values.quantity("%", 0, 90)(spot) / 100


def _aims(start: float, end: float, aim: float | None = None) -> tuple[float, float, float]:
    """Return from, aim and to; a missing aim is placed like the proposed one (AIM_SHARE)."""
    return start, start - AIM_SHARE * (start - end) if aim is None else aim, end


# Units, and bounds far beyond any layer of a press: outside them it is a typing slip.
_thickness, _conductivity = values.quantity("mm", 0.01, 60), values.quantity("W/mK", 0.005, 500)
FLAT = (
    Field("thickness", _thickness, LEFT_OUT, "mm_pressed"),
    Field("conductivity", _conductivity, LEFT_OUT, "conductivity_pressed"),
    Field("weight", _kilograms, LEFT_OUT, "kg_per_square_metre"),
    Field("capacity", values.quantity("J/kgK", 100, 5_000), LEFT_OUT, "joules_per_kg_kelvin"),
)
OPEN = (
    Field("open_thickness", _thickness, LEFT_OUT, "mm_open"),
    Field("open_conductivity", _conductivity, LEFT_OUT, "conductivity_open"),
)


def _flat_body(**body: float) -> house.OwnBody:
    """Return a layer that is as thick open as pressed."""
    thickness, conductivity = body.get("mm_pressed"), body.get("conductivity_pressed")
    return house.OwnBody(mm_open=thickness, conductivity_open=conductivity, **body)


def _fabric_heat(cloth: house.Cloth, **body: float) -> house.FabricHeat:
    return house.FabricHeat(cloth, house.OwnBody(**body))


_flat = FieldTable(_flat_body, FLAT, some=True)
_warm = FieldTable(
    lambda start, end, aim=None: _aims(*(each and _in_celsius(each) for each in (start, end, aim))),
    (
        Field("from", values.temperature, into="start"),
        Field("to", values.temperature, into="end"),
        Field("aim", values.temperature, LEFT_OUT),
    ),
    (rising("to", "aim", "from"),),
)
peel_at = FieldTable(
    house.Thresholds,
    (
        Field("hot", _celsius, LEFT_OUT, "hot_until"),
        Field("warm", _warm, LEFT_OUT, "warm_from warm_aim warm_until"),
        Field("cold", _celsius, LEFT_OUT, "cold_at"),
    ),
    some=True,
)
"""The reader of the bond temperatures for a material's peels; missing keys keep defaults."""
material_heat = FieldTable(
    house.MaterialHeat,
    (Field("carrier", values.OneOf(CARRIERS), LEFT_OUT), Field("film", _flat, LEFT_OUT)),
)
fabric_heat = FieldTable(
    _fabric_heat, (Field("cloth", values.OneOf(CLOTHS), prompt=Prompt()), *FLAT, *OPEN)
)
press_heat = FieldTable(
    house.PressHeat,
    (
        Field("pad", _flat, LEFT_OUT),
        Field("overhead", _share, LEFT_OUT),
        Field("room", _celsius, LEFT_OUT),
    ),
)


SURFACES = {s.value: s for s in Surface}
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
    Field("temperature", parts.window, prompt=Prompt()),
    Field("dwell", parts.dwell_bands, prompt=Prompt(like=_AT_ENDS)),
    Field("pressure", parts.pressure, into="pressure_low pressure_high", prompt=Prompt()),
    Field("carrier", values.flag, prompt=Prompt("yes")),
    Field("peel", parts.peel_bands, prompt=Prompt("[]", like=_AT_ENDS, only=_PEELED)),
    Field("peel_wait", parts.peel_wait, NO_WAITS, prompt=Prompt(only=_PEELED)),
    Field("cover_sheet", parts.cover_sheet, into="sheet_carrier_on sheet_carrier_off",
          prompt=Prompt()),
    Field("tack", values.OrNull(parts.tack), prompt=Prompt("null", only=_PEELED)),
    Field("surface", values.OneOf(SURFACES), prompt=Prompt("smooth")),
    Field("goes_on", values.SomeOf({each: each for each in GROUNDS}), prompt=Prompt("[fabric]")),
    Field("accepts_on_top", values.flag, prompt=Prompt("no")),
    Field("total_heat", values.some_seconds, prompt=Prompt("60 s")),
    Field("blocks_dye", values.flag, prompt=Prompt("no")),
)  # fmt: skip
_OPTIONAL = (
    Field("colour", values.OrNull(values.word), LEFT_OUT),
    Field("letters", values.OrNull(values.character_set), LEFT_OUT),
    Field("peel_at", peel_at, LEFT_OUT),
    Field("heat", material_heat, LEFT_OUT),
)
_TITLE = Field("title", values.word, ITS_KEY, prompt=Prompt())
MATERIAL = FieldTable(
    _material,
    (_TITLE, *_NUMBERS, source_of(*_NUMBERS, *_OPTIONAL), *_OPTIONAL),
    (_check_dwell, _check_peel, _check_no_peel, _check_bare, _check_carrier),
)


def _check_caps(values: Values) -> None:
    """Note a hole between 0, in the first band's unit, and the greatest temperature."""
    spans = values["dwell_max"].spans
    if spans:
        unit = spans[0].start.unit
        coldest = Temperature(Fraction(0), unit, f"0 {unit.value}")
        parts.check_ends(values["dwell_max"], coldest, values["temperature_max"])


def _fabric(dwell_max: Any, **others: Any) -> Fabric:
    return Fabric(dwell_max=dwell_max.values.value, **others)


_AT_MOST = Field("at_most", values.some_seconds, prompt=Prompt("20 s"))
_CAPS = parts.BandList(DwellCap, (_AT_MOST,), without_holes=True)
_LIMITS = (
    Field("temperature_max", values.temperature, prompt=Prompt("300 F / 150 C")),
    Field("dwell_max", _CAPS, prompt=Prompt(like=("", "temperature_max"))),
    Field("total_heat", values.some_seconds, prompt=Prompt("60 s")),
    Field("pressure_max", values.OneOf(parts.PRESSURES), prompt=Prompt("medium")),
    Field("dye_risk", values.OneOf(RISKS), prompt=Prompt("possible")),
    Field(
        "dye_cap",
        values.OrNull(values.temperature),
        prompt=Prompt("null", only=("dye_risk", "possible", "high")),
    ),
    Field("pre_press", values.seconds, prompt=Prompt("5 s")),
)
_HEAT = Field("heat", fabric_heat, LEFT_OUT, prompt=Prompt())
FABRIC = FieldTable(_fabric, (_TITLE, *_LIMITS, _HEAT, source_of(*_LIMITS, _HEAT)), (_check_caps,))


# Other names are allowed; one that is almost one of these counts as a typing slip.
PANELS = ("back", "front", "left-sleeve", "right-sleeve", "left-chest", "right-chest")
ELEMENTS = ("name", "number")
ALMOST = 0.75  # `bakc` is this close to `back`; `sleeve` is not this close to `left-sleeve`
MOST_PANELS, MOST_ELEMENTS = 8, 8  # the search for settings grows with them

_NAME = re.compile(r"\w[\w -]{0,29}")  # no dot: a piece is `<element>.<layer>`
T = TypeVar("T")


def recipe(key: str, materials: KeyedEntries[Material], spot: Spot) -> Recipe:
    """Return the recipe of a file with the stem `key`; raises Unsound, all faults noted, if wrong.

    Layers are checked against `materials`; a layer without a colour has its material's.
    """

    def layer(material: str, colour: str = "") -> Layer:
        sheet = materials.sound.get(material)
        return Layer(material, colour or (sheet.colour if sheet is not None else None) or "")

    film, colour = Field("material", reference(materials.names)), Field("colour", word, LEFT_OUT)
    layers = Field("layers", _list_of(MOST_LAYERS, FieldTable(layer, (film, colour))))
    element = FieldTable(
        _element,
        (Field("element", _name(ELEMENTS), into="name"), layers, SHARED,
         Field("height", OrNull(length), LEFT_OUT)),
    )  # fmt: skip
    elements = Field("elements", _list_of(MOST_ELEMENTS, element, "element"))
    panel = FieldTable(_panel, (Field("panel", _name(PANELS), into="name"), SHARED, elements))
    panels = Field("panels", _list_of(MOST_PANELS, panel, "panel"))
    return FieldTable(_recipe, (Field("title", word, ITS_KEY), SHARED, panels)).under(key, spot)


SHARED = Field("shared_carrier", flag, LEFT_OUT)
"""The nearest setting wins: the element's own, its panel's, the recipe's, else no."""
Shared = bool | None


def _element(shared_carrier: Shared = None, **own: Any) -> Callable[[bool], Element]:
    def build(above: bool) -> Element:
        return Element(shared_carrier=above if shared_carrier is None else shared_carrier, **own)

    return build


def _panel(name: str, elements: Any, shared_carrier: Shared = None) -> Callable[[bool], Panel]:
    def build(above: bool) -> Panel:
        shared = above if shared_carrier is None else shared_carrier
        return Panel(name, tuple(element(shared) for element in elements))

    return build


def _recipe(key: str, title: str, panels: Any, shared_carrier: bool = False) -> Recipe:
    return Recipe(key, title, tuple(panel(shared_carrier) for panel in panels))


def _name(usual: Sequence[str]) -> Callable[[Spot], str]:
    def read(spot: Spot) -> str:
        name = word(spot)
        if not _NAME.fullmatch(name):
            raise spot.wrong(say("catalog.recipe.name"))
        slip = "" if name in usual or not name.isalpha() else nearest_word(name, usual, ALMOST)
        if slip:
            raise spot.wrong(say("catalog.recipe.slip"), allowed=listed(usual), nearest=slip)
        return name

    return read


def _list_of(
    most: int, read_one: Callable[[Spot], T], name_key: str = ""
) -> Callable[[Spot], tuple[T, ...]]:
    """Return a reader of 1 to `most` maps, no two with the same word under `name_key`."""

    def read(spot: Spot) -> tuple[T, ...]:
        items = spot.items()
        if len(items) > most:
            raise spot.wrong(say("catalog.recipe.many", most=most, count=len(items)))
        results = [attempt(read_one, item) for item in items]
        names = [item.word_under(name_key) for item in items]
        for n, (item, name) in enumerate(zip(items, names, strict=True)):
            if name and name in names[:n]:
                item.notes.add(say("catalog.recipe.twin"), line=item.line, key=item.key, found=name)
        return tuple(each.value for each in results)

    return read
