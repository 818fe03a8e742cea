"""What the shop's rules keep: the press's check, first garments, scraps, wrong PINs."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.run.at import Now


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
