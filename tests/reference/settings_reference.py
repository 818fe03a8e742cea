"""An independent answer to design.md section 4 by trying everything: slow, plain, for tests only.

`reference_solve` returns a dict: `status` is `ok` with `panels`, or `infeasible` with `panel`,
`conflict` and `gap`. Temperatures are in the press's unit.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise, product
from typing import Any

from reference_groups import after, giving_way, usable
from reference_refusal import refusal_of
from reference_report import Chosen, Group, latest_peel, report
from reference_rules import FABRIC, World, groups_of, shapes_of, window_of

from kiosk.catalog.model.house import Policy
from kiosk.catalog.model.recipes import Panel, Recipe
from kiosk.catalog.model.sheets import Fabric, Material, Press
from kiosk.plan.model import PlatenPart

Split = tuple[tuple[int, ...], ...]
Parts = Sequence[PlatenPart]


def reference_solve(
    recipe: Recipe,
    fabric: Fabric,
    press: Press,
    policy: Policy,
    materials: Mapping[str, Material],
    parts: Mapping[str, Parts] | None = None,
) -> dict[str, Any]:
    """Return the settings of all panels, or why the first failing one cannot be pressed.

    `parts` are those of panels that are too long for the platen; no reason is sought if one of
    these cannot be pressed.
    """
    present = press.set_temperature.whole_in(press.unit)
    panels = []
    for panel in recipe.panels:
        elements = groups_of(panel, materials)
        true_limits = World(fabric, press, policy, margin=False)
        refused = refusal_of(true_limits, elements, structure_only=True)
        cut = (parts or {}).get(panel.name, ())
        solved = None if refused else solve_panel(panel, elements, true_limits, present, cut)
        if solved is None and cut:
            return {"status": "infeasible", "panel": panel.name}
        if solved is None:
            refused = refused or refusal_of(true_limits, elements, structure_only=False)
            return {"status": "infeasible", "panel": panel.name, **(refused or {})}
        panels.append(solved)
        present = solved["closings"][-1]["temperature"]
    return {"status": "ok", "panels": panels}


def solve_panel(
    panel: Panel, elements: list[Group], true_limits: World, present: int, parts: Parts = ()
) -> dict[str, Any] | None:
    """Try every number of groups with the margin first, then every number without it."""
    policy = true_limits.policy
    for margin in (True, False) if policy.guard_fabric else (False,):
        world = World(true_limits.fabric, true_limits.press, policy, margin)
        most = [min(policy.max_closings, len(each.elements)) for each in parts]
        for count in range(1, (sum(most) or min(policy.max_closings, len(elements))) + 1):
            plans = [
                (preference(world, split, plan), plan)
                for split in splits(len(elements), count)
                if follows(parts, groups := [merge(elements, s) for s in split], policy)
                and (plan := plan_split(world, groups, present, parts))
            ]
            if plans:
                plan = min(plans, key=lambda pair: pair[0])[1]
                return report(panel, elements, world, plan, present)
    return None


def splits(elements: int, count: int) -> Iterator[Split]:
    """Yield every ordered split of the elements into `count` groups, none empty."""
    for places in product(range(count), repeat=elements):
        split = tuple(
            tuple(e for e in range(elements) if places[e] == group) for group in range(count)
        )
        if all(split):
            yield split


def part_of(parts: Parts, group: Group) -> int | None:
    """Return the part that holds all of a group, or None."""
    names = {part.element for part in group}
    return next((n for n, each in enumerate(parts) if names <= set(each.elements)), None)


def follows(parts: Parts, groups: list[Group], policy: Policy) -> bool:
    """Return whether each group is in one part, parts in order, within the allowed counts."""
    found = [part_of(parts, group) for group in groups]
    held = [each for each in found if each is not None]
    if not parts:
        return True
    in_order = held == sorted(held) and len(held) == len(found)
    return in_order and all(held.count(each) <= policy.max_closings for each in held)


def under(parts: Parts, group: Group, pressed: Group) -> Group:
    """Return the pressed pieces that lie under the platen with a group."""
    which = part_of(parts, group)
    if which is None:
        return pressed
    there = {*parts[which].elements, *parts[which].under}
    return tuple(part for part in pressed if part.element in there)


def merge(elements: list[Group], group: tuple[int, ...]) -> Group:
    return tuple(part for index in group for part in elements[index])


def preference(world: World, split: Split, plan: tuple[Chosen, ...]) -> tuple[int, int, Split]:
    """Return a sort key: least rise, least waiting, then the order of the recipe."""
    rise = sum(max(0, b.temperature - a.temperature) for a, b in pairwise(plan))
    return rise, sum(latest_peel(world, chosen) for chosen in plan[:-1]), split


def plan_split(
    world: World, groups: list[Group], present: int, parts: Parts = ()
) -> tuple[Chosen, ...] | None:
    """Return the groups' own choices; if impossible, reduce earlier seconds, then temperatures."""
    spent = dict.fromkeys((part.name for group in groups for part in group), 0)
    spent[FABRIC] = int(world.fabric.pre_press.value)
    for temperatures_give_way in (False, True):
        found = next(walk(world, groups, (), spent, present, temperatures_give_way, parts), None)
        if found is not None:
            return found
    return None


def walk(
    world: World,
    groups: list[Group],
    pressed: Group,
    spent: Mapping[str, int],
    setting: int,
    temperatures_give_way: bool,
    parts: Parts = (),
) -> Iterator[tuple[Chosen, ...]]:
    if not groups:
        yield ()
        return
    group, later = groups[0], groups[1:]
    passengers = under(parts, group, pressed)
    shapes = shapes_of(group, passengers)
    liked = preferred_temperatures(world, group, passengers, spent, setting)
    for t in liked if temperatures_give_way else liked[:1]:
        for seconds in giving_way(world, shapes, t, spent):
            heated = dict(spent)
            for shape, dwell in zip(shapes, seconds, strict=True):
                heated = after(heated, shape, dwell)
            chosen = Chosen(group, passengers, shapes, t, seconds)
            for rest in walk(
                world, later, pressed + group, heated, t, temperatures_give_way, parts
            ):
                yield (chosen, *rest)


def preferred_temperatures(
    world: World, group: Group, passengers: Group, spent: Mapping[str, int], setting: int
) -> list[int]:
    """Return the present setting first, if the shop keeps it, then nearest the highest normal."""
    normal = max(window_of(world, part)[2] for part in group)

    def rank(t: int) -> tuple[bool, int, int]:
        kept = world.policy.keep_setting and t == setting
        return not kept, abs(t - normal), -t

    return sorted(usable(world, group, passengers, spent), key=rank)
