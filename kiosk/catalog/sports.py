"""Where a sport's garments have their numbers and names, and how high: data that a shop changes."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.catalog.quantities import Length
from kiosk.catalog.sizes import SizeClass

ANY = "any"
"""The key of places that hold for every job, whatever its sport."""


@dataclass(frozen=True, slots=True)
class Place:
    """What a sport does otherwise on one panel of one class of sizes; None leaves it as usual.

    `top` is from the seam at the collar to the first element, `gap` between elements, `widest`
    the widest that an element may be, `across` from the centre line to the middle (positive to
    the right of who looks at it), `name` and `number` their heights, borders counted;
    `least_name` how low a long name may get.
    """

    panel: str
    size_class: SizeClass
    top: Length | None = None
    gap: Length | None = None
    widest: Length | None = None
    across: Length | None = None
    name: Length | None = None
    number: Length | None = None
    least_name: Length | None = None


@dataclass(frozen=True, slots=True)
class Sport:
    """A sport's places, and where they come from."""

    key: str
    title: str
    source: str
    places: tuple[Place, ...]
