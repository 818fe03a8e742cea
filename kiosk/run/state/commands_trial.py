"""What is asked of the station about a trial before a lot; part of `commands`."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.run.state.rules import Tried


@dataclass(frozen=True, slots=True)
class BeginTrial:
    """A piece of the same cloth goes to the press."""


@dataclass(frozen=True, slots=True)
class TryFirst:
    """The first garment is to be the trial."""


@dataclass(frozen=True, slots=True)
class JudgeTrial:
    """The piece was peeled, looked over and stretched; `faults` is empty where it passed."""

    faults: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LeaveTrial:
    """The piece comes off the press without a finding."""


@dataclass(frozen=True, slots=True)
class NoteTrial:
    """The shop's file names the trial as its source now, or `why` it never will."""

    tried: Tried
    why: str = ""
