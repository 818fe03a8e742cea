"""An independent answer to design.md section 4 by trying everything: slow, plain, for tests only.

`reference_solve` returns a dict: `status` is `ok` with `panels`, or `infeasible` with `panel`,
`conflict` and `gap`. Temperatures are in the press's unit.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise, product
from typing import Any

from reference_groups import after, giving_way, usable
from reference_refusal import refusal_of
from reference_report import Chosen, Group, latest_peel, report
from reference_rules import FABRIC, World, groups_of, shapes_of, window_of

from kiosk.catalog.model.house import Policy
from kiosk.catalog.model.recipes import Panel, Recipe
from kiosk.catalog.model.sheets import Fabric, Material, Press

Split = tuple[tuple[int, ...], ...]


def reference_solve(
    recipe: Recipe, fabric: Fabric, press: Press, policy: Policy, materials: Mapping[str, Material]
) -> dict[str, Any]:
    """Return the settings of all panels, or why the first failing one cannot be pressed."""
    present = press.set_temperature.whole_in(press.unit)
    panels = []
    for panel in recipe.panels:
        elements = groups_of(panel, materials)
        true_limits = World(fabric, press, policy, margin=False)
        refused = refusal_of(true_limits, elements, structure_only=True)
        solved = None if refused else solve_panel(panel, elements, true_limits, present)
        if solved is None:
            refused = refused or refusal_of(true_limits, elements, structure_only=False)
            return {"status": "infeasible", "panel": panel.name, **(refused or {})}
        panels.append(solved)
        present = solved["closings"][-1]["temperature"]
    return {"status": "ok", "panels": panels}


def solve_panel(
    panel: Panel, elements: list[Group], true_limits: World, present: int
) -> dict[str, Any] | None:
    """Every number of groups with the margin first, then every number without."""
    policy = true_limits.policy
    for margin in (True, False) if policy.guard_fabric else (False,):
        world = World(true_limits.fabric, true_limits.press, policy, margin)
        for count in range(1, min(policy.max_closings, len(elements)) + 1):
            plans = [
                (preference(world, split, plan), plan)
                for split in splits(len(elements), count)
                if (plan := plan_split(world, [merge(elements, s) for s in split], present))
            ]
            if plans:
                plan = min(plans, key=lambda pair: pair[0])[1]
                return report(panel, elements, world, plan, present)
    return None


def splits(elements: int, count: int) -> Iterator[Split]:
    """Every ordered split of the elements into `count` groups, none empty."""
    for places in product(range(count), repeat=elements):
        split = tuple(
            tuple(e for e in range(elements) if places[e] == group) for group in range(count)
        )
        if all(split):
            yield split


def merge(elements: list[Group], group: tuple[int, ...]) -> Group:
    return tuple(part for index in group for part in elements[index])


def preference(world: World, split: Split, plan: tuple[Chosen, ...]) -> tuple[int, int, Split]:
    """Least rise, least waiting, then the order of the recipe."""
    rise = sum(max(0, b.temperature - a.temperature) for a, b in pairwise(plan))
    return rise, sum(latest_peel(world, chosen) for chosen in plan[:-1]), split


def plan_split(world: World, groups: list[Group], present: int) -> tuple[Chosen, ...] | None:
    """Own choices first; then earlier seconds give way; then earlier temperatures too."""
    spent = dict.fromkeys((part.name for group in groups for part in group), 0)
    spent[FABRIC] = int(world.fabric.pre_press.value)
    for temperatures_give_way in (False, True):
        found = next(walk(world, groups, (), spent, present, temperatures_give_way), None)
        if found is not None:
            return found
    return None


def walk(
    world: World,
    groups: list[Group],
    passengers: Group,
    spent: Mapping[str, int],
    setting: int,
    temperatures_give_way: bool,
) -> Iterator[tuple[Chosen, ...]]:
    if not groups:
        yield ()
        return
    group, later = groups[0], groups[1:]
    shapes = shapes_of(group, passengers)
    liked = preferred_temperatures(world, group, passengers, spent, setting)
    for t in liked if temperatures_give_way else liked[:1]:
        for seconds in giving_way(world, shapes, t, spent):
            heated = dict(spent)
            for shape, dwell in zip(shapes, seconds, strict=True):
                heated = after(heated, shape, dwell)
            chosen = Chosen(group, passengers, shapes, t, seconds)
            for rest in walk(world, later, passengers + group, heated, t, temperatures_give_way):
                yield (chosen, *rest)


def preferred_temperatures(
    world: World, group: Group, passengers: Group, spent: Mapping[str, int], setting: int
) -> list[int]:
    """The setting as it stands if the shop keeps settings, then nearest the highest normal."""
    normal = max(window_of(world, part)[2] for part in group)

    def rank(t: int) -> tuple[bool, int, int]:
        kept = world.policy.keep_setting and t == setting
        return not kept, abs(t - normal), -t

    return sorted(usable(world, group, passengers, spent), key=rank)
