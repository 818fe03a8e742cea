"""What a shop asks for before and while a lot is pressed, and what of it was kept."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.catalog.model import Approver as Approver
from kiosk.catalog.model import Demand as Demand
from kiosk.catalog.model import Policy, Press
from kiosk.run.state.event import Now


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
    `trial`: a setting that rests on a guess is tried before its lot. `tolerance`: whole degrees
    of the plan's unit that the press may show above or below what is asked.
    """

    verify: Demand = Demand.NO
    offset_most: float = 0.0
    spread_most: float = 0.0
    verify_seconds: float = 4 * 3600.0
    idle_seconds: float = 3600.0
    first_article: Demand = Demand.NO
    approver: Approver = Approver.SUPERVISOR
    scrap_limit: int = 0
    trial: Demand = Demand.NO
    tolerance: int = 0


NO_RULES = Rules()
"""Nothing is asked."""


def rules_of(policy: Policy, press: Press) -> Rules:
    """Return the rules of a shop for a job on one of its presses, in that press's unit."""
    verify = policy.verify
    tolerance = float(press.tolerance.exact_in(press.unit))
    offset, spread = (
        None if step is None else float(step.exact_in(press.unit))
        for step in (verify.offset, verify.spread)
    )
    return Rules(
        verify.demand,
        tolerance if offset is None else offset,
        2 * tolerance if spread is None else spread,
        float(verify.valid.value),
        float(verify.idle.value),
        policy.first_article.demand,
        policy.first_article.approver,
        policy.scrap_limit,
        policy.trial,
        int(press.tolerance.exact_in(press.unit)),
    )


@dataclass(frozen=True, slots=True)
class Check:
    """The last check of the press: at which setting, when; `waived` by a supervisor's word."""

    press: str
    temperature: int
    at: Now
    passed: bool
    waived: bool = False


@dataclass(frozen=True, slots=True)
class First:
    """The first garment of an article (a setting, fabric and materials) and who pressed it."""

    article: str
    ticket: str
    operator: str
    approved: bool = False


@dataclass(frozen=True, slots=True)
class Scrapped:
    """A scrap that counts toward the shop's limit for its cause."""

    ticket: str
    cause: str


@dataclass(frozen=True, slots=True)
class Tries:
    """Wrong entries of the PIN since the last right one, the latest at `at`."""

    wrong: int
    at: Now


@dataclass(frozen=True, slots=True)
class Tried:
    """A material or fabric (`kind`) by its key, with the setting (`at`) of its trial."""

    kind: str
    key: str
    at: str


@dataclass(frozen=True, slots=True)
class Finding:
    """A passed trial that the shop's files do not have yet: of what, when (wall time), by whom."""

    tried: Tried
    wall: float
    by: str
