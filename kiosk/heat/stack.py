"""The pressed stack as values: layers, contacts, faces, the stages it goes through, their cells.

SI units, per area: C in J/m2K, R in m2K/W, contacts in W/m2K; temperatures in °C, times in s.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

STEFAN_BOLTZMANN = 5.670374419e-8  # W/m2K4, exact by the SI's constants
PLATEN_EMISSIVITY = 0.9
ZERO_CELSIUS = 273.15


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer: heat capacity and resistance per area, the latter pressed and open.

    `ratio` above 1 makes cells grow downward (a pad); `lump` is one cell without resistance
    inside; `top`, `bottom` are its first temperatures, linear between, None for the room's.
    """

    capacity: float
    resistance_pressed: float
    resistance_open: float
    cells: int = 2
    ratio: float = 1.0
    top: float | None = None
    bottom: float | None = None

    def resistance(self, pressed: bool) -> float:
        """The resistance in m2K/W."""
        return self.resistance_pressed if pressed else self.resistance_open


@dataclass(frozen=True, slots=True)
class Plate:
    """A face against a body of fixed temperature through a contact."""

    temperature: float
    conductance: float


@dataclass(frozen=True, slots=True)
class Air:
    """A face to the room: free convection c·ΔT^¼, forced by draught, radiation.

    `overhead` is the share of the view that an open hot platen at `platen` °C fills.
    """

    temperature: float
    free: float
    emissivity: float
    speed: float = 0.0
    length: float = 0.3
    overhead: float = 0.0
    platen: float = 0.0

    def conductance(self, surface: float) -> float:
        """Return h in W/m2K for a surface at `surface` °C (heat.md: ∛(hn³+hf³) + radiation)."""
        free: float = self.free * abs(surface - self.temperature) ** 0.25
        hot, cold = surface + ZERO_CELSIUS, self.temperature + ZERO_CELSIUS
        radiation = self.emissivity * STEFAN_BOLTZMANN * (hot * hot + cold * cold) * (hot + cold)
        if not self.speed:
            return free + radiation
        forced = 3.9 * (self.speed / self.length) ** 0.5
        mixed: float = (free**3 + forced**3) ** (1 / 3)
        return mixed + radiation

    @property
    def gain(self) -> float:
        """Return the flux in W/m2 that the open platen overhead adds."""
        if not self.overhead:
            return 0.0
        hot, cold = self.platen + ZERO_CELSIUS, self.temperature + ZERO_CELSIUS
        share = self.overhead * self.emissivity * PLATEN_EMISSIVITY
        return share * STEFAN_BOLTZMANN * (hot**4 - cold**4)


Face = Plate | Air


@dataclass(frozen=True, slots=True)
class Stage:
    """A time during which nothing but temperatures changes; `stack` is listed from the top."""

    name: str
    seconds: float
    stack: tuple[str, ...]
    pressed: bool
    top: Face
    bottom: Face


@dataclass(frozen=True, slots=True)
class Story:
    """A whole history: layers by name, contacts by `upper|lower` as (pressed, open), stages.

    `bond` is the pair of layers whose common face is watched, the film's side of it.
    """

    room: float
    layers: Mapping[str, Layer]
    contacts: Mapping[str, tuple[float, float]]
    stages: tuple[Stage, ...]
    bond: tuple[str, str]

    def contact(self, upper: str, lower: str, pressed: bool) -> float:
        """The conductance between two layers in W/m2K."""
        pair = self.contacts.get(f"{upper}|{lower}", self.contacts["default"])
        return pair[0] if pressed else pair[1]


Temperatures = Mapping[str, tuple[float, ...]]


class Grid:
    """One stage's cells from the top: J/m2K, W/m2K, m2K/W; `spans` are the layers' cells."""

    def __init__(self, story: Story, stage: Stage) -> None:
        self.spans: dict[str, tuple[int, int]] = {}
        self.capacity: list[float] = []
        self.half: list[float] = []
        self.links: list[float] = []
        above = ""
        for name in stage.stack:
            joint = 1 / story.contact(above, name, stage.pressed) if above else 0.0
            self._add(name, story.layers[name], stage.pressed, joint)
            above = name

    def _add(self, name: str, layer: Layer, pressed: bool, joint: float) -> None:
        first = len(self.half)
        for share in _shares(layer):
            half = layer.resistance(pressed) * share / 2
            if self.half:
                self.links.append(1 / (self.half[-1] + joint + half))
            self.half.append(half)
            self.capacity.append(layer.capacity * share)
            joint = 0.0
        self.spans[name] = (first, len(self.half))


def _shares(layer: Layer) -> list[float]:
    weights = [layer.ratio**i for i in range(layer.cells)]
    total = sum(weights)
    return [w / total for w in weights]


def first_temperatures(story: Story, start: Temperatures) -> dict[str, tuple[float, ...]]:
    """Return every layer's cells before the first stage, °C; those of `start` are as they are.

    Raises ValueError where `start` has a layer in other cells than the story's.
    """
    found = {name: _profile(layer, story.room) for name, layer in story.layers.items()}
    for name, cells in start.items():
        if name in found and len(found[name]) != len(cells):
            raise ValueError(f"{name}: {len(cells)} temperatures for {len(found[name])} cells")
    return found | dict(start)


def _profile(layer: Layer, room: float) -> tuple[float, ...]:
    top = room if layer.top is None else layer.top
    bottom = top if layer.bottom is None else layer.bottom
    cells, depth = [], 0.0
    for share in _shares(layer):
        cells.append(top + (bottom - top) * (depth + share / 2))
        depth += share
    return tuple(cells)
