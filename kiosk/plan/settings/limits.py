"""Sheets and cloths read on the press's scale, and the pieces of a panel with their sheets."""

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from math import ceil, floor
from typing import TypeVar

from kiosk.catalog.base import Degrees, Temperature, dataclass
from kiosk.catalog.model import DwellBand, DwellCap, Element, Fabric, Material, Peel, PeelBand, Tack

Band = TypeVar("Band", DwellBand, PeelBand, DwellCap)
Held = TypeVar("Held")  # a band, or a value read from one


@dataclass(frozen=True, slots=True)
class SecondsWindow:
    """The whole seconds that a sheet allows, both ends included, and the normal."""

    low: int
    high: int
    normal: int


@dataclass(frozen=True, slots=True, eq=False)
class SheetLimits:
    """A material's limits on one scale; `dwell` and `peel` by whole degree of its window.

    A degree that no band of the sheet covers is missing from them. `alike` gives for each degree
    the lowest one with the same bands. Equal only to itself.
    """

    material: Material
    low: int
    high: int
    normal: int
    dwell: Mapping[int, SecondsWindow]
    peel: Mapping[int, frozenset[Peel]]
    alike: Mapping[int, int]
    tack: SecondsWindow | None
    total_seconds: int

    def dwell_at(self, degree: int) -> SecondsWindow | None:
        """Return the seconds at `degree`, or at the nearest in the window; None in a hole."""
        return self.dwell.get(self._inside(degree))

    def peel_at(self, degree: int) -> frozenset[Peel]:
        """Return the peels at `degree`; outside the window at the nearest degree inside."""
        return self.peel.get(self._inside(degree), frozenset())

    def alike_at(self, degree: int) -> int:
        """Return the lowest degree with the same bands as `degree`."""
        return self.alike[self._inside(degree)]

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
        """Return the most seconds of one closing at `degree`, or at the nearest known degree."""
        return self.most[min(max(degree, self.coldest), self.temperature_max)]


def read_sheet(material: Material, unit: Degrees) -> SheetLimits:
    """Return the limits of `material` on the scale `unit`."""
    window = material.temperature
    low, high = _lowest(window.low, unit), _highest(window.high, unit)
    dwell, peel = _spans(material.dwell, unit), _spans(material.peel, unit)
    alike = _alike(range(low, high + 1), [*dwell, *peel])
    firsts = {
        degree: (_bands_at(degree, dwell), _bands_at(degree, peel)) for degree in {*alike.values()}
    }
    seconds = {first: _common(bands) for first, (bands, _) in firsts.items() if bands}
    peels = {
        first: frozenset.intersection(*(band.allowed for band in bands))
        for first, (_, bands) in firsts.items()
        if bands
    }
    return SheetLimits(
        material=material,
        low=low,
        high=high,
        normal=window.normal.whole_in(unit),
        dwell={degree: seconds[first] for degree, first in alike.items() if first in seconds},
        peel={degree: peels[first] for degree, first in alike.items() if first in peels},
        alike=alike,
        tack=_common([material.tack]) if material.tack else None,
        total_seconds=floor(material.total_heat.value),
    )


@lru_cache(maxsize=64)  # the search for changes reads the same cloth repeatedly
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
        most={d: min(_bands_at(d, caps) or _near(d, caps)) for d in range(coldest, hottest + 1)},
        coldest=coldest,
        total_seconds=floor(fabric.total_heat.value),
        pre_press_seconds=fabric.pre_press.whole,
    )


def _spans(bands: Sequence[Band], unit: Degrees) -> list[tuple[int, int, Band]]:
    """Return the bands with their first and last whole degree."""
    return [(_lowest(band.start, unit), _highest(band.end, unit), band) for band in bands]


def _bands_at(degree: int, spans: Sequence[tuple[int, int, Held]]) -> list[Held]:
    """Return the bands that hold at `degree`: converting the scale may leave none, or two."""
    return [band for first, last, band in spans if first <= degree <= last]


def _alike(degrees: range, spans: Sequence[tuple[int, int, Held]]) -> dict[int, int]:
    """Return, for each of `degrees`, the first of them with the same spans."""
    firsts: dict[tuple[bool, ...], int] = {}
    return {
        degree: firsts.setdefault(tuple(low <= degree <= high for low, high, _ in spans), degree)
        for degree in degrees
    }


def _near(degree: int, spans: Sequence[tuple[int, int, Held]]) -> list[Held]:
    """Return both neighbours of a gap left by rounding, or one at the end of all bands."""
    below = max((last for _, last, _ in spans if last < degree), default=None)
    above = min((first for first, _, _ in spans if first > degree), default=None)
    return [band for first, last, band in spans if last == below or first == above]


def _lowest(limit: Temperature, unit: Degrees) -> int:
    """Return the lowest whole degree that keeps a low limit; a converted one is rounded."""
    return ceil(limit.value) if limit.unit is unit else limit.whole_in(unit)


def _highest(limit: Temperature, unit: Degrees) -> int:
    """Return the highest whole degree that keeps a high limit; a converted one is rounded."""
    return floor(limit.value) if limit.unit is unit else limit.whole_in(unit)


def _common(bands: Sequence[DwellBand | Tack]) -> SecondsWindow:
    """Return the whole seconds that all of `bands` allow; `high` is below `low` if none."""
    return SecondsWindow(
        low=max(ceil(band.low.value) for band in bands),
        high=min(floor(band.high.value) for band in bands),
        normal=max(band.normal.whole for band in bands),
    )


SHARED = ""  # the carrier of elements that share one; no element has this name


@dataclass(frozen=True, slots=True)
class PieceLimits:
    """One piece of an element with its sheet.

    `carrier` names the carrier that it comes off with; `order` counts the panel's pieces from 0.
    """

    name: str
    element: str
    layer: int
    stacked: bool
    carrier: str
    order: int
    sheet: SheetLimits

    @property
    def material(self) -> Material:
        """The material that it is cut from."""
        return self.sheet.material

    @property
    def carrier_in_final(self) -> bool:
        """Whether it has a carrier on in its final: a stack's carriers are off by then."""
        return self.material.carrier and not self.stacked

    @property
    def tack_peel(self) -> frozenset[Peel]:
        """When its carrier may come off after a tack."""
        return self.material.tack.peel if self.material.tack else frozenset()


@dataclass(frozen=True, slots=True)
class StackLayout:
    """How the pieces lie under the platen in one closing.

    `laid` are the pieces that the closing is for, `carried` those of them with a carrier on, `bare`
    all others under the platen: lower layers, carriers already off, passengers.
    """

    laid: tuple[PieceLimits, ...]
    carried: tuple[PieceLimits, ...]
    bare: tuple[PieceLimits, ...]

    @property
    def heated(self) -> tuple[str, ...]:
        """The names of all pieces under the platen."""
        return tuple(sorted(p.name for p in (*self.carried, *self.bare)))


@dataclass(frozen=True, slots=True)
class GroupPieces:
    """The pieces pressed together (`active`) and those pressed before (`passengers`)."""

    active: tuple[PieceLimits, ...]
    passengers: tuple[PieceLimits, ...] = ()

    def tacks(self) -> tuple[StackLayout, ...]:
        """Return the tacks from the bottom up: each holds one layer of every stack."""
        stacked = [p for p in self.active if p.stacked]
        return tuple(self._tack(layer, stacked) for layer in sorted({p.layer for p in stacked}))

    def _tack(self, layer: int, stacked: Iterable[PieceLimits]) -> StackLayout:
        laid = tuple(p for p in stacked if p.layer == layer)
        below = tuple(p for p in stacked if p.layer < layer)
        return StackLayout(laid, laid, (*below, *self.passengers))

    def final(self) -> StackLayout:
        """Return the final: stacks bare, one-layer elements with their carrier if they have one."""
        carried = tuple(p for p in self.active if p.carrier_in_final)
        bare = tuple(p for p in self.active if not p.carrier_in_final)
        return StackLayout(self.active, carried, (*bare, *self.passengers))


def pieces_of(
    elements: Sequence[Element], sheets: Mapping[str, SheetLimits]
) -> tuple[PieceLimits, ...]:
    """Return the pieces of `elements` in the recipe's order, from the fabric up."""
    carriers = _carriers(elements)
    flat = [
        (element, n, name, layer.material)
        for element in elements
        for n, (name, layer) in enumerate(zip(element.pieces(), element.layers, strict=True), 1)
    ]
    return tuple(
        PieceLimits(
            name=name,
            element=element.name,
            layer=n,
            stacked=len(element.layers) > 1,
            carrier=carriers[element.name],
            order=order,
            sheet=sheets[material],
        )
        for order, (element, n, name, material) in enumerate(flat)
    )


def _carriers(elements: Sequence[Element]) -> dict[str, str]:
    """Return the carrier of each element: its own unless it is shared.

    If only one element of a panel is marked as sharing, it shares with all others, since nothing is
    shared with nobody.
    """
    sharing = [element.name for element in elements if element.shared_carrier]
    together = [element.name for element in elements] if len(sharing) == 1 else sharing
    return {e.name: SHARED if e.name in together else e.name for e in elements}
