"""A chosen plan of one panel as a plain dict."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from reference_groups import after, second_choices, usable
from reference_rules import FABRIC, Part, Shape, World, peel_for, pressure_for, sheet_for

from kiosk.catalog.base.quantities import Pressure
from kiosk.catalog.model.recipes import Panel
from kiosk.catalog.model.sheets import DyeRisk, Peel

Group = tuple[Part, ...]


@dataclass(frozen=True)
class Chosen:
    """One group as it will be pressed: a temperature, and seconds for each closing."""

    group: Group
    passengers: Group
    shapes: tuple[Shape, ...]
    temperature: int
    seconds: tuple[int, ...]


def report(
    panel: Panel, elements: list[Group], world: World, plan: tuple[Chosen, ...], present: int
) -> dict[str, Any]:
    heat = {part.name: 0 for element in elements for part in element}
    fresh = {**heat, FABRIC: int(world.fabric.pre_press.value)}
    spent = dict(fresh)
    closings = []
    for index, chosen in enumerate(plan):
        for shape, seconds in zip(chosen.shapes, chosen.seconds, strict=True):
            spent = after(spent, shape, seconds)
            closings.append({"group": index, **closing_of(world, chosen, shape, seconds)})
    return {
        "panel": panel.name,
        "closings": closings,
        "usable": spans_of(first_final(world, plan[0], fresh)),
        "element_heat_s": {name: spent[name] for name in heat},
        "fabric_heat_s": spent[FABRIC],
        "setting_change": plan[0].temperature - present,
        "warnings": sorted(warnings_of(world, plan, fresh)),
    }


def closing_of(world: World, chosen: Chosen, shape: Shape, seconds: int) -> dict[str, Any]:
    pressure = pressure_for(world, chosen.group, chosen.passengers)
    peel = peel_for(world, shape, chosen.temperature)
    assert pressure is not None
    assert peel is not None
    return {
        "purpose": shape.purpose,
        "elements": sorted(part.name for part in shape.active),
        "heated": sorted(part.name for part in shape.heated),
        "temperature": chosen.temperature,
        "dwell_s": seconds,
        "pressure": [Pressure(word).word for word in pressure],
        "cover_sheet": sheet_for(world, shape, seconds),
        "peel": {name: Peel(when).word for name, when in peel.items()},
    }


def first_final(world: World, first: Chosen, fresh: Mapping[str, int]) -> dict[int, list[int]]:
    """Return, by temperature, the seconds that the first final could take on its own.

    Its share of the totals is what its tacks leave after their own choice.
    """
    seconds_at = {}
    for t in usable(world, first.group, (), fresh):
        rows = list(second_choices(world, first.shapes, t, fresh))
        seconds_at[t] = sorted(row[-1] for row in rows if row[:-1] == rows[0][:-1])
    return seconds_at


def spans_of(seconds_at: Mapping[int, list[int]]) -> list[dict[str, list[int]]]:
    spans: list[dict[str, list[int]]] = []
    for t in sorted(seconds_at):
        dwell = [seconds_at[t][0], seconds_at[t][-1]]
        if spans and spans[-1]["dwell_s"] == dwell and spans[-1]["temperature"][1] == t - 1:
            spans[-1]["temperature"][1] = t
        else:
            spans.append({"temperature": [t, t], "dwell_s": dwell})
    return spans


def warnings_of(world: World, plan: tuple[Chosen, ...], fresh: Mapping[str, int]) -> Iterator[str]:
    if len(plan) == 1:
        unguarded = World(world.fabric, world.press, world.policy, margin=False)
        points = usable(unguarded, plan[0].group, (), fresh)
        if points[-1] - points[0] < 2 * world.press.tolerance.whole_in(world.press.unit):
            yield "narrow_window"
    if world.policy.guard_fabric and not world.margin:
        yield "no_fabric_margin"
    if any(is_staged(world, chosen) for chosen in plan):
        yield "staged_peel"
    if any(a.temperature != b.temperature for a, b in pairwise(plan)):
        yield "temp_change_in_batch"
    if any(latest_peel(world, chosen) > Peel.HOT for chosen in plan[:-1]):
        yield "peel_before_next_closing"
    if world.fabric.dye_risk is not DyeRisk.NONE:
        yield "dye_caution"


def is_staged(world: World, chosen: Chosen) -> bool:
    peels = [peel_for(world, shape, chosen.temperature) or {} for shape in chosen.shapes]
    return any(len(set(peel.values())) > 1 for peel in peels)


def latest_peel(world: World, chosen: Chosen) -> int:
    """Return the final's latest peel: a stack's carriers are off by then."""
    peel = peel_for(world, chosen.shapes[-1], chosen.temperature)
    assert peel is not None
    return max(peel.values(), default=0)
