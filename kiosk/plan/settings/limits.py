"""Sheets and cloths read on the press's scale: whole degrees, whole seconds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import ceil, floor
from typing import TypeVar

from kiosk.catalog.base import Degrees, Temperature
from kiosk.catalog.model import DwellBand, DwellCap, Fabric, Material, Peel, PeelBand, Tack

Band = TypeVar("Band", DwellBand, PeelBand, DwellCap)
Held = TypeVar("Held")  # a band, or what was read of one


@dataclass(frozen=True, slots=True)
class SecondsWindow:
    """The whole seconds that a sheet allows, both ends included, and its normal."""

    low: int
    high: int
    normal: int


@dataclass(frozen=True, slots=True, eq=False)
class SheetLimits:
    """A material's limits on one scale; `dwell` and `peel` by whole degree of its window.

    A degree that no band of the sheet covers is missing in them. Equal only to itself.
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
    dwell, peel = _spans(material.dwell, unit), _spans(material.peel, unit)
    by_degree = {degree: (_at(degree, dwell), _at(degree, peel)) for degree in range(low, high + 1)}
    return SheetLimits(
        material=material,
        low=low,
        high=high,
        normal=window.normal.whole_in(unit),
        dwell={degree: _common(bands) for degree, (bands, _) in by_degree.items() if bands},
        peel={
            degree: frozenset.intersection(*(band.allowed for band in bands))
            for degree, (_, bands) in by_degree.items()
            if bands
        },
        tack=_common([material.tack]) if material.tack else None,
        total_seconds=floor(material.total_heat.value),
    )


@lru_cache(maxsize=64)  # the search for changes asks for the same cloth again and again
def read_cloth(fabric: Fabric, unit: Degrees) -> ClothLimits:
    """Return the limits of `fabric` on the scale `unit`."""
    caps = [
        (first, last, floor(cap.at_most.value))
        for first, last, cap in _spans(fabric.dwell_max, unit)
    ]
    coldest = min(first for first, _, _ in caps)
    hottest = _highest(fabric.temperature_max, unit)
    return ClothLimits(
        fabric=fabric,
        temperature_max=hottest,
        dye_cap=_highest(fabric.dye_cap, unit) if fabric.dye_cap else None,
        most={degree: _most(degree, caps) for degree in range(coldest, hottest + 1)},
        coldest=coldest,
        total_seconds=floor(fabric.total_heat.value),
        pre_press_seconds=fabric.pre_press.whole,
    )


def _most(degree: int, caps: Sequence[tuple[int, int, int]]) -> int:
    return min(_at(degree, caps) or _near(degree, caps))


def _spans(bands: Sequence[Band], unit: Degrees) -> list[tuple[int, int, Band]]:
    """Return the bands with their first and last whole degree."""
    return [(_lowest(band.start, unit), _highest(band.end, unit), band) for band in bands]


def _at(degree: int, spans: Sequence[tuple[int, int, Held]]) -> list[Held]:
    """Return the bands that hold `degree`: rounding of another scale may leave none, or two."""
    return [band for first, last, band in spans if first <= degree <= last]


def _near(degree: int, spans: Sequence[tuple[int, int, Held]]) -> list[Held]:
    """Return both neighbours of a hole that rounding tore, one at the end of all bands."""
    below = max((last for _, last, _ in spans if last < degree), default=None)
    above = min((first for first, _, _ in spans if first > degree), default=None)
    return [band for first, last, band in spans if last == below or first == above]


def _lowest(limit: Temperature, unit: Degrees) -> int:
    """Return the lowest whole degree that keeps a low limit; the other scale's is rounded."""
    return ceil(limit.value) if limit.unit is unit else limit.whole_in(unit)


def _highest(limit: Temperature, unit: Degrees) -> int:
    """Return the highest whole degree that keeps a high limit; the other scale's is rounded."""
    return floor(limit.value) if limit.unit is unit else limit.whole_in(unit)


def _common(bands: Sequence[DwellBand | Tack]) -> SecondsWindow:
    """Return the whole seconds that all of `bands` allow; high is under low where none is."""
    return SecondsWindow(
        low=max(ceil(band.low.value) for band in bands),
        high=min(floor(band.high.value) for band in bands),
        normal=max(band.normal.whole for band in bands),
    )
