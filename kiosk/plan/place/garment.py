"""A garment's own outline, in inches from its centre line and collar seam."""

from __future__ import annotations

from math import cos, pi, sin

from kiosk.catalog.model import SizeClass

HALF_WIDTHS = {SizeClass.YOUTH: 7.5, SizeClass.ADULT: 10.0}  # of the body; common practice
LEGS = {SizeClass.YOUTH: 5.5, SizeClass.ADULT: 7.0}  # half of a leg of shorts; common practice
NECK = 3.5  # half of a collar's width


def right_side(panel: str, own: SizeClass, most: float, end: float) -> list[tuple[float, float]]:
    """Return the outline right of the centre line, from the seam to `end` inches below it.

    x to the right, y away from the collar; no wider than `most` from the centre line.
    """
    if "sleeve" in panel:
        return [(2.75, -0.1), (5.5, 1.4), (4.95, end * 0.6)]
    if panel == "shorts":
        half = min(LEGS[own], most)
        return [(half * 0.85, 0.0), (half, end)]
    half = min(HALF_WIDTHS[own], most)
    dip = 2.2 if panel in {"front", "left-chest", "right-chest"} else 0.0
    return [*_neckline(dip), (half, _shoulder(half)), (half, end)]


def _neckline(dip: float) -> list[tuple[float, float]]:
    """A quarter ellipse from the seam at the centre line up to where the shoulder begins."""
    rise = dip + 0.7
    steps = [i * pi / 12 for i in range(7)]
    return [(NECK * sin(a), dip - rise * (1 - cos(a))) for a in steps]


def _shoulder(half: float) -> float:
    """How far the shoulder has fallen at `half` inches from the centre line."""
    return -0.7 + (half - NECK) * 0.36
