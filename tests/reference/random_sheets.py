"""Random but valid sheets, cloths, presses and recipes, small enough to try every point.

The numbers are shaped, not realistic: many answers should need two closings or narrowly fail.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from hypothesis import strategies as st
from sheets_from_json import Json, element, fabric, material, press, recipe

from kiosk.catalog.model.house import Policy
from kiosk.catalog.model.recipes import Element, Recipe
from kiosk.catalog.model.sheets import Fabric, Material, Press, SheetRule

Draw = Any
Job = tuple[Recipe, Fabric, Press, Policy, dict[str, Material]]
Keys = tuple[str, ...]
PRESSURES = ("light", "light-medium", "medium", "medium-firm", "firm")
LOWEST = {"F": 278, "C": 137}
SPREAD = {"F": 12, "C": 6}


@dataclass(frozen=True)
class Kind:
    """What is likely to go wrong in a job.

    Windows begin up to `scatter` percent apart; sheets that are `alike` differ little in seconds
    and pressure; `tight` totals leave no second to spare; `steps` are windows one above the other,
    each needing its own closing.
    """

    scatter: int
    alike: bool
    tight: bool
    steps: bool


# Making and validating a strategy takes longer than drawing from it: each is made once, even
# composite ones (`@cache` before `@st.composite`).
one_of = cache(st.sampled_from)
between = cache(st.integers)


def chance(draw: Draw, percent: int) -> bool:
    return bool(draw(between(1, 100)) > 100 - percent)


def pick(draw: Draw, *choices: Any) -> Any:
    """Draw one of the choices; repeat a choice to make it likelier."""
    return draw(one_of(choices))


def number(draw: Draw, low: int, high: int) -> int:
    return int(draw(between(low, high)))


def three(draw: Draw, low: int, high: int, width: int) -> dict[str, str]:
    """Draw a window of whole seconds with its normal."""
    start = number(draw, low, high)
    end = start + number(draw, 0, width)
    return {"low": f"{start} s", "high": f"{end} s", "normal": f"{number(draw, start, end)} s"}


def spans(draw: Draw, low: int, high: int, unit: str, two: int, hole: int = 0) -> list[Json]:
    """Draw one span of degrees, or two that touch; rarely with a hole between them."""
    if high - low < 2 or not chance(draw, two):
        return [{"from": f"{low} {unit}", "to": f"{high} {unit}"}]
    middle = number(draw, low, high - 2)
    after = middle + (2 if chance(draw, hole) else 1)
    return [
        {"from": f"{low} {unit}", "to": f"{middle} {unit}"},
        {"from": f"{after} {unit}", "to": f"{high} {unit}"},
    ]


def normal_of(draw: Draw, low: int, high: int, bands: list[Json]) -> int:
    """Draw a degree in the window; usually in the hole if there is one."""
    first_end = int(bands[0]["to"].split()[0])
    if len(bands) == 2 and not bands[1]["from"].startswith(str(first_end + 1)):
        return int(pick(draw, first_end + 1, first_end + 1, number(draw, low, high)))
    return number(draw, low, high)


def peels(draw: Draw) -> list[str]:
    return list(
        pick(draw, ("hot",), ("hot",), ("hot", "warm"), ("warm",), ("cold",), ("cold",),
             ("warm", "cold"), ("hot", "warm", "cold"))
    )  # fmt: skip


def pressures(draw: Draw) -> Json:
    low = pick(draw, 1, 2, 2, 2, 2, 3)
    high = min(4, low + pick(draw, 0, 1, 1, 2))
    return {"low": PRESSURES[low], "high": PRESSURES[high]}


@cache
@st.composite
def materials(draw: Draw, key: str, unit: str, step: int, kind: Kind) -> Material:
    """Draw a sheet that a catalog would accept."""
    away = step * SPREAD[unit] // 2 if kind.steps else SPREAD[unit] * kind.scatter // 100
    low = LOWEST[unit] + (away if kind.steps else number(draw, 0, away))
    high = low + number(draw, SPREAD[unit] // 6, SPREAD[unit] // (2 if kind.steps else 1))
    carrier = chance(draw, 90)
    width = 5 if kind.tight else 2
    quick = 3 if kind.alike else pick(draw, 3, 3, 4, 7)
    bare = pick(draw, *["required"] * 5, *["optional"] * 5, "forbidden", "no_press")
    bands = spans(draw, low, high, unit, 50, 15)
    slower = pick(draw, 0, 3, -1) if kind.tight else 0
    return material(
        key,
        {
            "temperature": {
                "low": f"{low} {unit}",
                "high": f"{high} {unit}",
                "normal": f"{normal_of(draw, low, high, bands)} {unit}",
            },
            "dwell": [
                {**span, **three(draw, quick + n * slower, quick + n * slower + 2, width)}
                for n, span in enumerate(bands)
            ],
            "pressure": {"low": "medium", "high": "firm"} if kind.alike else pressures(draw),
            "peel": [
                {**span, "allowed": peels(draw)} for span in spans(draw, low, high, unit, 40, 5)
            ]
            if carrier
            else [],
            "cover_sheet": {
                "carrier_on": pick(draw, *["optional"] * 7, "required", "forbidden"),
                "carrier_off": bare if carrier or bare != "no_press" else "required",
            },
            "carrier": carrier,
            "tack": {**three(draw, 1, 3, 2), "peel": peels(draw)} if chance(draw, 85) else None,
            "surface": "smooth" if chance(draw, 85) else "textured",
            "goes_on": ["fabric", "smooth"] if number(draw, 0, 40) != 17 else ["smooth"],
            "accepts_on_top": chance(draw, 90),
            "total_heat": f"{pick(draw, *([9, 12, 15, 18] if kind.tight else [14, 20, 30, 40]))} s",
            "blocks_dye": chance(draw, 40),
        },
    )


@cache
@st.composite
def fabrics(draw: Draw, unit: str, kind: Kind) -> Fabric:
    """Draw a cloth with a dwell limit from 0 to its highest temperature."""
    highest = LOWEST[unit] + pick(draw, 1, 3, 4, 4, 4) * number(
        draw, SPREAD[unit] // 2, SPREAD[unit]
    )
    caps = spans(draw, LOWEST[unit], highest, unit, 45)
    start = {"from": f"0 {unit}"}
    coolest = number(draw, 8, 14)
    hottest = max(4, coolest - number(draw, 0, 6))
    limits = [coolest, hottest] if chance(draw, 85) else [hottest, coolest]
    dye_cap = LOWEST[unit] + number(draw, SPREAD[unit] // 2, 2 * SPREAD[unit])
    return fabric(
        "cloth",
        {
            "temperature_max": f"{highest} {unit}",
            "dwell_max": [
                {**span, **(start if n == 0 else {}), "at_most": f"{limits[n]} s"}
                for n, span in enumerate(caps)
            ],
            "total_heat": f"{pick(draw, *((11, 13, 15, 17, 19) if kind.tight else (20, 40)))} s",
            "pressure_max": pick(draw, *["firm"] * 12, "medium-firm", "medium-firm", "medium"),
            "dye_risk": pick(draw, "none", "none", "possible", "high"),
            "dye_cap": f"{dye_cap} {unit}" if chance(draw, 40) else None,
            "pre_press": f"{number(draw, 0, 3)} s",
        },
    )


@cache
@st.composite
def presses(draw: Draw, unit: str) -> Press:
    """Draw a press set to a temperature near the windows, with a tolerance."""
    setting = LOWEST[unit] + number(draw, 0, 2 * SPREAD[unit])
    tolerance = pick(draw, "0 F", "1 F", "2 F", "3 F", "5 F", "1 C", "2 C")
    return press(f"{setting} {unit}", tolerance)


@cache
@st.composite
def policies(draw: Draw, kind: Kind) -> Policy:
    """Draw a shop's policy."""
    return Policy(
        keep_setting=chance(draw, 60),
        staged_peel=chance(draw, 45),
        max_closings=pick(draw, *((3, 3, 2) if kind.steps else (2, 2, 2, 2, 3, 3, 1))),
        guard_fabric=chance(draw, 70),
        bare_tack=chance(draw, 70),
    )


@cache
@st.composite
def elements(
    draw: Draw, name: str, sheets: Keys, stackable: Keys, first: int, shared: bool
) -> Element:
    """Draw one piece, usually of sheet `first`, or a stack, usually of stackable sheets."""
    layers = pick(draw, 1, 1, 1, 1, 1, 2, 2, 3)
    keys = sheets
    if layers == 1 and chance(draw, 75):
        keys = (keys[first % len(keys)],)
    if layers > 1 and chance(draw, 95):
        keys = stackable
        layers = layers if keys else 1
    return element(
        name, *(pick(draw, *(keys or sheets)) for _ in range(layers)), shared_carrier=shared
    )


def is_stackable(sheet: Material) -> bool:
    return (
        sheet.carrier
        and sheet.tack is not None
        and sheet.accepts_on_top
        and sheet.surface.value in sheet.goes_on
        and sheet.sheet_carrier_off is not SheetRule.NO_PRESS
    )


@cache
@st.composite
def recipes(draw: Draw, sheets: Keys, stackable: Keys, kind: Kind) -> Recipe:
    """Draw one panel, sometimes two, of one to three elements."""
    panels = []
    for panel in ("back", "front")[: pick(draw, 1, 1, 1, 1, 2)]:
        shared = chance(draw, 20)
        names = ("name", "number", "badge")[
            : pick(draw, *((3, 2) if kind.steps else (2, 2, 2, 2, 3, 3, 1)))
        ]
        parts = tuple(
            draw(elements(name, sheets, stackable, first, shared and chance(draw, 80)))
            for first, name in enumerate(names)
        )
        panels.append((panel, parts))
    return recipe(*panels)


@st.composite
def jobs(draw: Draw) -> Job:
    """Draw all that a plan is solved from; some sheets use the other unit than the press."""
    units = ("F", "C") if chance(draw, 60) else ("C", "F")
    kind = Kind(
        scatter=pick(draw, 10, 50, 100, 150, 250),
        alike=chance(draw, 40),
        tight=chance(draw, 35),
        steps=chance(draw, 20),
    )
    keys = ("film", "print", "letter")[: pick(draw, *((3,) if kind.steps else (2, 2, 3, 3, 1)))]

    def unit() -> str:
        return units[1] if chance(draw, 15) else units[0]

    sheets = {key: draw(materials(key, unit(), n, kind)) for n, key in enumerate(keys)}
    stackable = tuple(key for key in keys if is_stackable(sheets[key]))
    return (
        draw(recipes(keys, stackable, kind)),
        draw(fabrics(unit(), kind)),
        draw(presses(units[0])),
        draw(policies(kind)),
        sheets,
    )
