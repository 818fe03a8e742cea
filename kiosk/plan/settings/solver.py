"""Solves the panels of a recipe in order; each begins at the setting that the last one left."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from types import MappingProxyType

from kiosk.catalog.base import Degrees
from kiosk.catalog.model import Fabric, Material, Policy, Press, Recipe
from kiosk.plan.model import PanelSettings, PlatenPart, Refusal
from kiosk.plan.settings.changes import working_changes
from kiosk.plan.settings.conflict import find_conflict
from kiosk.plan.settings.limits import SheetLimits, read_sheet
from kiosk.plan.settings.order import Failure, Order


def solve(
    recipe: Recipe,
    fabric: Fabric,
    press: Press,
    policy: Policy,
    materials: Mapping[str, Material],
    fabrics: Mapping[str, Fabric] = MappingProxyType({}),
    parts: Mapping[str, tuple[PlatenPart, ...]] = MappingProxyType({}),
) -> tuple[PanelSettings, ...] | Refusal:
    """Return the settings of each panel, in the recipe's order, or why the first one fails.

    `materials` and `fabrics` are the catalog's: changes are sought among them. `parts` are those
    of the panels that are too long for the platen. Raises KeyError for a material
    of the recipe that `materials` does not hold.
    """
    used = {
        layer.material
        for panel in recipe.panels
        for element in panel.elements
        for layer in element.layers
    }
    order = Order(recipe, fabric, press, policy, _read(used, materials, press.unit), parts)
    result = order.settings()
    if not isinstance(result, Failure):
        return result
    conflict = find_conflict(result.pieces, result.bench)
    offered = replace(order.up_to(result.panel), sheets=_read(materials, materials, press.unit))
    return Refusal(
        panel=result.panel.name,
        conflict=conflict.limits,
        gap=conflict.gap,
        changes=working_changes(offered, fabrics),
    )


def _read(
    keys: Iterable[str], materials: Mapping[str, Material], unit: Degrees
) -> dict[str, SheetLimits]:
    return {key: read_sheet(materials[key], unit) for key in keys}
