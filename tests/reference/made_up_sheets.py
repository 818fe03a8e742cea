"""A plain film and a plain cloth, to vary one key at a time: test data, not advice."""

from __future__ import annotations

from typing import Any

from settings_reference import reference_solve
from sheets_from_json import Json, element, fabric, material, press, recipe

from kiosk.catalog.model.house import Policy
from kiosk.catalog.model.recipes import Element, Recipe
from kiosk.catalog.model.sheets import Fabric, Material, Press

FILM: Json = {
    "temperature": {"low": "280 F", "high": "300 F", "normal": "290 F"},
    "dwell": [{"from": "280 F", "to": "300 F", "low": "8 s", "high": "12 s", "normal": "10 s"}],
    "pressure": {"low": "medium", "high": "medium-firm"},
    "peel": [{"from": "280 F", "to": "300 F", "allowed": ["hot", "warm"]}],
    "cover_sheet": {"carrier_on": "optional", "carrier_off": "required"},
    "carrier": True,
    "tack": {"low": "1 s", "high": "3 s", "normal": "2 s", "peel": ["hot"]},
    "surface": "smooth",
    "goes_on": ["fabric", "smooth"],
    "accepts_on_top": True,
    "total_heat": "60 s",
    "blocks_dye": False,
}
CLOTH: Json = {
    "temperature_max": "320 F",
    "dwell_max": [{"from": "0 F", "to": "320 F", "at_most": "20 s"}],
    "total_heat": "60 s",
    "pressure_max": "firm",
    "dye_risk": "none",
    "dye_cap": None,
    "pre_press": "5 s",
}


def window(low: int, high: int, normal: int) -> dict[str, str]:
    return {"low": f"{low} F", "high": f"{high} F", "normal": f"{normal} F"}


def band(start: int, end: int, low: int, high: int, normal: int) -> dict[str, str]:
    span = {"from": f"{start} F", "to": f"{end} F"}
    return {**span, "low": f"{low} s", "high": f"{high} s", "normal": f"{normal} s"}


def peel_band(start: int, end: int, *allowed: str) -> dict[str, Any]:
    return {"from": f"{start} F", "to": f"{end} F", "allowed": list(allowed)}


def at(low: int, high: int, normal: int, *peel: str, dwell: tuple[int, int, int]) -> Json:
    """Return the keys of a film with one band."""
    return {
        "temperature": window(low, high, normal),
        "dwell": [band(low, high, *dwell)],
        "peel": [peel_band(low, high, *peel)],
    }


def tack(low: int, high: int, normal: int, *peel: str) -> dict[str, Any]:
    times = {"low": f"{low} s", "high": f"{high} s", "normal": f"{normal} s"}
    return {**times, "peel": list(peel)}


def sheet(carrier_on: str, carrier_off: str) -> Json:
    return {"cover_sheet": {"carrier_on": carrier_on, "carrier_off": carrier_off}}


def film(key: str, **changes: Any) -> Material:
    return material(key, {**FILM, **changes})


def cloth(**changes: Any) -> Fabric:
    return fabric("cloth", {**CLOTH, **changes})


def one_panel(*elements: Element) -> Recipe:
    return recipe(("back", elements))


def job(
    elements: tuple[Element, ...],
    *films: Material,
    on: Fabric | None = None,
    bench: Press | None = None,
    policy: Policy | None = None,
) -> tuple[Recipe, Fabric, Press, Policy, dict[str, Material]]:
    """Return a job of one panel; the press is set to 290 F with a tolerance of 5 F by default."""
    return (
        one_panel(*elements),
        on or cloth(),
        bench or press("290 F", "5 F"),
        policy or Policy(),
        {sheet.key: sheet for sheet in films},
    )


def answer(*args: Any, **kwargs: Any) -> dict[str, Any]:
    """Return the reference's answer to a job of one panel."""
    return reference_solve(*job(*args, **kwargs))


def pressed(*args: Any, **kwargs: Any) -> dict[str, Any]:
    """Return the only panel of an answer that must be `ok`."""
    found = answer(*args, **kwargs)
    assert found["status"] == "ok", found
    (panel,) = found["panels"]
    return dict(panel)


NAME = element("name", "film")
NUMBER = element("number", "other")
BOTH = (NAME, NUMBER)
"""A name of `film` and a number of `other`, one layer each."""
