"""Materials, fabrics and presses, as values. Read from files by the rest of this room."""

from collections.abc import Iterable, Mapping
from dataclasses import field
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
    """Whether a face needs, allows or forbids the cover sheet, or must not be pressed."""

    REQUIRED = "required"
    OPTIONAL = "optional"
    FORBIDDEN = "forbidden"
    NO_PRESS = "no_press"


class Surface(Enum):
    """The surface that a material offers to the layer on top of it."""

    SMOOTH = "smooth"
    TEXTURED = "textured"
    PILE = "pile"


GROUNDS = ("fabric", *(surface.value for surface in Surface))
"""The grounds a material can be laid on, in the words of files."""


class DyeRisk(Enum):
    """How readily the cloth's dye migrates into a film under heat."""

    NONE = "none"
    POSSIBLE = "possible"
    HIGH = "high"


@dataclass(frozen=True, slots=True)
class TemperatureWindow:
    """A material's lowest, highest and normal temperature."""

    low: Temperature
    high: Temperature
    normal: Temperature


@dataclass(frozen=True, slots=True)
class DwellBand:
    """The seconds a material needs between two temperatures, both included."""

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
    """The shop's own wait for one peel, from `start` to `end` after opening."""

    start: Seconds
    end: Seconds


@dataclass(frozen=True, slots=True)
class Material:
    """A film, a printed transfer or a cloth letter. `goes_on` holds words of GROUNDS.

    `letters` are the characters of its pre-cut set, None if they are cut on demand. `heat`
    is None if the model's table applies.
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
        """Return its rule on the cover sheet with its carrier on, or off."""
        return self.sheet_carrier_on if carrier_on else self.sheet_carrier_off


def covered_ranges(
    bands: Iterable[DwellBand | PeelBand], unit: Degrees
) -> tuple[tuple[int, int], ...]:
    """Return the ranges of whole degrees of `unit` that the bands cover without holes, rising."""
    found: list[tuple[int, int]] = []
    for start, end in sorted((b.start.whole_in(unit), b.end.whole_in(unit)) for b in bands):
        if found and start <= found[-1][1] + 1:
            found[-1] = found[-1][0], max(end, found[-1][1])
        else:
            found.append((start, end))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class DwellCap:
    """The most seconds that a fabric can take in one closing between two temperatures."""

    start: Temperature
    end: Temperature
    at_most: Seconds


@dataclass(frozen=True, slots=True)
class Fabric:
    """A cloth and its limits of heat and pressure."""

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

    `upkeep` holds, by part, the closings after which it is due for upkeep.
    """

    key: str
    set_temperature: Temperature
    tolerance: TemperatureStep
    opens_itself: bool
    collar_toward_operator: bool
    platen_width: Length
    platen_height: Length
    closes_in: Seconds
    heat: house.PressHeat = house.DEFAULT_PRESS_HEAT
    upkeep: Mapping[house.PressPart, int] = field(default_factory=dict)
    source: Sources = ALL_GUESSED

    @property
    def unit(self) -> Degrees:
        """The scale that this press shows."""
        return self.set_temperature.unit
