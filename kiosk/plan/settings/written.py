"""Limits as they stand in the files: `number.1.dwell.low=15 s, 10 s`."""

from __future__ import annotations

from collections.abc import Iterable

from kiosk.catalog.model import Fabric, Material, Peel, Surface

GROUNDS = ("fabric", *(surface.value for surface in Surface))


def yes_no(value: bool) -> str:
    """Return a flag as it is written."""
    return "yes" if value else "no"


def grounds(material: Material) -> str:
    """Return what a material goes on, fabric first."""
    return ", ".join(ground for ground in GROUNDS if ground in material.goes_on)


def dwell_low(material: Material) -> str:
    """Return the fewest seconds of all bands."""
    return ", ".join(band.low.text for band in material.dwell)


def dwell_high(material: Material) -> str:
    """Return the most seconds of all bands."""
    return ", ".join(band.high.text for band in material.dwell)


def dwell_max(fabric: Fabric) -> str:
    """Return the dwell limits of all bands of a cloth."""
    return ", ".join(cap.at_most.text for cap in fabric.dwell_max)


def peels(material: Material) -> str:
    """Return the peels of all bands."""
    return ", ".join(peel_words(band.allowed) for band in material.peel)


def peel_words(allowed: Iterable[Peel]) -> str:
    """Return a set of peels, earliest first."""
    return ", ".join(peel.word for peel in sorted(allowed))
