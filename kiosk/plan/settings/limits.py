"""Sheets and cloths read on the press's scale: whole degrees, whole seconds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
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
    low, high = _span(material.temperature.low, material.temperature.high, unit)
    degrees = range(low, high + 1)
    dwell = {degree: _holding(material.dwell, degree, unit) for degree in degrees}
    peel = {degree: _holding(material.peel, degree, unit) for degree in degrees}
    return SheetLimits(
        material=material,
        low=low,
        high=high,
        normal=material.temperature.normal.whole_in(unit),
        dwell={degree: _common(bands) for degree, bands in dwell.items() if bands},
        peel={
            degree: frozenset.intersection(*(band.allowed for band in bands))
            for degree, bands in peel.items()
            if bands
        },
        tack=_common([material.tack]) if material.tack else None,
        total_seconds=floor(material.total_heat.value),
    )


def read_cloth(fabric: Fabric, unit: Degrees) -> ClothLimits:
    """Return the limits of `fabric` on the scale `unit`."""
    coldest = min(_span(cap.start, cap.end, unit)[0] for cap in fabric.dwell_max)
    _, hottest = _span(fabric.temperature_max, fabric.temperature_max, unit)
    return ClothLimits(
        fabric=fabric,
        temperature_max=hottest,
        dye_cap=_span(fabric.dye_cap, fabric.dye_cap, unit)[1] if fabric.dye_cap else None,
        most={
            degree: min(floor(cap.at_most.value) for cap in _nearest_caps(fabric, degree, unit))
            for degree in range(coldest, hottest + 1)
        },
        coldest=coldest,
        total_seconds=floor(fabric.total_heat.value),
        pre_press_seconds=fabric.pre_press.whole,
    )


def _nearest_caps(fabric: Fabric, degree: int, unit: Degrees) -> list[DwellCap]:
    """Return the caps that hold at `degree`, or both neighbours of a hole that rounding tore."""
    holding = _holding(fabric.dwell_max, degree, unit)
    if holding:
        return holding
    below = [cap for cap in fabric.dwell_max if _span(cap.start, cap.end, unit)[1] < degree]
    above = [cap for cap in fabric.dwell_max if _span(cap.start, cap.end, unit)[0] > degree]
    return [
        *(max(below, key=lambda cap: cap.end.exact_in(unit)) for _ in below[:1]),
        *(min(above, key=lambda cap: cap.start.exact_in(unit)) for _ in above[:1]),
    ]


def _holding(bands: Sequence[Band], degree: int, unit: Degrees) -> list[Band]:
    """Return the bands that hold `degree`: rounding of another scale may leave none, or two."""
    holding = []
    for band in bands:
        first, last = _span(band.start, band.end, unit)
        if first <= degree <= last:
            holding.append(band)
    return holding


def _span(low: Temperature, high: Temperature, unit: Degrees) -> tuple[int, int]:
    """Return the whole degrees from `low` to `high`; limits of the other scale are rounded."""
    first = ceil(low.value) if low.unit is unit else low.whole_in(unit)
    last = floor(high.value) if high.unit is unit else high.whole_in(unit)
    return first, last


def _common(bands: Sequence[DwellBand | Tack]) -> SecondsWindow:
    """Return the whole seconds that all of `bands` allow; high is under low where none is."""
    return SecondsWindow(
        low=max(ceil(band.low.value) for band in bands),
        high=min(floor(band.high.value) for band in bands),
        normal=max(band.normal.whole for band in bands),
    )
