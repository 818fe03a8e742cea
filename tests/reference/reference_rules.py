"""Each sentence of design.md section 4 about one closing, as a plain and slow predicate.

Nothing here comes from the plan room: it was written from the design alone, for comparison.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from math import ceil, floor

from kiosk.catalog.base.quantities import Temperature
from kiosk.catalog.model.house import Policy
from kiosk.catalog.model.recipes import Element, Panel
from kiosk.catalog.model.sheets import DwellBand, Fabric, Material, PeelBand, Press, SheetRule

FABRIC = "fabric"
BARE_TACK_SECONDS = 3


@dataclass(frozen=True, eq=False)
class Part:
    """One piece: layer `layer` of `layers` of one element. Equal only to itself."""

    name: str
    element: str
    layer: int
    layers: int
    shared: bool
    material: Material

    @cached_property
    def total(self) -> int:
        """The whole seconds of heat that it may take in all."""
        return floor(self.material.total_heat.value)


@dataclass(frozen=True, eq=False)
class Shape:
    """What lies under the platen in one closing, and how."""

    purpose: str
    active: tuple[Part, ...]
    with_carrier: tuple[Part, ...]
    bare: tuple[Part, ...]

    @cached_property
    def heated(self) -> tuple[Part, ...]:
        return tuple(dict.fromkeys((*self.active, *self.with_carrier, *self.bare)))


@dataclass(frozen=True, eq=False)
class World:
    """Everything that does not change while one panel is solved. Equal only to itself."""

    fabric: Fabric
    press: Press
    policy: Policy
    margin: bool
    read: dict[int, tuple[Temperature, int]] = field(default_factory=dict)

    @cached_property
    def total(self) -> int:
        """The whole seconds of heat that the fabric may take in all."""
        return floor(self.fabric.total_heat.value)

    @cached_property
    def after_pre_press(self) -> int:
        """The fabric's whole seconds left after a pre-press."""
        return floor(self.fabric.total_heat.value - self.fabric.pre_press.value)

    def degrees(self, temperature: Temperature) -> int:
        if id(temperature) not in self.read:  # kept with the value, so that its id is not reused
            whole = temperature.whole_in(self.press.unit)
            self.read[id(temperature)] = temperature, whole
        return self.read[id(temperature)][1]

    def fabric_temperatures(self, t: int) -> tuple[int, ...]:
        """Return the temperatures to check the fabric at: T, and T + tolerance with the margin."""
        return (t, t + self.press.tolerance.whole_in(self.press.unit)) if self.margin else (t,)


def groups_of(panel: Panel, materials: Mapping[str, Material]) -> list[tuple[Part, ...]]:
    """Return its elements; if only one shares a carrier, it shares it with all others."""
    alone = sum(element.shared_carrier for element in panel.elements) == 1
    return [parts_of(element, materials, alone) for element in panel.elements]


def parts_of(element: Element, materials: Mapping[str, Material], shared: bool) -> tuple[Part, ...]:
    count, shared = len(element.layers), shared or element.shared_carrier
    return tuple(
        Part(name, element.name, n, count, shared, materials[layer.material])
        for n, (name, layer) in enumerate(zip(element.pieces(), element.layers, strict=True), 1)
    )


@lru_cache(maxsize=4096)
def shapes_of(group: tuple[Part, ...], passengers: tuple[Part, ...]) -> tuple[Shape, ...]:
    """Return the closings of a group: a tack for each layer of its stacks, then the final."""
    stacked = [part for part in group if part.layers > 1]
    shapes = []
    for layer in range(1, max((part.layers for part in stacked), default=0) + 1):
        laid_now = tuple(part for part in stacked if part.layer == layer)
        below = tuple(part for part in stacked if part.layer < layer)
        shapes.append(Shape("tack", laid_now, laid_now, below + passengers))
    with_carrier = tuple(part for part in group if part.layers == 1 and part.material.carrier)
    bare = tuple(part for part in group if part not in with_carrier)
    shapes.append(Shape("final", group, with_carrier, bare + passengers))
    return tuple(shapes)


# Rules 1 to 3: temperature


@lru_cache(maxsize=4096)
def window_of(world: World, part: Part) -> tuple[int, int, int]:
    """Return low, high and normal in the press's degrees."""
    window = part.material.temperature
    return world.degrees(window.low), world.degrees(window.high), world.degrees(window.normal)


def window_holds(world: World, part: Part, t: int) -> bool:
    low, high, _ = window_of(world, part)
    return low <= t <= high


def fabric_holds(world: World, t: int) -> bool:
    highest = world.degrees(world.fabric.temperature_max)
    return all(at <= highest for at in world.fabric_temperatures(t))


def dye_holds(world: World, active: Iterable[Part], t: int) -> bool:
    cap = world.fabric.dye_cap
    if cap is None or all(part.material.blocks_dye for part in active):
        return True
    return all(at <= world.degrees(cap) for at in world.fabric_temperatures(t))


def passenger_bears(world: World, part: Part, t: int) -> bool:
    return t <= window_of(world, part)[1]


# Rule 4: seconds


@lru_cache(maxsize=4096)
def dwell_bands_at(world: World, part: Part, t: int) -> list[DwellBand]:
    """Return every band that holds T: rounding to the press's degree may leave none, or two."""
    return [
        band
        for band in part.material.dwell
        if world.degrees(band.start) <= t <= world.degrees(band.end)
    ]


@lru_cache(maxsize=4096)
def fabric_cap_at(world: World, t: int) -> int:
    """Return the most seconds in one closing at T.

    There are no holes: in a gap left by rounding the stricter neighbour counts; outside all bands,
    the nearest.
    """
    bands = world.fabric.dwell_max
    spans = [(world.degrees(b.start), world.degrees(b.end), b.at_most.value) for b in bands]
    holding = [most for start, end, most in spans if start <= t <= end]
    if not holding:
        ends, starts = [e for _, e, _ in spans if e < t], [s for s, _, _ in spans if s > t]
        holding += [most for _, end, most in spans if ends and end == max(ends)]
        holding += [most for start, _, most in spans if starts and start == min(starts)]
    return int(min(holding))


@lru_cache(maxsize=4096)
def most_seconds_at(world: World, t: int) -> int:
    """Return the fabric's dwell limit at T, and with the margin also at T + tolerance."""
    return min(fabric_cap_at(world, at) for at in world.fabric_temperatures(t))


@lru_cache(maxsize=4096)
def dwell_at(world: World, part: Part, t: int) -> range:
    """Return the whole seconds that every band at T allows."""
    bands = dwell_bands_at(world, part, t)
    allowed = [range(ceil(b.low.value), floor(b.high.value) + 1) for b in bands]
    return range(max(a.start for a in allowed), min(a.stop for a in allowed)) if bands else range(0)


def dwell_holds(world: World, part: Part, t: int, seconds: int) -> bool:
    return seconds in dwell_at(world, part, t)


def tack_holds(part: Part, seconds: int) -> bool:
    tack = part.material.tack
    return tack is not None and tack.low.value <= seconds <= tack.high.value


def totals_hold(world: World, shape: Shape, seconds: int, spent: Mapping[str, int]) -> bool:
    if spent[FABRIC] + seconds > world.total:
        return False
    return all(spent[part.name] + seconds <= part.total for part in shape.heated)


def seconds_hold(world: World, shape: Shape, t: int, seconds: int) -> bool:
    """Return whether the seconds of one closing satisfy everything except totals."""
    if shape.purpose == "tack":
        windows = all(tack_holds(part, seconds) for part in shape.active)
    else:
        windows = all(dwell_holds(world, part, t, seconds) for part in shape.active)
    return (
        windows
        and seconds <= most_seconds_at(world, t)
        and sheet_for(world, shape, seconds) is not None
    )


# Rule 5: pressure


def pressure_for(
    world: World, active: Iterable[Part], passengers: Iterable[Part]
) -> tuple[int, int] | None:
    low = max(part.material.pressure_low for part in active)
    highs = [part.material.pressure_high for part in (*active, *passengers)]
    high = min([*highs, world.fabric.pressure_max])
    return (low, high) if low <= high else None


# Rule 6: peel


def peels_at(world: World, shape: Shape, part: Part, t: int) -> set[int]:
    """Return the peels allowed at T: a band's for a final, the tack's own for a tack."""
    if shape.purpose == "tack":
        assert part.material.tack is not None
        return {int(peel) for peel in part.material.tack.peel}
    bands: list[PeelBand] = [
        band
        for band in part.material.peel
        if world.degrees(band.start) <= t <= world.degrees(band.end)
    ]
    return {peel for peel in (0, 1, 2) if bands and all(peel in band.allowed for band in bands)}


def peel_for(world: World, shape: Shape, t: int) -> dict[str, int] | None:
    allowed = {part.name: peels_at(world, shape, part, t) for part in shape.with_carrier}
    if not allowed:
        return {}
    common = set.intersection(*allowed.values())
    if common:
        return dict.fromkeys(allowed, min(common))
    if not world.policy.staged_peel:
        return None
    together = [part.name for part in shape.with_carrier if part.shared]
    if together:
        on_one_carrier = set.intersection(*(allowed[name] for name in together))
        allowed.update(dict.fromkeys(together, on_one_carrier))
    if not all(allowed.values()):
        return None
    return {name: min(peels) for name, peels in allowed.items()}


# Rule 7: cover sheet


def sheet_rules(world: World, shape: Shape, seconds: int) -> set[SheetRule]:
    """Return the rules of all faces; a policy may excuse bare film in a short tack."""
    bare = {part.material.sheet_carrier_off for part in shape.bare}
    if shape.purpose == "tack" and seconds <= BARE_TACK_SECONDS and world.policy.bare_tack:
        bare -= {SheetRule.REQUIRED}
    return bare | {part.material.sheet_carrier_on for part in shape.with_carrier}


def sheet_for(world: World, shape: Shape, seconds: int) -> bool | None:
    rules = sheet_rules(world, shape, seconds)
    if SheetRule.NO_PRESS in rules or {SheetRule.REQUIRED, SheetRule.FORBIDDEN} <= rules:
        return None
    return SheetRule.REQUIRED in rules
