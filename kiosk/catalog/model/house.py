"""The shop's settings: policy, checks, upkeep, its tablet, sign-offs, and heat model inputs."""

from collections.abc import Mapping
from dataclasses import field
from enum import Enum
from fractions import Fraction

from kiosk.catalog.base import dataclass
from kiosk.catalog.base.quantities import Degrees, Seconds, TemperatureStep


class Cloth(Enum):
    """The two cloths of the heat model."""

    LIGHT = "light"
    HEAVY = "heavy"


class Carrier(Enum):
    """The sheet that a film comes on."""

    PET = "pet"
    PAPER = "paper"


@dataclass(frozen=True, slots=True)
class Body:
    """A layer's thermal data: mm and W/mK pressed and open, kg/m2, J/kgK."""

    mm_pressed: float
    mm_open: float
    conductivity_pressed: float
    conductivity_open: float
    kg_per_square_metre: float
    joules_per_kg_kelvin: float


@dataclass(frozen=True, slots=True)
class OwnBody:
    """The shop's own data for a layer, in the units of `Body`; None where it has none."""

    mm_pressed: float | None = None
    mm_open: float | None = None
    conductivity_pressed: float | None = None
    conductivity_open: float | None = None
    kg_per_square_metre: float | None = None
    joules_per_kg_kelvin: float | None = None


@dataclass(frozen=True, slots=True)
class Thresholds:
    """The bond temperatures for each peel, °C; defaults are common practice, no source."""

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
    """The shop's own data for a material's carrier and film, in place of the model's table."""

    carrier: Carrier = Carrier.PET
    film: OwnBody | None = None


@dataclass(frozen=True, slots=True)
class FabricHeat:
    """The model cloth that a fabric is like, and how it differs from it."""

    cloth: Cloth
    body: OwnBody = field(default_factory=OwnBody)


@dataclass(frozen=True, slots=True)
class PressHeat:
    """The press's pad, the share of a garment's view its open platen fills, the room in °C."""

    pad: OwnBody = field(default_factory=OwnBody)
    overhead: float = 0.0
    room: float = 23.0


DEFAULT_PRESS_HEAT = PressHeat()


@dataclass(frozen=True, slots=True)
class Range:
    """A time in seconds after opening, as an 80 % range and its middle."""

    low: float
    middle: float
    high: float


class Demand(Enum):
    """How strict a rule is. ASKED: a supervisor can let the work go on, with a reason."""

    NO = "no"
    ASKED = "asked"
    REQUIRED = "required"


class Approver(Enum):
    """Who may approve the first garment of a lot."""

    OPERATOR = "operator"  # any operator, also the one who pressed it
    ANOTHER = "another"  # anybody but the one who pressed it
    SUPERVISOR = "supervisor"


class PressPart(Enum):
    """The parts of a press that wear with its closings."""

    PAD = "pad"
    COVER_SHEET = "cover_sheet"
    LUBRICATION = "lubrication"


@dataclass(frozen=True, slots=True)
class Verify:
    """When a press must be checked and what passes.

    `offset` and `spread` default to the press's tolerance and twice that (common practice, no
    source). A check lapses after `valid`, and after `idle` without a move.
    """

    demand: Demand = Demand.NO
    offset: TemperatureStep | None = None
    spread: TemperatureStep | None = None
    valid: Seconds = Seconds(Fraction(4 * 3600), "4 h")
    idle: Seconds = Seconds(Fraction(3600), "1 h")


@dataclass(frozen=True, slots=True)
class FirstArticle:
    """Whether the first garment of a setting and material holds its lot, and who approves it."""

    demand: Demand = Demand.NO
    approver: Approver = Approver.SUPERVISOR


VERIFY = Verify()
FIRST_ARTICLE = FirstArticle()


@dataclass(frozen=True, slots=True)
class Policy:
    """The shop's policy; keys that its file leaves out are as here. `scrap_limit` 0: no limit.

    `trial`: whether a setting that rests on a guess needs a trial before its lot. `proof`:
    whether a job needs its garments' drawings approved before it begins.
    """

    keep_setting: bool = True
    staged_peel: bool = True
    max_closings: int = 2
    guard_fabric: bool = True
    confirm_opening: bool = False
    bare_tack: bool = True
    verify: Verify = VERIFY
    first_article: FirstArticle = FIRST_ARTICLE
    scrap_limit: int = 0
    trial: Demand = Demand.NO
    proof: Demand = Demand.NO


LANGUAGES = ("en", "es")


@dataclass(frozen=True, slots=True)
class StationSettings:
    """The tablet's settings: screen diagonal in inches, language, units, voice, motion or not."""

    screen_inches: float = 10.1
    language: str = "en"
    temperature: Degrees = Degrees.F
    millimetres: bool = False
    voice: bool = False
    still: bool = False


@dataclass(frozen=True, slots=True)
class Database:
    """The shop's server: libpq's connection string ("": none), whether it must prove itself."""

    address: str = ""
    verify_server: bool = True


FAMILIES = ("one-piece", "two-layer", "three-layer", "staged-peel")
"""The procedure families; three-layer covers all stacks of three or more layers."""

QUIZ_LOOKS_BACK = 10
"""The number of recent quiz answers, and of recent slips, that count for a sign-off."""


@dataclass(frozen=True, slots=True)
class SignOffRule:
    """The sign-off criteria of one family.

    `clean_garments` in a row without help or a miss, `slips_caught` slips on the bench with at
    most one missed, of `slip_kinds` kinds, and `quiz_right` of the last ten answers about the
    family, on `days` days with `hours_between` them. A sign-off is valid for `valid_days`. A
    garment with more than `false_alarms` is not clean.
    """

    clean_garments: int = 2
    slips_caught: int = 9
    quiz_right: int = 8
    valid_days: int = 365
    slip_kinds: int = 3
    days: int = 2
    hours_between: int = 12
    false_alarms: int = 1


PLAIN = SignOffRule()


def rule_of(rules: Mapping[str, SignOffRule], family: str) -> SignOffRule:
    """Return the shop's rule for `family`, or the default rule if it has none."""
    return rules.get(family, PLAIN)
