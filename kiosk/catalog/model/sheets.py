"""What the shop owns and knows, as values. Read from files by the rest of this room."""

from collections.abc import Callable, Mapping
from dataclasses import field, replace
from enum import Enum, IntEnum

from kiosk.catalog.base import dataclass
from kiosk.catalog.base.quantities import (
    Degrees,
    Length,
    Pressure,
    Seconds,
    Temperature,
    TemperatureStep,
)
from kiosk.catalog.model import house
from kiosk.catalog.model.house import Database, Policy, StationSettings
from kiosk.catalog.model.rules import Code, Packs, SizeRule, Sport, Stock
from kiosk.catalog.model.source import ALL_GUESSED, Sources


class Peel(IntEnum):
    """When a carrier comes off, earliest first."""

    HOT = 0
    WARM = 1
    COLD = 2

    @property
    def word(self) -> str:
        """The word as written in files: `hot`."""
        return self.name.lower()


class SheetRule(Enum):
    """What a face asks of the cover sheet when it goes under the platen."""

    REQUIRED = "required"
    OPTIONAL = "optional"
    FORBIDDEN = "forbidden"
    NO_PRESS = "no_press"


class Surface(Enum):
    """The face that a material offers to what is laid on it."""

    SMOOTH = "smooth"
    TEXTURED = "textured"
    PILE = "pile"


GROUNDS = ("fabric", *(surface.value for surface in Surface))
"""What a material may be laid on, by the words of files."""


class DyeRisk(Enum):
    """How readily the cloth's dye moves into a film under heat."""

    NONE = "none"
    POSSIBLE = "possible"
    HIGH = "high"


@dataclass(frozen=True, slots=True)
class TemperatureWindow:
    """A material's own temperatures."""

    low: Temperature
    high: Temperature
    normal: Temperature


@dataclass(frozen=True, slots=True)
class DwellBand:
    """The seconds a material asks for between two temperatures, both included."""

    start: Temperature
    end: Temperature
    low: Seconds
    high: Seconds
    normal: Seconds


@dataclass(frozen=True, slots=True)
class PeelBand:
    """The peels that a material allows between two temperatures, both included."""

    start: Temperature
    end: Temperature
    allowed: frozenset[Peel]


@dataclass(frozen=True, slots=True)
class Tack:
    """A short closing that holds one layer of a stack in place."""

    low: Seconds
    high: Seconds
    normal: Seconds
    peel: frozenset[Peel]


@dataclass(frozen=True, slots=True)
class Wait:
    """A wait after opening that the shop wrote down, from and to, for one peel."""

    start: Seconds
    end: Seconds


@dataclass(frozen=True, slots=True)
class Material:
    """A film, a printed transfer, a cloth letter. `goes_on` may hold `fabric`.

    `letters` are the characters of its pre-cut set, None where they are cut on demand. `heat`
    is None where the shop left it to the model's table.
    """

    key: str
    title: str
    temperature: TemperatureWindow
    dwell: tuple[DwellBand, ...]
    pressure_low: Pressure
    pressure_high: Pressure
    peel: tuple[PeelBand, ...]
    sheet_carrier_on: SheetRule
    sheet_carrier_off: SheetRule
    carrier: bool
    tack: Tack | None
    surface: Surface
    goes_on: frozenset[str]
    accepts_on_top: bool
    total_heat: Seconds
    blocks_dye: bool
    peel_wait: Mapping[Peel, Wait]
    source: Sources
    colour: str | None = None
    letters: frozenset[str] | None = None
    peel_at: house.Thresholds = house.PROPOSED
    heat: house.MaterialHeat | None = None

    def sheet_rule(self, carrier_on: bool) -> SheetRule:
        """Return what it asks of the cover sheet with its carrier on, or off."""
        return self.sheet_carrier_on if carrier_on else self.sheet_carrier_off


@dataclass(frozen=True, slots=True)
class DwellCap:
    """The most seconds a fabric takes in one closing between two temperatures."""

    start: Temperature
    end: Temperature
    at_most: Seconds


@dataclass(frozen=True, slots=True)
class Fabric:
    """A cloth and what it bears."""

    key: str
    title: str
    temperature_max: Temperature
    dwell_max: tuple[DwellCap, ...]
    total_heat: Seconds
    pressure_max: Pressure
    dye_risk: DyeRisk
    dye_cap: Temperature | None
    pre_press: Seconds
    heat: house.FabricHeat | None = None
    source: Sources = ALL_GUESSED


@dataclass(frozen=True, slots=True)
class Press:
    """A press on the bench. All settings are solved in the unit of its `set_temperature`.

    `upkeep` says after how many closings a part is to be seen to.
    """

    key: str
    set_temperature: Temperature
    tolerance: TemperatureStep
    opens_itself: bool
    collar_toward_operator: bool
    platen_width: Length
    platen_height: Length
    closes_in: Seconds
    heat: house.PressHeat = house.UNTOLD
    upkeep: Mapping[house.Part, int] = field(default_factory=dict)
    source: Sources = ALL_GUESSED

    @property
    def unit(self) -> Degrees:
        """The scale that this press shows."""
        return self.set_temperature.unit


@dataclass(frozen=True, slots=True)
class Layer:
    """One piece of an element: a material in a colour (a word)."""

    material: str
    colour: str


MOST_LAYERS = 6  # of an element: the search of settings grows with them


@dataclass(frozen=True, slots=True)
class Element:
    """A name or a number; piece n of it is `<name>.<n>`, 1 on the fabric."""

    name: str
    layers: tuple[Layer, ...]
    shared_carrier: bool = False
    height: Length | None = None

    def pieces(self) -> tuple[str, ...]:
        """The names of its pieces from the fabric up."""
        return tuple(f"{self.name}.{n}" for n in range(1, len(self.layers) + 1))


@dataclass(frozen=True, slots=True)
class Panel:
    """One side of the garment that is pressed by itself."""

    name: str
    elements: tuple[Element, ...]


@dataclass(frozen=True, slots=True)
class Recipe:
    """What is pressed on each garment of an order, panel by panel in pressing order."""

    key: str
    title: str
    panels: tuple[Panel, ...]


def colours_of(recipe: Recipe) -> tuple[str, ...]:
    """Return the colours of a recipe's pieces, each once, from the first panel on."""
    elements = (element for panel in recipe.panels for element in panel.elements)
    return tuple(dict.fromkeys(layer.colour for e in elements for layer in e.layers))


def materials_of(recipe: Recipe) -> tuple[str, ...]:
    """Return the keys of the materials of a recipe, each once, from the first panel on."""
    elements = (element for panel in recipe.panels for element in panel.elements)
    return tuple(dict.fromkeys(layer.material for e in elements for layer in e.layers))


def recoloured(recipe: Recipe, colours: Mapping[str, str]) -> Recipe:
    """Return the recipe in other `colours`, by those it has itself."""

    def piece(_: Element, each: Layer) -> Layer:
        return replace(each, colour=colours.get(each.colour, each.colour))

    return _relaid(recipe, piece) if colours else recipe


def refilmed(recipe: Recipe, films: Mapping[str, Material]) -> Recipe:
    """Return the recipe with other films, by element; one that has a colour has its own."""

    def piece(element: Element, each: Layer) -> Layer:
        film = films.get(element.name)
        return each if film is None else Layer(film.key, film.colour or each.colour)

    return _relaid(recipe, piece) if films else recipe


def _relaid(recipe: Recipe, piece: Callable[[Element, Layer], Layer]) -> Recipe:
    """Return the recipe with another piece in place of each."""

    def element(each: Element) -> Element:
        return replace(each, layers=tuple(piece(each, layer) for layer in each.layers))

    panels = (replace(p, elements=tuple(map(element, p.elements))) for p in recipe.panels)
    return replace(recipe, panels=tuple(panels))


@dataclass(frozen=True, slots=True)
class Catalog:
    """Everything read from one recipes folder; `stock` is None where nobody counts it.

    `faulty` holds by kind the keys of entries that have faults, None for a file that could not
    be read: what is named there is not called unknown elsewhere. `headings` are customers'
    headings in small letters, each with the field it means, `unused` for none.
    """

    materials: Mapping[str, Material]
    fabrics: Mapping[str, Fabric]
    presses: Mapping[str, Press]
    policy: Policy
    station: StationSettings
    recipes: Mapping[str, Recipe]
    codes: Mapping[str, Code] = field(default_factory=dict)
    packs: Packs = field(default_factory=Packs)
    stock: tuple[Stock, ...] | None = None
    size_rules: Mapping[str, SizeRule] = field(default_factory=dict)
    sign_off: Mapping[str, house.SignOffRule] = field(default_factory=dict)
    sports: Mapping[str, Sport] = field(default_factory=dict)
    faulty: Mapping[str, frozenset[str] | None] = field(default_factory=dict)
    headings: Mapping[str, str] = field(default_factory=dict)
    database: Database = field(default_factory=Database)

    def known(self, kind: str) -> frozenset[str] | None:
        """Return the keys of a `kind` (presses, recipes …), those of faulty entries too.

        None where its file could not be read, so that nobody can say what is in it.
        """
        faulty = self.faulty.get(kind, frozenset())
        return None if faulty is None else faulty | frozenset(getattr(self, kind))
