"""The desk: which page is up, what is being typed, which job is open."""

from __future__ import annotations

import time
from collections.abc import Callable
from concurrent.futures import Executor
from pathlib import Path
from string import ascii_uppercase
from typing import TYPE_CHECKING, Any, TypeVar

from kiosk.catalog.base import dataclass
from kiosk.log.record import Recorder
from kiosk.run.state import ConfirmMode, Cues, Now, TicketStage, commands
from kiosk.station.desk.jobs.finish import Forecast
from kiosk.station.desk.jobs.library import JobOffer, Library, as_begun
from kiosk.station.desk.sheet import Button, PageKind
from kiosk.station.desk.shell import Shell
from kiosk.station.desk.side_files import PinFile
from kiosk.words import Words

if TYPE_CHECKING:
    from kiosk.station.desk.sending_process import SendingProcess

SUPERVISOR = "supervisor"  # the person, in events that only a supervisor makes
Subject = TypeVar("Subject")
Judge = Callable[[str, str, TicketStage], None]
"""Asks for a garment's defect and its cause: its ticket, its number, its result."""


@dataclass(frozen=True, slots=True)
class Identity:
    """This station's name in claims, and the program's version."""

    station: str
    version: str


@dataclass(frozen=True, slots=True)
class StationParts:
    """The parts of a station; `now` gives the moment, its `clock` is that of the inputs.

    `executor` solves when a garment can be peeled; None for a thread of the station's own.
    `sending` sends the record if the shop has a server.
    """

    recorder: Recorder
    library: Library
    pin: PinFile
    identity: Identity
    now: Callable[[], Now]
    executor: Executor | None = None
    sending: SendingProcess | None = None


class Desk:
    """The current page and what all pages share.

    `entry` is the text being typed; `on_leave` ends the program. What one subject keeps between its
    pages is its own, made and returned by `of`.
    """

    def __init__(
        self,
        shell: Shell,
        library: Library,
        pin: PinFile,
        identity: Identity,
        on_leave: Callable[[], None],
        sending: SendingProcess | None = None,
    ) -> None:
        self.shell = shell
        self.library = library
        self.pin = pin
        self.identity = identity
        self.on_leave = on_leave
        self.sending = sending  # sends the record if the shop has a server
        self.forecast = Forecast(shell.recorder.store)
        self.page = PageKind.SIGN_ON
        self.job_to_open: Path | None = None
        self.entry = ""
        self.offers: tuple[JobOffer, ...] = ()
        self.offer: JobOffer | None = None
        self.silent: Callable[[], frozenset[str]] = frozenset  # cues that this machine cannot give
        self.try_out: Callable[[str], None] = lambda cue: None  # plays one cue as a test
        self.awake: Callable[[], bool] = lambda: True  # whether this screen can be kept awake
        self.judge: Judge = lambda ticket, number, stage: None
        self.closing: list[Callable[[], None]] = []  # what to do when the program ends
        self._subjects: dict[object, Any] = {}

    def of(self, subject: Callable[[Desk], Subject]) -> Subject:
        """Return this desk's one `subject`, made on first use."""
        if subject not in self._subjects:
            self._subjects[subject] = subject(self)
        found: Subject = self._subjects[subject]
        return found

    def has_news(self) -> bool:
        """Return whether the shop's server sent something since the last call."""
        return self.sending is not None and self.sending.has_news()

    def close(self) -> None:
        """End the process that sends the record."""
        if self.sending is not None:
            self.sending.close()

    # -- pages ------------------------------------------------------------

    def go(self, page: PageKind) -> None:
        """Turn to a page, with nothing typed yet."""
        self.entry = ""
        self.page = page
        if page in (PageKind.JOBS, PageKind.PRACTICE, PageKind.FILES):
            self.library.read()
        if page in (PageKind.JOBS, PageKind.PRACTICE):
            self.offers = tuple(map(self._as_begun, self.library.offers()))

    def go_on(self) -> None:
        """Turn to the job at the press, else to the jobs, else to signing on."""
        state = self.shell.state
        if not state.operator:
            self.go(PageKind.SIGN_ON)
        elif state.job is None and self.job_to_open is not None:
            folder, self.job_to_open = self.job_to_open, None
            self.look_at(self.library.offer(folder))
        elif state.job is None:
            self.go(PageKind.JOBS)
        else:
            self.take_roster()
            self.go(PageKind.WORK)

    def look_at(self, offer: JobOffer) -> None:
        """Open a job's set-up, or its faults, from the files as they are now."""
        self.library.read()
        self.offer = self._as_begun(self.library.offer(offer.folder))
        self.forecast.forget_cycles()
        self.go(PageKind.SET_UP if self.offer.plan is not None else PageKind.FAULTS)

    def _as_begun(self, offer: JobOffer) -> JobOffer:
        """Return the offer with the plan its job was begun with, if it is under way."""
        run = self.shell.state.jobs.get(offer.folder.name)
        return offer if run is None else as_begun(offer, run.plan, run.plan_hash)

    def take_roster(self) -> None:
        """Read the names of the job at the press."""
        self.shell.rosters.open(self.library.jobs / self.shell.state.current)

    def type(self, key: str, longest: int) -> None:
        """Add a typed key, and remove the notice over the field."""
        self.shell.hush()
        self.entry = (self.entry + key)[:longest]

    def erase(self) -> None:
        """Delete the last typed key."""
        self.entry = self.entry[:-1]

    # -- the press --------------------------------------------------------

    def sign_on(self, operator: str) -> None:
        """Sign an operator on; a new one confirms each phase."""
        confirm = self.shell.state.operators.get(operator, ConfirmMode.EACH)
        if self.shell.do(commands.SignOn(operator, confirm)).refusal is None:
            self.go_on()

    def by_initials(self, take: Callable[[str], None]) -> None:
        """Call `take` with the typed initials; without any the sign-on is refused with a notice."""
        if self.entry.strip():
            take(self.entry.strip())
        else:
            self.shell.do(commands.SignOn("", ConfirmMode.EACH))

    def end_hold(self) -> None:
        """Restart the station if it is on hold."""
        if self.shell.state.held is not None:
            down = self.shell.now().clock
            self.shell.do(commands.Forward(commands.Meaning(commands.Verb.RESTART), down))

    def cues(self) -> Cues:
        """Return which cues are on: as chosen at this station, else as in the shop's file."""
        own = self.shell.state.cues
        return own if own is not None else Cues(voice=self.library.station.voice)


PIN_LONGEST = 8
INITIALS_LONGEST = 3
KEYS = f"{ascii_uppercase}Ñ1234567890-,."  # of the keyboard, beside its space bar


def digits(desk: Desk, words: Words, longest: int = PIN_LONGEST) -> tuple[Button, ...]:
    """Return a pad of ten digits and an eraser."""
    return (*_keys(desk, "1234567890", longest), Button(words("page.erase"), desk.erase))


def point(desk: Desk, words: Words, longest: int) -> Button:
    """Return the key of the language's decimal sign."""
    sign = words.number(".")
    return Button(sign, lambda: desk.type(sign, longest))


def letters(desk: Desk, words: Words) -> tuple[Button, ...]:
    """Return a pad of the alphabet and an eraser."""
    keys = _keys(desk, ascii_uppercase, INITIALS_LONGEST)
    return (*keys, Button(words("page.erase"), desk.erase))


def keyboard(desk: Desk, words: Words, longest: int) -> tuple[Button, ...]:
    """Return a pad of letters, digits, a few signs, a space and an eraser."""
    return (
        *_keys(desk, KEYS, longest),
        Button(words("page.space"), lambda: desk.type(" ", longest)),
        Button(words("page.erase"), desk.erase),
    )


def _keys(desk: Desk, characters: str, longest: int) -> tuple[Button, ...]:
    def key(character: str) -> Button:
        return Button(character, lambda: desk.type(character, longest))

    return tuple(key(character) for character in characters)


def day_of(wall: float) -> str:
    """Return the local date of a wall time, ISO 8601."""
    return time.strftime("%Y-%m-%d", time.localtime(wall))


def moment_of(wall: float, now: float) -> str:
    """Return the local time of day of a wall time, with the date before it if that is not today."""
    hour = time.strftime("%H:%M", time.localtime(wall))
    return hour if day_of(wall) == day_of(now) else f"{day_of(wall)} {hour}"


def hidden(entry: str) -> str:
    """Return a typed PIN as dots."""
    return "●" * len(entry)
