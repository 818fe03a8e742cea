"""Solves the panels of a recipe in order; if one fails, says why and which changes would work."""

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import permutations
from types import MappingProxyType

from kiosk.catalog.base import Degrees, Message, say
from kiosk.catalog.model import Fabric, Layer, Material, Policy, Press, Recipe, materials_of
from kiosk.plan.model import PanelRefusal, PanelSettings, PlatenPart
from kiosk.plan.settings.conflict import find_conflict
from kiosk.plan.settings.limits import SheetLimits, read_sheet
from kiosk.plan.settings.panel import PanelFailure, PanelTask


def working_changes(
    task: PanelTask, fabrics: Mapping[str, Fabric], later: Sequence[PanelTask] = ()
) -> tuple[Message, ...]:
    """Return the changes after which the last panel of `task` can be pressed.

    In order: another material of `task.sheets`, layers swapped, one layer, one more closing,
    another policy, another fabric of `fabrics`. Only the fabric could spoil a panel of `later`.
    """
    return (
        *other_materials(task),
        *swapped_layers(task),
        *one_layer(task),
        *_other_policies(task),
        *_other_fabrics((task, *later), fabrics),
    )


def _other_policies(task: PanelTask) -> list[Message]:
    policy = task.policy
    more = policy.max_closings + 1
    tried: list[tuple[Message, Policy]] = [
        (say("settings.change.closing", closings=more), replace(policy, max_closings=more))
    ]
    if not policy.staged_peel:
        tried.append((say("settings.change.staged_peel"), replace(policy, staged_peel=True)))
    if not policy.bare_tack:
        tried.append((say("settings.change.bare_tack"), replace(policy, bare_tack=True)))
    return [message for message, other in tried if replace(task, policy=other).last_solution()]


def _other_fabrics(tasks: Sequence[PanelTask], fabrics: Mapping[str, Fabric]) -> list[Message]:
    works = tuple(
        key
        for key, fabric in fabrics.items()
        if all(replace(task, fabric=fabric).last_solution() for task in tasks)
    )
    return [say("settings.change.fabric", fabrics=works)] if works else []


Place = tuple[int, int]  # an element of the panel and a layer of it, both from 0
Layers = tuple[Layer, ...]
Scope = Callable[[Place, str], Hashable]


def other_materials(task: PanelTask) -> list[Message]:
    """Try another material for one piece, then for an element, then for the whole panel.

    Pieces of the same material change together.
    """
    scopes: tuple[Scope, ...] = (
        lambda place, _: place,
        lambda place, material: (place[0], material),
        lambda _, material: material,
    )
    tried: set[tuple[Place, ...]] = set()  # a wider scope may repeat these places
    for scope in scopes:
        alike = [places for places in _alike(task, scope) if tuple(places) not in tried]
        found = [m for places in alike for m in _replaced(task, places)]
        if found:
            return found
        tried.update(map(tuple, alike))
    return []


def _alike(task: PanelTask, scope: Scope) -> list[list[Place]]:
    alike: dict[Hashable, list[Place]] = {}
    for n, element in enumerate(task.last_panel.elements):
        for k, layer in enumerate(element.layers):
            alike.setdefault(scope((n, k), layer.material), []).append((n, k))
    return list(alike.values())


def _replaced(task: PanelTask, places: Sequence[Place]) -> list[Message]:
    elements = task.last_panel.elements
    pieces = tuple(elements[n].pieces()[k] for n, k in places)
    works = []
    for material in task.sheets:
        if all(elements[n].layers[k].material == material for n, k in places):
            continue  # no change
        layers = {
            n: tuple(
                replace(layer, material=material) if (n, k) in places else layer
                for k, layer in enumerate(element.layers)
            )
            for n, element in enumerate(elements)
        }
        solution = task.with_layers(layers).last_solution()
        if solution is not None:
            works.append(f"{material} ({solution.degree(pieces[0])} {task.press.unit.value})")
    if not works:
        return []
    return [say("settings.change.material", pieces=pieces, materials=tuple(works))]


def swapped_layers(task: PanelTask) -> list[Message]:
    """Try the materials of a stack in another order; the colours keep their places."""
    return _restacked(task, _other_orders, "settings.change.swap")


def one_layer(task: PanelTask) -> list[Message]:
    """Try a stack with only one of its layers."""
    return _restacked(
        task, lambda layers: [(layer,) for layer in layers], "settings.change.one_layer"
    )


def _other_orders(layers: Layers) -> list[Layers]:
    materials = tuple(layer.material for layer in layers)
    return [
        tuple(replace(layer, material=m) for layer, m in zip(layers, order, strict=True))
        for order in dict.fromkeys(permutations(materials))
        if order != materials
    ]


def _restacked(
    task: PanelTask, others: Callable[[Layers], list[Layers]], message: str
) -> list[Message]:
    """Try `others` of each stack, then, if none works, of all stacks at once."""
    elements = task.last_panel.elements
    stacks = [n for n, element in enumerate(elements) if len(element.layers) > 1]
    for scope in ([[n] for n in stacks], [stacks]):
        # Layers of one material that differ only in colour count as one change.
        found = dict.fromkeys(
            _changed_pieces(task, layers)
            for together in scope
            for each in zip(*(others(elements[n].layers) for n in together), strict=False)
            if task.with_layers(layers := dict(zip(together, each, strict=True))).last_solution()
        )
        if found:
            return [say(message, layers=named) for named in found]
    return []


def _changed_pieces(task: PanelTask, layers: Mapping[int, Layers]) -> tuple[str, ...]:
    """Return the pieces of the changed stacks from the fabric up, each with its material."""
    elements = task.last_panel.elements
    return tuple(
        f"{elements[n].name}.{k} {layer.material}"
        for n, changed in layers.items()
        for k, layer in enumerate(changed, 1)
    )


def solve(
    recipe: Recipe,
    fabric: Fabric,
    press: Press,
    policy: Policy,
    materials: Mapping[str, Material],
    fabrics: Mapping[str, Fabric] = MappingProxyType({}),
    parts: Mapping[str, tuple[PlatenPart, ...]] = MappingProxyType({}),
) -> tuple[PanelSettings, ...] | PanelRefusal:
    """Return the settings of each panel, in the recipe's order, or why the first one fails.

    `materials` and `fabrics` are the catalog's: changes are sought among them. `parts` are those of
    panels too long for the platen. Raises KeyError if `materials` lacks a material of the recipe.
    """
    sheets = _read(materials_of(recipe), materials, press.unit)
    task = PanelTask(recipe, fabric, press, policy, sheets, parts)
    result = task.settings()
    if not isinstance(result, PanelFailure):
        return result
    conflict = find_conflict(result.pieces, result.bench)
    full_task = replace(task.up_to(result.panel), sheets=_read(materials, materials, press.unit))
    later = [each for each in task.after(result.panel) if each.last_solution()]
    return PanelRefusal(
        panel=result.panel.name,
        conflict=conflict.limits,
        gap=conflict.gap,
        changes=working_changes(full_task, fabrics, later),
    )


def can_press(
    recipe: Recipe, fabric: Fabric, press: Press, policy: Policy, materials: Mapping[str, Material]
) -> bool:
    """Return whether all panels have settings, without seeking reasons or changes."""
    sheets = _read(materials_of(recipe), materials, press.unit)
    task = PanelTask(recipe, fabric, press, policy, sheets)
    return not isinstance(task.settings(), PanelFailure)


def _read(
    keys: Iterable[str], materials: Mapping[str, Material], unit: Degrees
) -> dict[str, SheetLimits]:
    return {key: read_sheet(materials[key], unit) for key in keys}
