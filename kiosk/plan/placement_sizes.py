"""Heights and places by panel and size class, in inches: common practice, no source.

A recipe's own `height` wins over these. Rules of leagues differ by code and season; a shop
that presses to one writes the height into its recipe.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kiosk.catalog.sizes import SizeClass


@dataclass(frozen=True, slots=True)
class Room:
    """The room that a panel gives to its elements, inches.

    `top` is from the collar seam (on a sleeve, the shoulder seam) to the first element,
    `gap` between elements, `widest` the widest that an element may be, `across` from the
    centre line to the middle of the elements, positive to the right of who looks at it.
    """

    top: float
    gap: float
    widest: float
    heights: Mapping[str, float]
    across: float = 0.0


YOUTH, ADULT = SizeClass.YOUTH, SizeClass.ADULT
OTHER_HEIGHT = 3.0  # an element that is neither name nor number
ORDER = ("name", "number")  # from the collar down; others below these

_BACK = {
    ADULT: Room(4.0, 1.5, 14.0, {"name": 2.5, "number": 10.0}),
    YOUTH: Room(3.0, 1.0, 11.0, {"name": 2.0, "number": 8.0}),
}
_FRONT = {
    ADULT: Room(4.0, 1.5, 12.0, {"name": 2.0, "number": 6.0}),
    YOUTH: Room(3.0, 1.0, 10.0, {"name": 1.5, "number": 4.0}),
}
_SLEEVE = {
    ADULT: Room(2.0, 0.5, 4.0, {"name": 1.0, "number": 3.0}),
    YOUTH: Room(1.5, 0.5, 3.5, {"name": 0.8, "number": 2.5}),
}


def _chest(side: int) -> dict[SizeClass, Room]:
    return {
        ADULT: Room(4.0, 0.5, 4.0, {"name": 1.0, "number": 3.0}, side * 4.0),
        YOUTH: Room(3.0, 0.5, 3.5, {"name": 0.8, "number": 2.5}, side * 3.0),
    }


ROOMS: Mapping[str, Mapping[SizeClass, Room]] = {
    "back": _BACK,
    "front": _FRONT,
    "left-sleeve": _SLEEVE,
    "right-sleeve": _SLEEVE,
    "left-chest": _chest(+1),  # the wearer's left is the right of who looks at it
    "right-chest": _chest(-1),
}


def room(panel: str, size_class: SizeClass) -> Room:
    """Return the room of a panel; one that the table does not name is treated as a front."""
    return ROOMS.get(panel, _FRONT)[size_class]
