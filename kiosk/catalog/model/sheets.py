"""What the shop owns and knows, as values. Read from files by the rest of this room."""

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


def stretches(bands: Iterable[DwellBand | PeelBand], unit: Degrees) -> tuple[tuple[int, int], ...]:
    """Return from where to where bands leave no whole degree of `unit` out, rising."""
    found: list[tuple[int, int]] = []
    for start, end in sorted((b.start.whole_in(unit), b.end.whole_in(unit)) for b in bands):
        if found and start <= found[-1][1] + 1:
            found[-1] = found[-1][0], max(end, found[-1][1])
        else:
            found.append((start, end))
    return tuple(found)


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
