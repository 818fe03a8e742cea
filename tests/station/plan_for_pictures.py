"""Passes with interesting temperatures, planned from the shop's own catalog."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from kiosk.catalog.model.house import Policy
from kiosk.catalog.model.orders import Job
from kiosk.catalog.model.recipes import Element, Layer, Panel, Recipe
from kiosk.catalog.model.sheets import Peel
from kiosk.catalog.read import read_catalog
from kiosk.plan.model import PanelRefusal, Pass
from kiosk.plan.procedure import make_plan
from kiosk.plan.settings import solve

RECIPES = Path(__file__).resolve().parents[2] / "recipes"


@cache
def layered() -> Pass:
    """Return a number of two layers: pre-press, two tacks, final, nothing left to peel."""
    return _planned(("smooth-film", "smooth-film"))


@cache
def warm() -> Pass:
    """Return a number of one layer whose sheet gives no wait: peeled warm, on the rack."""
    found = _planned(("chrome-film",), "coot")
    assert found.wait is not None
    assert found.wait.peel is Peel.WARM
    return found


@cache
def cold() -> Pass:
    """Return a number of raised pile: peeled cold, on the rack, by its own sheet."""
    found = _planned(("plush-film",))
    assert found.wait is not None
    assert found.wait.peel is Peel.COLD
    return found


def _planned(materials: tuple[str, ...], press: str = "heron") -> Pass:
    catalog, _ = read_catalog(RECIPES)
    layers = tuple(Layer(material, "white") for material in materials)
    recipe = Recipe("r", "r", (Panel("back", (Element("number", layers),)),))
    found = solve(
        recipe,
        catalog.fabrics["cotton-jersey"],
        catalog.presses[press],
        Policy(),
        catalog.materials,
        catalog.fabrics,
    )
    assert not isinstance(found, PanelRefusal)
    job = Job("job", "", "Orsavel", "r", "cotton-jersey", press, (), "digest")
    whole = type(catalog)(
        catalog.materials, catalog.fabrics, catalog.presses, Policy(), catalog.station,
        {"r": recipe},
    )  # fmt: skip
    return make_plan(job, whole, found).passes[0]
