"""The pressed stack as values: its materials, its contacts and faces, and its stages."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field, fields, replace
from types import MappingProxyType

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import Body as Body
from kiosk.catalog.model import Carrier as Carrier
from kiosk.catalog.model import Cloth as Cloth
from kiosk.catalog.model import OwnBody


def layer(body: Body, cells: int, ratio: float = 1.0) -> HeatLayer:
    """Return `body` as a layer of `cells` cells that grow downward by `ratio`."""
    return HeatLayer(
        body.kg_per_square_metre * body.joules_per_kg_kelvin,
        body.mm_pressed / 1000 / body.conductivity_pressed,
        body.mm_open / 1000 / body.conductivity_open,
        cells,
        ratio,
    )


def with_own(body: Body, own_body: OwnBody | None) -> Body:
    """Return `body` with the values that the shop knows better."""
    if own_body is None:
        return body
    values = {f.name: value for f in fields(own_body) if (value := getattr(own_body, f.name))}
    return replace(body, **values)


def _sheet(mm: float, conductivity: float, kg: float, heat: float) -> Body:
    return Body(mm, mm, conductivity, conductivity, kg, heat)


SHEET = _sheet(0.13, 0.25, 0.270, 1000)  # PTFE-glass
FILM = _sheet(0.10, 0.19, 0.118, 1850)  # polyurethane with glue; TPU table: .19 W/mK, 1.85 J/gK
PAD = _sheet(9, 0.090, 3.42, 1300)  # silicone foam
LOWER_PLATEN = _sheet(12, 200, 32.4, 900)  # aluminium
CARRIERS: Mapping[Carrier, Body] = MappingProxyType(
    {
        Carrier.PET: _sheet(0.10, 0.155, 0.139, 1172),  # generic PET film bulletin
        Carrier.PAPER: _sheet(0.10, 0.10, 0.090, 1400),  # release paper
    }
)
CLOTHS: Mapping[Cloth, Body] = MappingProxyType(
    {
        Cloth.LIGHT: Body(0.35, 0.55, 0.075, 0.050, 0.150, 1250),  # polyester knit
        Cloth.HEAVY: Body(0.55, 0.90, 0.090, 0.060, 0.240, 1340),  # cotton jersey, dry
    }
)
CONTACTS: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "sheet": (2000.0, 200.0),  # the sheet on anything under it
        "carrier|film": (5000.0, 5000.0),
        "film|film": (3000.0, 3000.0),
        "film|cloth": (1500.0, 1500.0),
        "cloth|cloth": (800.0, 100.0),
        "cloth|pad": (800.0, 200.0),
        "pad|lower": (500.0, 500.0),
    }
)


@dataclass(frozen=True, slots=True)
class Properties:
    """All bodies, contacts in W/m2K as (pressed, open), and the faces to the air.

    `platen` is the closed platen's contact; the free convection factors are in W/m2K^1.25;
    `overhead` is the share of a garment's view that the open hot platen fills.
    """

    sheet: Body = SHEET
    film: Body = FILM
    pad: Body = PAD
    lower: Body = LOWER_PLATEN
    carriers: Mapping[Carrier, Body] = field(default_factory=lambda: CARRIERS)
    cloths: Mapping[Cloth, Body] = field(default_factory=lambda: CLOTHS)
    contacts: Mapping[str, tuple[float, float]] = field(default_factory=lambda: CONTACTS)
    platen: float = 1500.0
    emissivity: float = 0.9
    free_up: float = 2.6
    free_down: float = 1.3
    free_hanging: float = 2.05
    waved_metres_per_second: float = 2.0
    overhead: float = 0.0


PROPERTIES = Properties()


STEFAN_BOLTZMANN = 5.670374419e-8  # W/m2K4, exact by the SI's constants
PLATEN_EMISSIVITY = 0.9
ZERO_CELSIUS = 273.15


@dataclass(frozen=True, slots=True)
class HeatLayer:
    """One layer: heat capacity per area, and its resistance when pressed and when open.

    `ratio` above 1 makes cells grow downward (a pad); `top` and `bottom` are its starting
    temperatures, linear between, None for the room's.
    """

    capacity: float
    resistance_pressed: float
    resistance_open: float
    cells: int = 2
    ratio: float = 1.0
    top: float | None = None
    bottom: float | None = None

    def resistance(self, pressed: bool) -> float:
        """Return the resistance in m2K/W."""
        return self.resistance_pressed if pressed else self.resistance_open


@dataclass(frozen=True, slots=True)
class Plate:
    """A face against a body of fixed temperature through a contact."""

    temperature: float
    conductance: float


@dataclass(frozen=True, slots=True)
class Air:
    """A face to the room: free convection c·ΔT^¼, forced convection by draught, radiation.

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
        """Return h in W/m2K for a surface at `surface` °C (∛(hn³+hf³) + radiation)."""
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
        """The flux in W/m2 that the open platen overhead adds."""
        if not self.overhead:
            return 0.0
        hot, cold = self.platen + ZERO_CELSIUS, self.temperature + ZERO_CELSIUS
        share = self.overhead * self.emissivity * PLATEN_EMISSIVITY
        return share * STEFAN_BOLTZMANN * (hot**4 - cold**4)


Face = Plate | Air


@dataclass(frozen=True, slots=True)
class HeatStage:
    """A time during which only temperatures change; `stack` is listed from the top."""

    name: str
    seconds: float
    stack: tuple[str, ...]
    pressed: bool
    top: Face
    bottom: Face


@dataclass(frozen=True, slots=True)
class HeatStory:
    """A whole history: layers by name, contacts by `upper|lower` as (pressed, open), stages.

    `bond` is the pair of layers whose common face is watched, on the film's side.
    """

    room: float
    layers: Mapping[str, HeatLayer]
    contacts: Mapping[str, tuple[float, float]]
    stages: tuple[HeatStage, ...]
    bond: tuple[str, str]

    def contact(self, upper: str, lower: str, pressed: bool) -> float:
        """Return the conductance between two layers in W/m2K."""
        pair = self.contacts.get(f"{upper}|{lower}", self.contacts["default"])
        return pair[0] if pressed else pair[1]


Temperatures = Mapping[str, tuple[float, ...]]


class Grid:
    """One stage's cells from the top: J/m2K, W/m2K, m2K/W; `spans` are the layers' cells."""

    def __init__(self, story: HeatStory, stage: HeatStage) -> None:
        self.spans: dict[str, tuple[int, int]] = {}
        self.capacity: list[float] = []
        self.half: list[float] = []
        self.links: list[float] = []
        above = ""
        for name in stage.stack:
            joint = 1 / story.contact(above, name, stage.pressed) if above else 0.0
            self._add(name, story.layers[name], stage.pressed, joint)
            above = name

    def _add(self, name: str, layer: HeatLayer, pressed: bool, joint: float) -> None:
        first = len(self.half)
        for share in _shares(layer):
            half = layer.resistance(pressed) * share / 2
            if self.half:
                self.links.append(1 / (self.half[-1] + joint + half))
            self.half.append(half)
            self.capacity.append(layer.capacity * share)
            joint = 0.0
        self.spans[name] = (first, len(self.half))


def _shares(layer: HeatLayer) -> list[float]:
    weights = [layer.ratio**i for i in range(layer.cells)]
    total = sum(weights)
    return [w / total for w in weights]


def first_temperatures(story: HeatStory, start: Temperatures) -> dict[str, tuple[float, ...]]:
    """Return every layer's cells before the first stage, °C; `start` overrides the story's.

    Raises ValueError if `start` has a layer with a different number of cells from the story's.
    """
    found = {name: _profile(layer, story.room) for name, layer in story.layers.items()}
    for name, cells in start.items():
        if name in found and len(found[name]) != len(cells):
            raise ValueError(f"{name}: {len(cells)} temperatures for {len(found[name])} cells")
    return found | dict(start)


def _profile(layer: HeatLayer, room: float) -> tuple[float, ...]:
    top = room if layer.top is None else layer.top
    bottom = top if layer.bottom is None else layer.bottom
    cells, depth = [], 0.0
    for share in _shares(layer):
        cells.append(top + (bottom - top) * (depth + share / 2))
        depth += share
    return tuple(cells)
