"""Which page is up, and what people do on the plain pages."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from kiosk.report.content import Report
from kiosk.run.facts import needs_supervisor
from kiosk.run.state import Confirm, Cues, Role, Stage, commands, commands_shift
from kiosk.station.desk.jobs.claim import Claimant, begin_job, claim, release, take_over
from kiosk.station.desk.jobs.finish import Forecast
from kiosk.station.desk.jobs.library import Library, Offer
from kiosk.station.desk.learn.practice import Practice
from kiosk.station.desk.learn.record import PracticeRecord
from kiosk.station.desk.learn.sign_offs import SUPERVISOR, SignOffs
from kiosk.station.desk.people.pin import PinFile, Pins
from kiosk.station.desk.sheet import Page
from kiosk.station.desk.shell import Shell
from kiosk.station.desk.shift.disposal import dispose
from kiosk.station.desk.shift.editing import Editing
from kiosk.station.desk.shift.files import Files
from kiosk.station.desk.shift.handing import Handing
from kiosk.station.desk.work.checks import Checks
from kiosk.station.desk.work.choices import Choosing
from kiosk.station.desk.work.first_card import FirstCard
from kiosk.station.desk.work.trial import Trial


@dataclass(frozen=True, slots=True)
class Identity:
    """This station: its name in claims, and the program's version."""

    station: str
    version: str


class Desk:
    """Pages and the people at them. `entry` is what is being typed, `on_leave` ends the program."""

    def __init__(
        self,
        shell: Shell,
        library: Library,
        pin: PinFile,
        identity: Identity,
        on_leave: Callable[[], None],
    ) -> None:
        self.shell = shell
        self.library = library
        self.identity = identity
        self.on_leave = on_leave
        self.forecast = Forecast(shell.recorder.store)
        self.report: Report | None = None
        self.report_at = (0, 0)  # the topic and the part of it that is on the page
        record = PracticeRecord(shell.recorder.store.path, identity.version, shell.now)
        self.practice = Practice(shell, library, record, self.go, self.go_on)
        self.sign_offs = SignOffs(shell, self.practice, self.go, self.go_on)
        self.page = Page.SIGN_ON
        self.wanted: Path | None = None
        self.entry = ""
        self.offers: tuple[Offer, ...] = ()
        self.offer: Offer | None = None
        self.ticket = ""
        self.passage = 0
        self.pins = Pins(self, pin)
        self.checks = Checks(self)
        self.first = FirstCard(self)
        self.trial = Trial(self)
        self.files = Files(self)
        self.editing = Editing(self)
        self.handing: Handing | None = None
        self.choosing = Choosing(self)
        self.with_reason: Callable[[str], None] = lambda reason: None
        self.learning: Role | None = None
        self.silent: Callable[[], frozenset[str]] = frozenset  # cues that this machine has not

    def start(self) -> None:
        """Record the start and go on where the log left off."""
        if self.shell.state.job is not None:  # a start may call the next garment at once
            self._take_roster()
        self.shell.do(commands.Start(self.identity.version))
        self.files.note()
        self.trial.note()
        for receipt in dispose(
            self.library.jobs, self.shell.state, self.shell.do, self.shell.now()
        ):
            self.shell.say(receipt.message, lasting=True)
        if not self.pins.are_set():
            self.go(Page.CHOOSE_PIN)
        elif self.shell.state.operator:
            self.go_on()

    def go(self, page: Page) -> None:
        """Turn to a page with nothing typed yet."""
        self.entry = ""
        self.page = page
        if page in (Page.JOBS, Page.PRACTICE, Page.FILES):
            self.library.read()
        if page in (Page.JOBS, Page.PRACTICE):
            self.offers = self.library.offers()

    def go_on(self) -> None:
        """Turn to the job at the press, to the jobs, or to signing on."""
        state = self.shell.state
        if not state.operator:
            self.go(Page.SIGN_ON)
        elif state.job is None and self.wanted is not None:
            wanted, self.wanted = self.wanted, None
            self.look_at(self.library.offer(wanted))
        elif state.job is None:
            self.go(Page.JOBS)
        else:
            self._take_roster()
            self.go(Page.WORK)

    def _take_roster(self) -> None:
        self.shell.rosters.take(self.library.jobs / self.shell.state.current)

    def type(self, key: str, longest: int) -> None:
        """Add a typed key; a notice over the field makes way."""
        self.shell.hush()
        self.entry = (self.entry + key)[:longest]

    def erase(self) -> None:
        """Take the last typed key back."""
        self.entry = self.entry[:-1]

    # -- people -----------------------------------------------------------

    def sign_on(self, operator: str) -> None:
        """Give the station to an operator; whoever is new here confirms each phase."""
        if not operator:
            return
        confirm = self.shell.state.operators.get(operator, Confirm.EACH)
        if self.shell.do(commands.SignOn(operator, confirm)).refusal is None:
            self.go_on()

    def hand_over(self) -> None:
        """Tell what is where, and who comes; a hold ends, the job stays where it is."""
        self.handing = Handing(self)
        self.go(Page.HAND_OVER)

    # -- jobs -------------------------------------------------------------

    def look_at(self, offer: Offer) -> None:
        """Open a job's set-up, or what is wrong with it."""
        self.offer = self.library.offer(offer.folder)
        self.forecast.look()
        self.go(Page.SET_UP if self.offer.plan is not None else Page.FAULTS)

    def look_at_heat(self, passage: int = 0) -> None:
        """Turn to the temperatures of one pass of the job that is looked at, by its number."""
        self.passage = passage
        self.go(Page.HEAT)

    def needs_supervisor(self) -> bool:
        """Whether the job may only be begun with the supervisor's PIN."""
        offer = self.offer
        if offer is None or offer.plan is None or self.begun(offer):
            return False
        return needs_supervisor(offer.plan) or bool(offer.questions)

    def begun(self, offer: Offer) -> bool:
        """Whether the job was begun at this station already."""
        return offer.folder.name in self.shell.state.jobs

    def start_job(self) -> None:
        """Begin the job that is set up: columns confirmed, with the supervisor's PIN if needed."""
        offer = self.offer
        if offer is not None and offer.guessed and not self._columns_known(offer):
            self.go(Page.COLUMNS)
        elif self.needs_supervisor():
            self.ask_pin(self.claim_job)
        else:
            self.claim_job()

    def confirm_columns(self) -> None:
        """Take the roster's columns as they were read, and go on."""
        if self.offer is not None:
            self.shell.do(commands_shift.ConfirmColumns(*self.offer.confirmable))
            self.start_job()

    def _columns_known(self, offer: Offer) -> bool:
        """Whether somebody confirmed this roster's columns, or its job began with them."""
        confirmed = self.shell.state.columns.get(offer.folder.name)
        return self.begun(offer) or confirmed == offer.taken

    @property
    def claimant(self) -> Claimant:
        """This station as one that asks for jobs."""
        return Claimant(self.identity.station, self.shell.recorder.store)

    def claim_job(self) -> None:
        """Claim the job's folder and begin it, or take it up again."""
        begin_job(self, claim)

    def take_job_over(self) -> None:
        """Begin a job that another station holds: a supervisor knows it no longer works on it."""
        begin_job(self, take_over)

    def leave_job(self) -> None:
        """Put the job back, open or done, and give up its claim; a hold ends."""
        self.end_hold()
        key = self.shell.state.current
        if self.shell.do(commands.LeaveJob()).refusal is None:
            release(self.library.jobs / key, self.claimant)
            self.go(Page.JOBS)

    def skip(self, reason: str) -> None:
        """Leave out the pre-press at hand."""
        self._after_hold(commands.Skip(reason))

    def put_aside(self, reason: str) -> None:
        """Send the garment at hand to the end of the queue."""
        self._after_hold(commands.PutAside(reason))

    def _after_hold(self, command: commands.Command) -> None:
        self.end_hold()
        self.shell.do(command)
        self.go(Page.WORK)

    def end_hold(self) -> None:
        """Restart, where it is held."""
        if self.shell.state.held is not None:
            down = self.shell.now().clock
            self.shell.do(commands.Forward(commands.Meaning(commands.Verb.RESTART), down))

    # -- the supervisor ---------------------------------------------------

    def ask_pin(self, then: Callable[[], None] | None = None) -> None:
        """Ask for the supervisor's PIN, then do what needs it."""
        self.pins.ask(then or (lambda: self.go(Page.SUPERVISOR)))

    def see_to(self, part: commands_shift.SeeTo) -> None:
        """Record that a part of a press was seen to."""
        self.shell.do(part)

    def decide(self, ticket: str) -> None:
        """Open one garment for a decision."""
        self.ticket = ticket
        self.go(Page.GARMENT)

    def rule(self, stage: Stage) -> None:
        """Ask for the reason, then set where the garment goes."""

        def decided(reason: str) -> None:
            self.shell.do(commands.Rule(self.ticket, stage, SUPERVISOR, reason))

        self.with_reason = decided
        self.go(Page.REASON)

    def press_again(self) -> None:
        """Ask for the reason, then allow one more final press."""

        def decided(reason: str) -> None:
            self.shell.do(commands.AllowRepress(self.ticket, SUPERVISOR, reason))

        self.with_reason = decided
        self.go(Page.REASON)

    # -- sounds and keys --------------------------------------------------

    def cues(self) -> Cues:
        """What is heard and felt: as somebody set it here, else as the shop's file has it."""
        own = self.shell.state.cues
        return own if own is not None else Cues(voice=self.library.station.voice)

    def set_cues(self, wanted: commands.SetCues) -> None:
        """Turn cues on or off, for good."""
        self.shell.do(wanted)

    def learn(self, role: Role) -> None:
        """Wait for the key that shall have `role`."""
        self.learning = role
        self.go(Page.LEARN_KEY)

    def key_pressed(self, scancode: int) -> bool:
        """Take a key that was waited for; return whether one was."""
        if self.page is not Page.LEARN_KEY or self.learning is None:
            return False
        if self.shell.do(commands.LearnKey(self.learning, scancode)).refusal is None:
            self.learning = None
            self.go(Page.KEYS)
        return True

    def forget_keys(self) -> None:
        """Go back to the keys that the program knows."""
        self.shell.do(commands.ForgetKeys())

    def reason(self, reason: str) -> None:
        """Do what waited for a reason."""
        self.with_reason(reason)
        self.go_on()
