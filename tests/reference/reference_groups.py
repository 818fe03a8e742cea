"""All rules of design.md section 4 together, for one group of elements: its points in order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from functools import lru_cache

from reference_rules import (
    FABRIC,
    Part,
    Shape,
    World,
    dwell_bands_at,
    dye_holds,
    fabric_holds,
    passenger_bears,
    peel_for,
    pressure_for,
    seconds_hold,
    shapes_of,
    totals_hold,
    window_holds,
    window_of,
)


@lru_cache(maxsize=65536)
def temperature_holds(
    world: World, group: tuple[Part, ...], passengers: tuple[Part, ...], t: int
) -> bool:
    """Return whether everything but seconds holds, in every closing of the group."""
    return (
        all(window_holds(world, part, t) for part in group)
        and fabric_holds(world, t)
        and dye_holds(world, group, t)
        and all(passenger_bears(world, part, t) for part in passengers)
        and pressure_for(world, group, passengers) is not None
        and all(peel_for(world, s, t) is not None for s in shapes_of(group, passengers))
    )


@lru_cache(maxsize=65536)
def preferred_seconds(world: World, shape: Shape, t: int) -> list[int]:
    """Return the seconds that hold, totals aside, nearest to the highest normal first."""
    if shape.purpose == "tack":
        tacks = [part.material.tack for part in shape.active]
        normal = max(tack.normal.value for tack in tacks if tack is not None)
        top = max(tack.high.value for tack in tacks if tack is not None)
    else:
        bands = [band for part in shape.active for band in dwell_bands_at(world, part, t)]
        normal = max((band.normal.value for band in bands), default=Fraction(0))
        top = max((band.high.value for band in bands), default=Fraction(0))
    holding = [s for s in range(int(top) + 1) if seconds_hold(world, shape, t, s)]
    return sorted(holding, key=lambda s: (abs(s - normal), s))


def after(spent: Mapping[str, int], shape: Shape, seconds: int) -> dict[str, int]:
    more = dict(spent)
    for name in (FABRIC, *(part.name for part in shape.heated)):
        more[name] = more[name] + seconds
    return more


def second_choices(
    world: World, shapes: tuple[Shape, ...], t: int, spent: Mapping[str, int]
) -> Iterator[tuple[int, ...]]:
    """Yield every row of seconds that holds for these closings, their own choices first."""
    if not shapes:
        yield ()
        return
    for seconds in preferred_seconds(world, shapes[0], t):
        if not totals_hold(world, shapes[0], seconds, spent):
            continue
        for rest in second_choices(world, shapes[1:], t, after(spent, shapes[0], seconds)):
            yield (seconds, *rest)


def giving_way(
    world: World, shapes: tuple[Shape, ...], t: int, spent: Mapping[str, int]
) -> Iterator[tuple[int, ...]]:
    """Yield the closings' own choices, then rows with fewer seconds: more would not help."""
    if not shapes:
        yield ()
        return
    liked = preferred_seconds(world, shapes[0], t)
    held = [s for s in liked if totals_hold(world, shapes[0], s, spent)]
    for seconds in (s for s in held if s <= held[0]):
        for rest in giving_way(world, shapes[1:], t, after(spent, shapes[0], seconds)):
            yield (seconds, *rest)


def usable(
    world: World, group: tuple[Part, ...], passengers: tuple[Part, ...], spent: Mapping[str, int]
) -> list[int]:
    """Return the temperatures at which this group has a point, lowest first."""
    lowest = min(window_of(world, part)[0] for part in group)
    highest = max(window_of(world, part)[1] for part in group)
    shapes = shapes_of(group, passengers)
    found: dict[tuple[tuple[int, ...], ...], bool] = {}  # by the seconds that hold at T

    def has_a_row(t: int) -> bool:
        hold = tuple(tuple(preferred_seconds(world, shape, t)) for shape in shapes)
        if hold not in found:
            found[hold] = any(True for _ in second_choices(world, shapes, t, spent))
        return found[hold]

    return [
        t
        for t in range(lowest, highest + 1)
        if temperature_holds(world, group, passengers, t) and has_a_row(t)
    ]
