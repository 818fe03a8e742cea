"""What a shop asks for around its garments: policy, checks, first garments, upkeep, its tablet."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from kiosk.catalog.base.quantities import Degrees, Seconds, TemperatureStep


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
    valid: Seconds = Seconds(Fraction(4 * 3600), "4 h")  # noqa: RUF009 - frozen
    idle: Seconds = Seconds(Fraction(3600), "1 h")  # noqa: RUF009 - frozen


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


@dataclass(frozen=True, slots=True)
class StationSettings:
    """The tablet: screen's diagonal in inches, language, units, voice, `still` without motion."""

    screen_inches: float = 10.1
    language: str = "en"
    temperature: Degrees = Degrees.F
    millimetres: bool = False
    voice: bool = False
    still: bool = False


FAMILIES = ("one-piece", "two-layer", "three-layer", "staged-peel")
"""The procedure families; three-layer holds all stacks of three layers or more."""

QUIZ_LOOKS_BACK = 10
"""How many of the last quiz answers are looked at."""


@dataclass(frozen=True, slots=True)
class SignOffRule:
    """The criteria of one family.

    `clean_garments` in a row without help and without a miss, `slips_caught` of those put in
    on purpose, `quiz_right` of the last ten answers; a sign-off is good for `valid_days`.
    """

    clean_garments: int = 2
    slips_caught: int = 3
    quiz_right: int = 8
    valid_days: int = 365


PLAIN = SignOffRule()


def rule_of(rules: Mapping[str, SignOffRule], family: str) -> SignOffRule:
    """Return the shop's rule for `family`, or the plain one where it has none."""
    return rules.get(family, PLAIN)
