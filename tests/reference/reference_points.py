"""Every point that could be chosen for one closing group, as the set of limits that it breaks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import product

from reference_rules import (
    BARE_TACK_SECONDS,
    FABRIC,
    Part,
    Shape,
    World,
    dwell_bands_at,
    fabric_cap_at,
    peels_at,
    shapes_of,
    window_of,
)
from reference_wording import POLICY, Limit

from kiosk.catalog.base.quantities import Pressure, Temperature
from kiosk.catalog.model.sheets import SheetRule

Broken = frozenset[Limit]
Readings = tuple[int | tuple[int | None, int | None, str], ...]
Place = list[list[Broken]]
"""One temperature: for each thing to choose there, the limits that each choice breaks."""


def all_places(world: World, group: tuple[Part, ...]) -> list[Place]:
    """Return every whole degree from below all limits to above them, without duplicates."""
    places: dict[tuple[frozenset[Broken], ...], Place] = {}
    pressures = least(pressure_points(world, group))
    rows: dict[Readings, list[Broken]] = {}
    for t in temperatures(world, group):
        read = readings(world, group, t)
        if read not in rows:
            rows[read] = least(second_points(world, group, t))
        place = [[temperature_point(world, group, t)], pressures, rows[read]]
        place.append(least(peel_points(world, group, t)))
        places[tuple(frozenset(choices) for choices in place)] = place
    return list(places.values())


def readings(world: World, group: tuple[Part, ...], t: int) -> Readings:
    """Return all that rules 4 and 7 read at T: equal readings give equal points."""
    final = shapes_of(group, ())[-1]
    windows = (seconds_near(world, final, part, t) for part in group)
    return (fabric_cap_at(world, t), *windows)


def temperatures(world: World, group: tuple[Part, ...]) -> range:
    stated: list[Temperature] = [world.fabric.temperature_max]
    stated += [world.fabric.dye_cap] if world.fabric.dye_cap else []
    stated += [cap.end for cap in world.fabric.dwell_max]  # a cooler band may allow more seconds
    for part in group:
        stated += [part.material.temperature.low, part.material.temperature.high]
    degrees = [world.degrees(temperature) for temperature in stated]
    return range(min(degrees) - 1, max(degrees) + 2)


def least(points: Iterable[Broken]) -> list[Broken]:
    """Return the points that no other point beats by breaking only some of the same limits."""
    kept: list[Broken] = []
    for point in sorted(set(points), key=len):
        if not any(better <= point for better in kept):
            kept.append(point)
    return kept


def temperature_point(world: World, group: tuple[Part, ...], t: int) -> Broken:
    """Return what T breaks of rules 1 to 3, with true limits."""
    broken = set()
    for part in group:
        low, high, _ = window_of(world, part)
        if t < low:
            broken.add((part.name, "temperature.low"))
        if t > high:
            broken.add((part.name, "temperature.high"))
    if t > world.degrees(world.fabric.temperature_max):
        broken.add((FABRIC, "temperature_max"))
    cap = world.fabric.dye_cap
    if cap and t > world.degrees(cap) and not all(p.material.blocks_dye for p in group):
        broken.add((FABRIC, "dye_cap"))
    return frozenset(broken)


def pressure_points(world: World, group: tuple[Part, ...]) -> Iterator[Broken]:
    """Yield what each pressure word breaks of rule 5."""
    for pressure in Pressure:
        lows = {(p.name, "pressure.low") for p in group if pressure < p.material.pressure_low}
        highs = {(p.name, "pressure.high") for p in group if pressure > p.material.pressure_high}
        cloth = {(FABRIC, "pressure_max")} if pressure > world.fabric.pressure_max else set()
        yield frozenset(lows | highs | cloth)


def nearest_inside(world: World, part: Part, t: int) -> int:
    low, high, _ = window_of(world, part)
    return min(max(t, low), high)


def peel_points(world: World, group: tuple[Part, ...], t: int) -> Iterator[Broken]:
    """Yield what breaks rule 6: one peel for all, or one per carrier against `staged_peel: no`."""
    by_shape = []
    for shape in shapes_of(group, ()):
        allowed = {p: peels_near(world, shape, p, t) for p in shape.with_carrier}
        by_shape.append(least(peel_points_of(world, shape, allowed)))
    for points in product(*by_shape):
        yield frozenset().union(*points)


def peels_near(world: World, shape: Shape, part: Part, t: int) -> set[int]:
    return peels_at(world, shape, part, nearest_inside(world, part, t))


def peel_points_of(world: World, shape: Shape, allowed: dict[Part, set[int]]) -> Iterator[Broken]:
    key = "tack.peel" if shape.purpose == "tack" else "peel"
    staging: set[Limit] = set() if world.policy.staged_peel else {(POLICY, "staged_peel")}
    for peel in (0, 1, 2):
        wrong = {(part.name, key) for part in allowed if peel not in allowed[part]}
        yield frozenset(wrong)
        own = {(part.name, key) for part in allowed if not part.shared and not allowed[part]}
        shared = {(part.name, key) for part in allowed if part.shared and peel not in allowed[part]}
        yield frozenset(own | shared | staging)


def second_points(world: World, group: tuple[Part, ...], t: int) -> Iterator[Broken]:
    """Yield what breaks rules 4 and 7, for all seconds, sheets on or off, bare tacks or not."""
    shapes = shapes_of(group, ())
    cap = fabric_cap_at(world, t)
    choices = [
        [
            (seconds, window_broken(world, shape, t, seconds, cap) | sheet)
            for seconds in range(longest(shape) + 1)
            for sheet in least(sheet_points(world, shape, seconds))
        ]
        for shape in shapes
    ]
    heated = [
        (part, [at for at, shape in enumerate(shapes) if part in shape.heated])
        for part in shapes[-1].active
    ]
    for row in product(*choices):
        seconds = [s for s, _ in row]
        yield frozenset().union(totals_broken(world, heated, seconds), *[b for _, b in row])


def longest(shape: Shape) -> int:
    if shape.purpose == "tack":
        tacks = [part.material.tack for part in shape.active]
        return max(int(tack.high.value) for tack in tacks if tack is not None)
    return max(int(band.high.value) for part in shape.active for band in part.material.dwell)


def window_broken(world: World, shape: Shape, t: int, seconds: int, cap: int) -> Broken:
    broken = {(FABRIC, "dwell_max")} if seconds > cap else set()
    for part in shape.active:
        low, high, key = seconds_near(world, shape, part, t)
        if low is None or seconds < low:
            broken.add((part.name, f"{key}.low"))
        if high is None or seconds > high:
            broken.add((part.name, f"{key}.high"))
    return frozenset(broken)


def seconds_near(
    world: World, shape: Shape, part: Part, t: int
) -> tuple[int | None, int | None, str]:
    """Return the window at the nearest temperature inside; None in a hole, breaking both ends."""
    tack = part.material.tack
    if shape.purpose == "tack":
        assert tack is not None
        return int(tack.low.value), int(tack.high.value), "tack"
    bands = dwell_bands_at(world, part, nearest_inside(world, part, t))
    if not bands:
        return None, None, "dwell"
    low, high = max(b.low.value for b in bands), min(b.high.value for b in bands)
    return int(low), int(high), "dwell"


def totals_broken(
    world: World, heated: Sequence[tuple[Part, Sequence[int]]], seconds: Sequence[int]
) -> Broken:
    """Return the totals exceeded; `heated` gives the shapes in which each part is hot."""
    broken: set[Limit] = set()
    if sum(seconds) > world.after_pre_press:
        broken.add((FABRIC, "total_heat"))
    for part, at in heated:
        if sum([seconds[each] for each in at]) > part.total:
            broken.add((part.name, "total_heat"))
    return frozenset(broken)


def sheet_points(world: World, shape: Shape, seconds: int) -> Iterator[Broken]:
    """Yield what breaks rule 7, sheet on or off; bare short tacks break `bare_tack: no`."""
    short = shape.purpose == "tack" and seconds <= BARE_TACK_SECONDS
    for sheet, bare_allowed in product((True, False), (True, False) if short else (False,)):
        broken: set[Limit] = set()
        if bare_allowed and not world.policy.bare_tack:
            broken.add((POLICY, "bare_tack"))
        for part in shape.with_carrier:
            if face_broken(part.material.sheet_carrier_on, sheet, excused=False):
                broken.add((part.name, "cover_sheet.carrier_on"))
        for part in shape.bare:
            if face_broken(part.material.sheet_carrier_off, sheet, excused=bare_allowed):
                broken.add((part.name, "cover_sheet.carrier_off"))
        yield frozenset(broken)


def face_broken(rule: SheetRule, sheet: bool, excused: bool) -> bool:
    return (
        rule is SheetRule.NO_PRESS
        or (rule is SheetRule.FORBIDDEN and sheet)
        or (rule is SheetRule.REQUIRED and not sheet and not excused)
    )
