"""The station without its window: which page is up, what a tap asks of the record, what to say."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from pathlib import Path

from kiosk.catalog.message import Message, say
from kiosk.log.recorder import Outcome, Recorder
from kiosk.run import commands, events
from kiosk.run.commands import Command
from kiosk.run.model import Confirm, Now, Stage, State
from kiosk.run.view import view
from kiosk.run.views import Ready, View
from kiosk.station.claim import CannotClaim, claim, release, take_over
from kiosk.station.library import Library, Offer, Rosters
from kiosk.station.pin import PinFile

NOTICE_SECONDS = 4.0


class Page(Enum):
    """What fills the screen."""

    CHOOSE_PIN = "choose pin"
    SIGN_ON = "sign on"
    JOBS = "jobs"
    SET_UP = "set up"
    WORK = "work"
    PIN = "pin"
    SUPERVISOR = "supervisor"


class Cue(Enum):
    """What is to be heard."""

    COUNT_IN = "count in"
    TIME_UP = "time up"
    DUE = "due"
    OVER = "over"
    REFUSED = "refused"
    DONE = "done"


@dataclass(frozen=True, slots=True)
class Identity:
    """This station: a name for claims, the program's version."""

    station: str
    version: str


class Shell:
    """Turns what people do into commands for the recorder, and keeps the page that is up.

    `now` gives the moment; `cue` is called with what is to be heard.
    """

    def __init__(
        self,
        recorder: Recorder,
        library: Library,
        pin: PinFile,
        identity: Identity,
        now: Callable[[], Now],
        cue: Callable[[Cue], None],
    ) -> None:
        self.recorder = recorder
        self.library = library
        self.pin = pin
        self.identity = identity
        self.now = now
        self.cue = cue
        self.rosters = Rosters(library)
        self.page = Page.SIGN_ON
        self.offer: Offer | None = None
        self.focus = ""
        self.leaving = False
        self._notice: Message | None = None
        self._notice_until = 0.0
        self._after_pin = Page.SUPERVISOR
        self._due: frozenset[str] = frozenset()
        self._over_at = 0.0

    @property
    def state(self) -> State:
        """The station's state."""
        return self.recorder.state

    def start(self) -> None:
        """Record the start and go on where the log left off."""
        self.do(commands.Start(self.identity.version))
        if not self.pin.is_set():
            self.page = Page.CHOOSE_PIN
        elif self.state.operator:
            self._go_on()

    def _go_on(self) -> None:
        if self.state.job is not None:
            self.rosters.take(self.library.jobs / self.state.current)
            self.page = Page.WORK
        else:
            self.page = Page.JOBS

    # -- commands ---------------------------------------------------------

    def do(self, command: Command) -> Outcome:
        """Hand a command to the recorder; a refusal becomes a notice and a dull click."""
        outcome = self.recorder.do(command, self.now())
        if outcome.refusal is not None:
            self.say(outcome.refusal)
            self.cue(Cue.REFUSED)
        for event in outcome.events:
            self._heard(event)
        return outcome

    def _heard(self, event: events.Event) -> None:
        if isinstance(event, events.Closed) and event.starts_in > 0:
            self.cue(Cue.COUNT_IN)
        elif isinstance(event, events.TimeUp):
            self.cue(Cue.TIME_UP)
        elif isinstance(event, events.ReadBack) and not event.right:
            self.say(say("station.wrong_read", read=event.read))
            self.cue(Cue.REFUSED)
        elif isinstance(event, events.JobDone):
            self.cue(Cue.DONE)
        elif isinstance(event, events.TicketCalled):
            self.check_row(event.ticket)

    def work(self, command: Command) -> None:
        """Do what the work screen asks; an inspection ends the look at one garment."""
        if isinstance(command, commands.Forward):
            self.check_row(command.meaning.ticket)
        outcome = self.do(command)
        if outcome.refusal is None and isinstance(command, commands.Inspect):
            self.focus = ""

    def check_row(self, ticket: str) -> None:
        """Stop a garment whose roster row changed since its job began."""
        job = self.state.job
        if job is None or ticket not in job.tickets:
            return
        garment = job.tickets[ticket].garment
        self.rosters.refresh()
        if self.rosters.digest(garment.line) != garment.digest:
            self.do(commands.RowChanged(garment.line))

    def tick(self) -> None:
        """Let the clock end what it ends, write what is still to be written, sound what is due."""
        now = self.now()
        self.recorder.retry()
        heat = self.state.heat
        if heat is not None and not heat.rang and heat.deadline is not None:
            if now.boot != heat.closed.boot or now.clock >= heat.deadline:
                self.do(commands.Tick())
        self._sound_rack(now)

    def _sound_rack(self, now: Now) -> None:
        if self.page is not Page.WORK or self.state.job is None or not self.state.job.rack:
            self._due = frozenset()
            return
        chips = self.view(now).chips
        due = frozenset(chip.ticket for chip in chips if chip.ready is not Ready.SOON)
        if due - self._due:
            self.cue(Cue.DUE)
        self._due = due

    def view(self, now: Now) -> View:
        """Return what the work screen shows."""
        return view(self.state, now, self.focus)

    # -- notices ----------------------------------------------------------

    def say(self, message: Message) -> None:
        """Show a message for a few seconds."""
        self._notice = message
        self._notice_until = self.now().clock + NOTICE_SECONDS

    def notices(self, now: Now) -> tuple[Message, ...]:
        """Return what is to be shown beside the page: not recorded, then the last notice."""
        found: list[Message] = []
        if self.recorder.unrecorded:
            found.append(say("station.not_recorded", count=self.recorder.unrecorded))
        if self._notice is not None and now.clock < self._notice_until:
            found.append(self._notice)
        return tuple(found)

    # -- people -----------------------------------------------------------

    def choose_pin(self, pin: str) -> None:
        """Keep the supervisor's PIN, chosen on the first start."""
        try:
            self.pin.set(pin)
        except ValueError:
            self.say(say("station.pin_short"))
        except OSError as problem:
            self.say(say("station.pin_not_kept", why=str(problem)))
        else:
            self.page = Page.SIGN_ON

    def sign_on(self, operator: str) -> None:
        """Give the station to an operator; whoever is new here confirms each phase."""
        confirm = self.state.operators.get(operator, Confirm.EACH)
        if self.do(commands.SignOn(operator, confirm)).refusal is None:
            self._go_on()

    def hand_over(self) -> None:
        """End the shift; the job stays where it is."""
        if self.do(commands.HandOver()).refusal is None:
            self.page = Page.SIGN_ON

    # -- jobs -------------------------------------------------------------

    def look_at(self, offer: Offer) -> None:
        """Open a job's set-up page."""
        self.offer = self.library.offer(offer.folder)
        self.page = Page.SET_UP

    def start_job(self) -> None:
        """Claim the job that is set up and begin it, or take it up again."""
        offer = self.offer
        if offer is None or offer.plan is None:
            return
        try:
            held = claim(offer.folder, self.identity.station, self.now().wall)
        except CannotClaim as problem:
            self.say(say("station.cannot_claim", why=str(problem)))
            return
        if held.station != self.identity.station:
            self.say(say("station.claimed", station=held.station))
            return
        self._begin(offer)

    def _begin(self, offer: Offer) -> None:
        assert offer.plan is not None  # start_job asked
        self.rosters.take(offer.folder)
        self.page = Page.WORK
        begun = self.do(
            commands.StartJob(
                offer.folder.name,
                offer.plan,
                offer.plan_hash,
                offer.garments(),
                len(offer.questions),
            )
        )
        if begun.refusal is not None:
            self.page = Page.SET_UP

    def leave_job(self) -> None:
        """Put the job back, open or done, and give up its claim."""
        key = self.state.current
        if self.do(commands.LeaveJob()).refusal is None:
            release(self.library.jobs / key, self.identity.station)
            self.page = Page.JOBS

    # -- the supervisor ---------------------------------------------------

    def ask_pin(self) -> None:
        """Ask for the supervisor's PIN."""
        self.page = Page.PIN

    def give_pin(self, pin: str) -> None:
        """Open the supervisor's page if the PIN fits."""
        if self.pin.check(pin):
            self.page = Page.SUPERVISOR
        else:
            self.say(say("station.pin_wrong"))
            self.cue(Cue.REFUSED)

    def back_to_work(self) -> None:
        """Leave a supervisor's page for where the station was."""
        if self.state.operator:
            self._go_on()
        else:
            self.page = Page.SIGN_ON

    def leave_kiosk(self) -> None:
        """End the program: the supervisor asked for it."""
        self.leaving = True

    def allow_repress(self, ticket: str, reason: str) -> None:
        """Let a garment go under the press once more."""
        self.do(commands.AllowRepress(ticket, "supervisor", reason))

    def rule(self, ticket: str, stage: Stage, reason: str) -> None:
        """Decide where a stopped, unknown or rework garment goes."""
        self.do(commands.Rule(ticket, stage, "supervisor", reason))

    def sign_off(self) -> None:
        """Let the operator at the station confirm grouped moves from now on."""
        self.do(commands.SignOn(self.state.operator, Confirm.GROUPED))

    def take_over(self) -> None:
        """Take a job from a station that no longer works on it."""
        if self.offer is not None:
            take_over(self.offer.folder, self.identity.station, self.now().wall)
            self._begin(self.offer)


def station_name(log: Path, host: str) -> str:
    """Return a name for this station's claims: the host and its log's name."""
    return f"{host}/{log.stem}"
