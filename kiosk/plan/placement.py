"""Where each element stands on the garment: as worn, and as the operator sees it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from kiosk.catalog.sizes import size_class
from kiosk.plan.model import Plan
from kiosk.plan.placement_sizes import ORDER, OTHER_HEIGHT, Room, room


@dataclass(frozen=True, slots=True)
class Box:
    """An element's box. `x`, `y` are its middle in inches from the centre line and collar seam.

    As worn, x grows to the right of who looks at it and y away from the collar. `turned` says
    that the art is upside down as seen; `narrowed` that it was too wide and had to be cut
    narrower than its letters' own form.
    """

    element: str
    x: float
    y: float
    width: float
    height: float
    narrowed: bool = False
    turned: bool = False


def as_worn(plan: Plan, panel: str, size: str, aspects: Mapping[str, float]) -> tuple[Box, ...]:
    """Return the boxes of a panel as worn, from the collar down.

    `size` is a size code of the catalog; `aspects` the width over height of each element's
    text as drawn; an element without one is left out (a roster line may have no name).
    """
    where = room(panel, size_class(size))
    boxes, top = [], where.top
    for element, height in _heights(plan, panel, where):
        if element in aspects:
            boxes.append(_box(element, top, height, aspects[element], _widest(plan, where), where))
        top += height + where.gap  # the number stands where it stands, with a name or without
    return tuple(boxes)


def as_operator(boxes: tuple[Box, ...], collar_toward_operator: bool) -> tuple[Box, ...]:
    """Return the boxes as the hands see them: turned where the collar is toward the operator."""
    return tuple(turn(box) for box in boxes) if collar_toward_operator else boxes


def turn(box: Box) -> Box:
    """Return the box turned by 180° about collar seam and centre line; never mirrored."""
    return replace(box, x=-box.x, y=-box.y, turned=not box.turned)


def element_heights(plan: Plan, panel: str, size: str) -> dict[str, float]:
    """Return the height in inches of each element of a panel, from the collar down."""
    return dict(_heights(plan, panel, room(panel, size_class(size))))


def _heights(plan: Plan, panel: str, where: Room) -> list[tuple[str, float]]:
    own = {p.element: p.height_inches for p in plan.pieces if p.panel == panel}
    elements = sorted(own, key=lambda e: ORDER.index(e) if e in ORDER else len(ORDER))
    return [(e, own[e] or where.heights.get(e, OTHER_HEIGHT)) for e in elements]


def _widest(plan: Plan, where: Room) -> float:
    return min(where.widest, plan.platen_width_inches)


def _box(element: str, top: float, height: float, aspect: float, widest: float, where: Room) -> Box:
    wanted = height * aspect
    return Box(
        element=element,
        x=where.across,
        y=top + height / 2,
        width=min(wanted, widest),
        height=height,
        narrowed=wanted > widest,
    )
