"""The garment on the platen in inches, as the operator stands before it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kiosk.catalog.sizes import SizeClass, size_class
from kiosk.plan.model import Plan
from kiosk.plan.placement import Box as Placed
from kiosk.plan.placement import as_operator, as_worn
from kiosk.run.views import View

SEAM_OFF_EDGE_INCHES = 1.0  # common practice, no source
HALF_WIDTHS = {SizeClass.YOUTH: 7.5, SizeClass.ADULT: 10.0}  # of the body; common practice
NUMBER_ASPECT = 0.62  # width over height of a figure as cut for shirts; common practice
LETTER_ASPECT = 0.74

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
        neck = 3.4
        dip = 1.6 if front else 0.55
        right = [(0.0, dip), (neck * 0.55, dip * 0.72), (neck, -0.5), (half, 1.9), (half, end)]
    left = [(-x, y) for x, y in reversed(right) if x]
    sign = 1.0 if toward else -1.0
    return tuple((x * -sign, y * sign) for x, y in (*right, *left))


def _class(size: str) -> SizeClass:
    try:
        return size_class(size)
    except KeyError:
        return SizeClass.ADULT  # a size that the table does not know is drawn as an adult's
