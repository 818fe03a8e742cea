"""What a shop tells: policy, checks, upkeep, its tablet; what the heat model is told."""

from collections.abc import Mapping
from dataclasses import field
from enum import Enum
from fractions import Fraction

from kiosk.catalog.base import dataclass
from kiosk.catalog.base.quantities import Degrees, Seconds, TemperatureStep


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


@dataclass(frozen=True, slots=True)
class Range:
    """A moment in seconds after opening, as the 80 % range and its middle."""

    low: float
    middle: float
    high: float


class Demand(Enum):
    """How hard a rule holds. ASKED: a supervisor may let the work go on, with a reason."""

    NO = "no"
    ASKED = "asked"
    REQUIRED = "required"


class Approver(Enum):
    """Who may approve the first garment of a lot."""

    OPERATOR = "operator"  # also whoever pressed it
    ANOTHER = "another"  # anybody but whoever pressed it
    SUPERVISOR = "supervisor"


class Part(Enum):
    """What of a press wears with its closings."""

    PAD = "pad"
    COVER_SHEET = "cover_sheet"
    LUBRICATION = "lubrication"


@dataclass(frozen=True, slots=True)
class Verify:
    """When a press is to be checked and what passes.

    `offset` and `spread` None: the press's tolerance, and twice that (common practice, no
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
    """What the shop allows; defaults as in design.md section 5. `scrap_limit` 0: none.

    `trial`: whether a setting that rests on a guess is tried before its lot. `proof`: whether a
    job begins only with its garments' drawings approved.
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
    """The tablet: screen's diagonal in inches, language, units, voice, `still` without motion."""

    screen_inches: float = 10.1
    language: str = "en"
    temperature: Degrees = Degrees.F
    millimetres: bool = False
    voice: bool = False
    still: bool = False


@dataclass(frozen=True, slots=True)
class Database:
    """The shop's server, by libpq's connection string ("": none); whether it must prove itself."""

    address: str = ""
    verify_server: bool = True


FAMILIES = ("one-piece", "two-layer", "three-layer", "staged-peel")
"""The procedure families; three-layer holds all stacks of three layers or more."""

QUIZ_LOOKS_BACK = 10
"""How many of the last quiz answers are looked at, and of the last slips."""


@dataclass(frozen=True, slots=True)
class SignOffRule:
    """The criteria of one family.

    `clean_garments` in a row without help and without a miss, `slips_caught` of the last slips
    on the bench, all but one, and `slip_kinds` of them, `quiz_right` of the last ten answers
    about the family, all on `days` days with `hours_between` them; a sign-off is good for
    `valid_days`. A garment with more than `false_alarms` is not clean.
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
    """Return the shop's rule for `family`, or the plain one where it has none."""
    return rules.get(family, PLAIN)
