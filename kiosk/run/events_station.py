"""What happened to the station itself: starts, people, its clock, its record."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.run.event import Event
from kiosk.run.model import Confirm


@dataclass(frozen=True, slots=True)
class StationStarted(Event):
    """The program started; the first of a log says whether it is a simulation."""

    version: str
    simulated: bool


@dataclass(frozen=True, slots=True)
class SignedOn(Event):
    """An operator took the station; opens a shift when none is open."""

    operator: str
    confirm: Confirm


@dataclass(frozen=True, slots=True)
class SignedOff(Event):
    """A supervisor signed an operator off for a procedure family, until wall time `until`.

    `met` whether practice had shown all that the shop asks for; an `until` that is past
    takes an earlier sign-off back.
    """

    operator: str
    family: str
    until: float
    supervisor: str
    met: bool


@dataclass(frozen=True, slots=True)
class HandedOver(Event):
    """The shift ended; what the one who goes told the one who comes (`to`, "" for nobody).

    `slot` is the ticket at the press, `rack` the cooling ones, `aside` those that wait for a
    person; `setting` what was last read from the press, `verified` whether its check held then.
    `notes` are ids of open questions (`handover.<id>` is the word).
    """

    operator: str
    to: str = ""
    job: str = ""
    slot: str = ""
    rack: tuple[str, ...] = ()
    aside: tuple[str, ...] = ()
    setting: int | None = None
    verified: bool = False
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class WallClockMoved(Event):
    """The wall clock jumped against the steady one by `seconds`; no dwell changes."""

    seconds: float


@dataclass(frozen=True, slots=True)
class Refused(Event):
    """A tap that was turned away, where the record of it matters (wrong read, second final)."""

    reason: str
    ticket: str = ""


@dataclass(frozen=True, slots=True)
class LogSalvaged(Event):
    """This log was made of the `kept` events that could be read of a damaged one.

    That one is set aside as `aside`; `behind_gap` of the events come from behind a part that
    could not be read. Every ticket still open is of unknown outcome from here on.
    """

    aside: str
    kept: int
    behind_gap: int
