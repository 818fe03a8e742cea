"""How far apart the limits of a conflict are: in temperature, else seconds, else pressure steps."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from fractions import Fraction

from reference_points import seconds_near, temperature_point, temperatures
from reference_rules import FABRIC, Part, Shape, World, fabric_cap_at, shapes_of
from reference_wording import Limit

from kiosk.catalog.base.quantities import Degrees, nearest

Conflict = Collection[Limit]


def gap_of(world: World, group: tuple[Part, ...], conflict: Conflict) -> dict[str, int]:
    """Return the first gap that is not zero: by how much lows exceed highs in the conflict."""
    step = Fraction(9, 5) if world.press.unit is Degrees.C else Fraction(1)
    gaps = {
        "temperature_f": nearest(temperature_gap(world, group, conflict) * step),
        "dwell_s": dwell_gap(world, group, conflict),
        "pressure_steps": pressure_gap(world, group, conflict),
    }
    return next(({key: gap} for key, gap in gaps.items() if gap > 0), {})


def apart(lows: Collection[int], highs: Collection[int]) -> int:
    return max(0, max(lows) - min(highs)) if lows and highs else 0


def temperature_gap(world: World, group: tuple[Part, ...], conflict: Conflict) -> int:
    windows = {part.name: part.material.temperature for part in group}
    lows = [windows[p].low for p, key in conflict if key == "temperature.low"]
    highs = [windows[p].high for p, key in conflict if key == "temperature.high"]
    if (FABRIC, "temperature_max") in conflict:
        highs.append(world.fabric.temperature_max)
    if (FABRIC, "dye_cap") in conflict and world.fabric.dye_cap:
        highs.append(world.fabric.dye_cap)
    return apart([world.degrees(t) for t in lows], [world.degrees(t) for t in highs])


def pressure_gap(world: World, group: tuple[Part, ...], conflict: Conflict) -> int:
    sheets = {part.name: part.material for part in group}
    lows = [int(sheets[p].pressure_low) for p, key in conflict if key == "pressure.low"]
    highs = [int(sheets[p].pressure_high) for p, key in conflict if key == "pressure.high"]
    if (FABRIC, "pressure_max") in conflict:
        highs.append(int(world.fabric.pressure_max))
    return apart(lows, highs)


def dwell_gap(world: World, group: tuple[Part, ...], conflict: Conflict) -> int:
    """Return the fewest seconds missing at any temperature that the conflict leaves."""
    left = [
        t
        for t in temperatures(world, group)
        if not temperature_point(world, group, t) & frozenset(conflict)
        and not falls_in_a_hole(world, group, conflict, t)
    ]
    return min((dwell_gap_at(world, group, conflict, t) for t in left), default=0)


def falls_in_a_hole(world: World, group: tuple[Part, ...], conflict: Conflict, t: int) -> bool:
    """Return whether a piece of the conflict has no seconds at T, so that none are missing."""
    final = shapes_of(group, ())[-1]
    read = {part.name: seconds_near(world, final, part, t)[0] for part in group}
    return any(
        key.startswith("dwell.") and read[owner] is None for owner, key in conflict if owner in read
    )


def dwell_gap_at(world: World, group: tuple[Part, ...], conflict: Conflict, t: int) -> int:
    shapes = shapes_of(group, ())
    least, gaps = [], [0]
    for shape in shapes:
        lows, highs = windows_of(world, shape, conflict, t)
        least.append(max(lows, default=0))
        gaps.append(apart(lows, highs))
    for owner, key in conflict:
        if key == "total_heat":
            gaps.append(total_missing(world, shapes, least, owner))
    return max(gaps)


def windows_of(
    world: World, shape: Shape, conflict: Conflict, t: int
) -> tuple[list[int], list[int]]:
    lows, highs = [], []
    for part in shape.active:
        low, high, key = seconds_near(world, shape, part, t)
        if low is not None and (part.name, f"{key}.low") in conflict:
            lows.append(low)
        if high is not None and (part.name, f"{key}.high") in conflict:
            highs.append(high)
    if (FABRIC, "dwell_max") in conflict:
        highs.append(fabric_cap_at(world, t))
    return lows, highs


def total_missing(world: World, shapes: tuple[Shape, ...], least: list[int], owner: str) -> int:
    return max(0, needed(world, shapes, least, owner) - allowed(world, shapes, owner))


def needed(world: World, shapes: tuple[Shape, ...], least: list[int], owner: str) -> int:
    if owner == FABRIC:
        return int(world.fabric.pre_press.value) + sum(least)
    return sum(heat_of(shapes, least, owner))


def heat_of(shapes: tuple[Shape, ...], least: list[int], owner: str) -> Iterator[int]:
    for shape, seconds in zip(shapes, least, strict=True):
        if any(part.name == owner for part in shape.heated):
            yield seconds


def allowed(world: World, shapes: tuple[Shape, ...], owner: str) -> int:
    if owner == FABRIC:
        return int(world.fabric.total_heat.value)
    total = next(p.material.total_heat for p in shapes[-1].active if p.name == owner)
    return int(total.value)
