"""What happened when a setting that rests on guesses was tried before its lot."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.run.state.event import Event
from kiosk.run.state.rules import Tried


@dataclass(frozen=True, slots=True)
class TrialBegun(Event):
    """A piece of the same cloth goes to the press; its heat counts for no garment."""

    job: str
    articles: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TrialByFirst(Event):
    """The first garment of an article is its trial: its card says what was found."""

    job: str
    article: str


@dataclass(frozen=True, slots=True)
class TrialJudged(Event):
    """A trial was peeled, looked over and stretched by a person.

    `tried` are the materials and the fabric with the setting they were tried at; `faults`
    what was found (`peel` or classes of `kiosk.run.state.classes`), none where it passed; `by`
    initials or "supervisor"; `ticket` the first garment, "" for a piece of cloth.
    """

    job: str
    articles: tuple[str, ...]
    tried: tuple[Tried, ...]
    passed: bool
    by: str
    faults: tuple[str, ...] = ()
    ticket: str = ""


@dataclass(frozen=True, slots=True)
class TrialLeft(Event):
    """A trial on a piece of cloth ended without a finding."""

    job: str


@dataclass(frozen=True, slots=True)
class TrialNoted(Event):
    """The shop's file of one material or fabric names the trial as its source, or cannot.

    `why` is empty where it was written, otherwise the id of why it never will be.
    """

    tried: Tried
    why: str = ""
