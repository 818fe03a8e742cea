"""The garment on the platen in inches, as the operator stands before it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import cos, pi, sin

from kiosk.catalog.sizes import SizeClass, size_class
from kiosk.plan.model import Plan
from kiosk.plan.placement import Box as Placed
from kiosk.plan.placement import as_operator, as_worn
from kiosk.run.views import View

SEAM_OFF_EDGE_INCHES = 1.0  # common practice, no source
HALF_WIDTHS = {SizeClass.YOUTH: 7.5, SizeClass.ADULT: 10.0}  # of the body; common practice
NUMBER_ASPECT = 0.62  # width over height of a figure as cut for shirts; common practice
LETTER_ASPECT = 0.74
NECK = 3.5  # half of a collar's width

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Laid:
    """A panel on the platen. Inches; x to the right, y upwards, the collar seam at 0, 0.

    `texts` holds what each element says; `left_hand` and `right_hand` the outer figures of a
    number of two or more.
    """

    platen: tuple[float, float, float, float]  # left, bottom, width, height
    garment: Points
    boxes: tuple[Placed, ...]
    texts: Mapping[str, str]
    toward: bool
    left_hand: str = ""
    right_hand: str = ""

    @property
    def free_at_collar(self) -> float:
        """Inches from the platen's edge at the collar to the first piece."""
        _, bottom, _, high = self.platen
        if not self.boxes:
            return high
        if self.toward:
            return min(-box.y - box.height / 2 for box in self.boxes) - bottom
        return bottom + high - max(-box.y + box.height / 2 for box in self.boxes)


def laid(plan: Plan, view: View, name: str) -> Laid:
    """Return how the garment of `view` lies; `name` is what the roster line wears."""
    texts = texts_of(view, name)
    toward = plan.collar_toward_operator
    boxes = as_operator(as_worn(plan, view.panel, view.size, aspects(texts)), toward)
    number = texts.get("number", "")
    outer = (number[-1], number[0]) if toward else (number[:1], number[-1:])
    wide, high = plan.platen_width_inches, plan.platen_height_inches
    low = -SEAM_OFF_EDGE_INCHES if toward else SEAM_OFF_EDGE_INCHES - high
    return Laid(
        platen=(-wide / 2, low, wide, high),
        garment=_garment(view, wide, high, toward),
        boxes=boxes,
        texts=texts,
        toward=toward,
        left_hand=outer[0] if len(number) > 1 else "",
        right_hand=outer[1] if len(number) > 1 else "",
    )


def texts_of(view: View, name: str) -> dict[str, str]:
    """Return what each element of the panel says; one with nothing to say is left out."""
    said = {"name": name, "number": view.number}
    elements = dict.fromkeys(piece.element for piece in view.pieces)
    texts = {element: said.get(element, element) for element in elements}
    return {element: text for element, text in texts.items() if text}


def aspects(texts: Mapping[str, str]) -> dict[str, float]:
    """Return the width over height of each element's text."""
    return {
        element: len(text) * (NUMBER_ASPECT if element == "number" else LETTER_ASPECT)
        for element, text in texts.items()
    }


def _garment(view: View, wide: float, high: float, toward: bool) -> Points:
    """The part of the garment that lies on the platen, from collar to hem side."""
    sleeve = "sleeve" in view.panel
    front = view.panel in {"front", "left-chest", "right-chest"}
    half = 5.5 if sleeve else min(HALF_WIDTHS[_class(view.size)], wide / 2 - 0.25)
    end = high - SEAM_OFF_EDGE_INCHES - 0.3
    if sleeve:
        right = [(half * 0.5, -0.1), (half, 1.4), (half * 0.9, end * 0.6)]
    else:
        right = [*_neckline(2.2 if front else 0.0), (half, _shoulder(half)), (half, end)]
    left = [(-x, y) for x, y in reversed(right) if x]
    sign = 1.0 if toward else -1.0
    return tuple((x * -sign, y * sign) for x, y in (*right, *left))


def _neckline(dip: float) -> list[tuple[float, float]]:
    """A quarter ellipse from the seam at the centre line up to where the shoulder begins."""
    rise = dip + 0.7
    steps = [i * pi / 12 for i in range(7)]
    return [(NECK * sin(a), dip - rise * (1 - cos(a))) for a in steps]


def _shoulder(half: float) -> float:
    """How far the shoulder has fallen at `half` inches from the centre line."""
    return -0.7 + (half - NECK) * 0.36


def _class(size: str) -> SizeClass:
    try:
        return size_class(size)
    except KeyError:
        return SizeClass.ADULT  # a size that the table does not know is drawn as an adult's
