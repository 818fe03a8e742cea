"""What the heat model is told by the shop: substances, peel temperatures, the press's pad."""

from dataclasses import dataclass, field
from enum import Enum


class Cloth(Enum):
    """The two cloths of the model."""

    LIGHT = "light"
    HEAVY = "heavy"


class Carrier(Enum):
    """What a film comes on."""

    PET = "pet"
    PAPER = "paper"


@dataclass(frozen=True, slots=True)
class Body:
    """One layer's substance: mm and W/mK pressed and open, kg/m2, J/kgK."""

    mm_pressed: float
    mm_open: float
    conductivity_pressed: float
    conductivity_open: float
    kg_per_square_metre: float
    joules_per_kg_kelvin: float


@dataclass(frozen=True, slots=True)
class OwnBody:
    """What a shop knows better of a layer, in the units of `Body`; None where it does not."""

    mm_pressed: float | None = None
    mm_open: float | None = None
    conductivity_pressed: float | None = None
    conductivity_open: float | None = None
    kg_per_square_metre: float | None = None
    joules_per_kg_kelvin: float | None = None


@dataclass(frozen=True, slots=True)
class Thresholds:
    """The bond's temperatures that peels go by, °C, proposed: common practice, no source."""

    hot_until: float = 90.0
    warm_from: float = 65.0
    warm_aim: float = 50.0
    warm_until: float = 40.0
    cold_at: float = 30.0
    cold_above_room: float = 4.0

    def cold(self, room: float) -> float:
        """Return the temperature that counts as cold in this room."""
        return max(self.cold_at, room + self.cold_above_room)


PROPOSED = Thresholds()


@dataclass(frozen=True, slots=True)
class MaterialHeat:
    """A material's carrier and film, as far as the shop knows them better than the table."""

    carrier: Carrier = Carrier.PET
    film: OwnBody | None = None


@dataclass(frozen=True, slots=True)
class FabricHeat:
    """Which of the model's cloths a fabric is like, and how it differs from it."""

    cloth: Cloth
    body: OwnBody = field(default_factory=OwnBody)


@dataclass(frozen=True, slots=True)
class PressHeat:
    """The press's pad, the share of a garment's view that its open platen fills, the room, °C."""

    pad: OwnBody = field(default_factory=OwnBody)
    overhead: float = 0.0
    room: float = 23.0


UNTOLD = PressHeat()
