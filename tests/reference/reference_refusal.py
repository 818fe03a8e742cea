"""The smallest set of limits that cannot all be kept, found by looking at every point.

A point is everything that could be chosen for one closing group: a temperature, a pressure, a peel,
seconds and sheets. Each point breaks some limits. A set of limits cannot be kept if every point
breaks one of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from reference_gap import gap_of
from reference_points import Broken, Place, all_places
from reference_rules import Part, World
from reference_wording import Limit, limits_in_order, structure_conflict, written


def refusal_of(
    world: World, elements: Sequence[tuple[Part, ...]], structure_only: bool
) -> dict[str, Any] | None:
    """Return the refusal: structure first; then each element alone; then all in one closing."""
    if structure_only:
        pair = structure_conflict(elements)
        return {"conflict": pair, "gap": {}} if pair else None
    everything = tuple(part for element in elements for part in element)
    order = limits_in_order(world, everything)
    found = [(c, e) for e in elements if (c := smallest_conflict(world, e, order))]
    found = found or [(smallest_conflict(world, everything, order), everything)]
    conflict, group = min(found, key=lambda pair: rank(pair[0], order))
    return {
        "conflict": [written(world, group, limit) for limit in conflict],
        "gap": gap_of(world, group, conflict),
    }


def rank(conflict: Sequence[Limit], order: Sequence[Limit]) -> tuple[int, list[int]]:
    return len(conflict), [order.index(limit) for limit in conflict]


def smallest_conflict(
    world: World, group: tuple[Part, ...], order: Sequence[Limit]
) -> tuple[Limit, ...]:
    """Return the first of the smallest sets; empty if some point breaks no limit."""
    places = all_places(world, group)
    if any(unbroken_by(place, frozenset()) == frozenset() for place in places):
        return ()
    for size in range(1, len(order) + 1):
        found = [
            tuple(sorted(conflict, key=order.index))
            for conflict in sets_hitting(places, frozenset(), size)
        ]
        if found:
            return min(found, key=lambda conflict: rank(conflict, order))
    raise AssertionError("all limits together must break every point")


def sets_hitting(places: list[Place], chosen: Broken, size: int) -> Iterator[Broken]:
    """Yield every set of `size` limits, including `chosen`, that breaks every point."""
    broken = next((b for p in places if (b := unbroken_by(p, chosen)) is not None), None)
    if broken is None:
        yield chosen
    elif len(chosen) < size:
        for limit in broken:
            yield from sets_hitting(places, chosen | {limit}, size)


def unbroken_by(place: Place, chosen: Broken) -> Broken | None:
    """Return what a point breaks that breaks none of `chosen`; None if there is none."""
    point: set[Limit] = set()
    for choices in place:
        left = [broken for broken in choices if not broken & chosen]
        if not left:
            return None
        point |= min(left, key=len)
    return frozenset(point)
