"""What a shop asks for before and while a lot is pressed. Off where the shop says nothing."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


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


@dataclass(frozen=True, slots=True)
class Rules:
    """One job's rules; they are in its start record, so that replay reads no file.

    `verify`: the press is checked at its setting before heat. The check holds where the mean
    of its five readings is within `offset_most` of the set value, highest and lowest are at
    most `spread_most` apart (degrees of the plan's unit) and the paper holds on every side; it
    lapses after `verify_seconds`, another setting, a restart of the machine, or `idle_seconds`
    without a move. Common practice, no source.

    `first_article`: the first garment of each setting and material holds the lot until it is
    approved by `approver`. `scrap_limit` scraps of one cause hold the job (0: no limit).
    """

    verify: Demand = Demand.NO
    offset_most: float = 0.0
    spread_most: float = 0.0
    verify_seconds: float = 4 * 3600.0
    idle_seconds: float = 3600.0
    first_article: Demand = Demand.NO
    approver: Approver = Approver.SUPERVISOR
    scrap_limit: int = 0


NO_RULES = Rules()
"""Nothing is asked."""
