"""Sheets and cloths read on the press's scale: whole degrees, whole seconds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor
from typing import TypeVar

from kiosk.catalog.model import DwellBand, DwellCap, Fabric, Material, Peel, PeelBand, Tack
from kiosk.catalog.quantities import Degrees, Temperature

Band = TypeVar("Band", DwellBand, PeelBand, DwellCap)


@dataclass(frozen=True, slots=True)
class SecondsWindow:
    """The whole seconds that a sheet allows, both ends included, and its normal."""

    low: int
    high: int
    normal: int


@dataclass(frozen=True, slots=True)
class SheetLimits:
    """A material's limits on one scale; `dwell` and `peel` by whole degree of its window.

    A degree that no band of the sheet covers is missing in them.
    """

    material: Material
    low: int
    high: int
    normal: int
    dwell: Mapping[int, SecondsWindow]
    peel: Mapping[int, frozenset[Peel]]
    tack: SecondsWindow | None
    total_seconds: int

    def dwell_at(self, degree: int) -> SecondsWindow | None:
        """Return the seconds at `degree`; outside the window at the nearest degree inside."""
        return self.dwell.get(self._inside(degree))

    def peel_at(self, degree: int) -> frozenset[Peel]:
        """Return the peels at `degree`; outside the window at the nearest degree inside."""
        return self.peel.get(self._inside(degree), frozenset())

    def _inside(self, degree: int) -> int:
        return min(max(degree, self.low), self.high)


@dataclass(frozen=True, slots=True)
class ClothLimits:
    """A fabric's limits on one scale; `most` is its dwell limit by whole degree."""

    fabric: Fabric
    temperature_max: int
    dye_cap: int | None
    most: Mapping[int, int]
    coldest: int
    total_seconds: int
    pre_press_seconds: int

    def most_at(self, degree: int) -> int:
        """Return the most seconds of one closing at `degree`, read at the nearest known degree."""
        return self.most[min(max(degree, self.coldest), self.temperature_max)]


def read_sheet(material: Material, unit: Degrees) -> SheetLimits:
    """Return the limits of `material` on the scale `unit`."""
    window = material.temperature
    low, high = _lowest(window.low, unit), _highest(window.high, unit)
    degrees = [
        (degree, min(max(Fraction(degree), window.low.exact_in(unit)), window.high.exact_in(unit)))
        for degree in range(low, high + 1)
    ]
    dwell = _by_degree(material.dwell, degrees, unit)
    peel = _by_degree(material.peel, degrees, unit)
    return SheetLimits(
        material=material,
        low=low,
        high=high,
        normal=window.normal.whole_in(unit),
        dwell={degree: _whole(band) for degree, band in dwell.items()},
        peel={degree: band.allowed for degree, band in peel.items()},
        tack=_whole(material.tack) if material.tack else None,
        total_seconds=floor(material.total_heat.value),
    )


def read_cloth(fabric: Fabric, unit: Degrees) -> ClothLimits:
    """Return the limits of `fabric` on the scale `unit`."""
    coldest = min((cap.start for cap in fabric.dwell_max), key=lambda t: t.exact_in(unit))
    hottest = _highest(fabric.temperature_max, unit)
    first, last = coldest.exact_in(unit), fabric.temperature_max.exact_in(unit)
    degrees = [
        (degree, min(max(Fraction(degree), first), last))
        for degree in range(floor(first), hottest + 1)
    ]
    caps = _by_degree(fabric.dwell_max, degrees, unit)
    return ClothLimits(
        fabric=fabric,
        temperature_max=hottest,
        dye_cap=_highest(fabric.dye_cap, unit) if fabric.dye_cap else None,
        most={degree: floor(cap.at_most.value) for degree, cap in caps.items()},
        coldest=floor(first),
        total_seconds=floor(fabric.total_heat.value),
        pre_press_seconds=fabric.pre_press.whole,
    )


def _by_degree(
    bands: tuple[Band, ...], degrees: Iterable[tuple[int, Fraction]], unit: Degrees
) -> dict[int, Band]:
    """Return the band of each degree.

    A degree is looked up on the scale that the band is written in, where bands meet without
    hole or overlap: on the press's own scale the rounding of their ends could make either.
    """
    found: dict[int, Band] = {}
    for degree, exact in degrees:
        here = Temperature(exact, unit, "")
        for band in bands:
            scale = band.start.unit
            if band.start.whole_in(scale) <= here.whole_in(scale) <= band.end.whole_in(scale):
                found[degree] = band
                break
    return found


def _lowest(limit: Temperature, unit: Degrees) -> int:
    """Return the lowest whole degree that keeps a low limit; another scale's is rounded."""
    return ceil(limit.value) if limit.unit is unit else limit.whole_in(unit)


def _highest(limit: Temperature, unit: Degrees) -> int:
    """Return the highest whole degree that keeps a high limit; another scale's is rounded."""
    return floor(limit.value) if limit.unit is unit else limit.whole_in(unit)


def _whole(seconds: DwellBand | Tack) -> SecondsWindow:
    low, high = ceil(seconds.low.value), floor(seconds.high.value)
    return SecondsWindow(low, high, seconds.normal.whole)
