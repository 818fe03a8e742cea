"""First-article and trial cards: steps to take, defects found."""

from dataclasses import replace

from kiosk.catalog.base import MM_PER_INCH, Message, decimal, say
from kiosk.run.facts import LOOKS, final_setting, pass_of, slot_ticket, untried
from kiosk.run.state import DEFECTS, JobRun, Overruled, commands_shift
from kiosk.station.desk.cues import Cue
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.display import with_choices
from kiosk.station.desk.sheet import Button, Sheet, cautions
from kiosk.station.desk.work.checks import hold_on, waive
from kiosk.station.desk.work.trial import Trial
from kiosk.words import Words
from kiosk.words.speak import TOUCH

FIRST_LOOKS = ("lifted_edge", "marks", "stretched")
"""Faults to look for, in this order."""


class FirstCard:
    """Offsets and looks as they are entered.

    `across` and `along` are inches as worn, right and down positive; `distance` lacks its side.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.open = False
        self._clear()

    def _clear(self) -> None:
        self.across: float | None = None
        self.along: float | None = None
        self.distance: float | None = None
        self.looks: tuple[bool, ...] = ()
        self.naming = False  # another defect is being named

    def begin(self) -> None:
        """Start an empty card."""
        self._clear()
        self.open = True
        self._desk.entry = ""

    def close(self) -> None:
        """Put the card away."""
        self.open = False

    @property
    def faults(self) -> tuple[str, ...]:
        """Defect ids that were found."""
        return tuple(fault for fault, found in zip(FIRST_LOOKS, self.looks, strict=False) if found)

    @property
    def millimetres(self) -> bool:
        """Whether lengths are entered in mm; otherwise in inches."""
        desk = self._desk
        return with_choices(desk.library.station, desk.shell.state.display).millimetres

    @property
    def other_defects(self) -> tuple[str, ...]:
        """Defect ids that the card has not ruled out."""
        absent = (*FIRST_LOOKS, *(() if self.across or self.along else ("off_centre",)))
        return tuple(defect.id for defect in DEFECTS if defect.id not in absent)

    def name(self) -> None:
        """Ask what else is wrong."""
        self.naming = True

    def measure(self) -> None:
        """Take the typed distance, refusing an empty one; zero has no side to ask for."""
        entry, self._desk.entry = self._desk.entry, ""
        typed = decimal(f"0{entry}")  # a typed ".2" is valid
        if typed is None or not entry:
            self._desk.shell.say(say("page.lot.not_measured"))
            self._desk.shell.cue(Cue.REFUSED)
            return
        inches = float(typed / MM_PER_INCH) if self.millimetres else float(typed)
        if inches:
            self.distance = inches
        else:
            self._place(0.0)

    def side(self, sign: int) -> None:
        """Take the side of the distance: 1 right or down, -1 left or up."""
        self._place(sign * (self.distance or 0.0))
        self.distance = None

    def _place(self, inches: float) -> None:
        if self.across is None:
            self.across = inches
        else:
            self.along = inches

    def note_fault(self, found: bool) -> None:
        """Take whether the current fault is there."""
        self.looks = (*self.looks, found)

    def back(self) -> None:
        """Take the last entry back; before the first one put the card away."""
        self._desk.entry = ""
        if self.naming:
            self.naming = False
        elif self.looks:
            self.looks = self.looks[:-1]
        elif self.distance is not None:
            self.distance = None
        elif self.along is not None:
            self.along = None
        elif self.across is not None:
            self.across = None
        else:
            self.close()

    def approve(self, ticket: str, approver: str, supervisor: bool = False) -> None:
        """Record that someone approves the garment."""
        self._judge(ticket, True, approver, supervisor)
        self._desk.of(Trial).note()
        self._desk.go_on()

    def turn_down(self, ticket: str, *more: str) -> None:
        """Record that the garment fails, for the faults found and for `more`."""
        operator = self._desk.shell.state.operator
        self._judge(ticket, False, operator, False, more)

    def _judge(
        self,
        ticket: str,
        approved: bool,
        approver: str,
        supervisor: bool,
        more: tuple[str, ...] = (),
    ) -> None:
        faults = (*self.faults, *more)
        command = commands_shift.JudgeFirst(
            ticket, approved, approver, supervisor, self.across, self.along, faults
        )
        if self._desk.shell.do(command).refusal is None:
            self.close()


def trial(desk: Desk, words: Words) -> Sheet:
    """Page of a setting that nobody has tried, or of the next look at the trial piece."""
    job = desk.shell.state.job
    if job is None:
        return Sheet(words("move.trial"), left=Button(words("page.back"), desk.go_on))
    if desk.of(Trial).rehearsal is None or not desk.of(Trial).is_pressed:
        return _begin(desk, words, job)
    if len(desk.of(Trial).looks) < len(LOOKS):
        page = look_over(desk.of(Trial), LOOKS[len(desk.of(Trial).looks)], words)
        return replace(page, cautions=cautions(words, TOUCH))
    return _result(desk, words)


def _begin(desk: Desk, words: Words, job: JobRun) -> Sheet:
    ticket = slot_ticket(job)
    guessed = () if ticket is None else untried(job.plan, pass_of(job, ticket))
    titles = {job.plan.fabric: job.plan.fabric_name, **job.plan.sources.material_titles}
    owners = tuple(titles.get(each.key, each.key) for each in guessed)
    return Sheet(
        title=words("page.trial"),
        lines=(
            words("page.trial.guessed", owners=owners, setting=_setting(job)),
            words("page.trial.what"),
        ),
        choices=(
            Button(words("page.trial.piece"), desk.of(Trial).begin, words("page.trial.piece_line")),
            Button(
                words("page.trial.first"), desk.of(Trial).with_first, words("page.trial.first_line")
            ),
        ),
        left=hold_on(desk, words),
        right=waive(desk, words, job.rules.trial, Overruled.TRIAL),
    )


def _setting(job: JobRun) -> Message | None:
    """Return the final setting of the current garment, or None if there is none."""
    ticket = slot_ticket(job)
    return None if ticket is None else final_setting(job.plan, pass_of(job, ticket))


def look_over(card: FirstCard | Trial, look: str, words: Words) -> Sheet:
    """Page of one fault to look for on a piece or a garment: there or not."""
    return Sheet(
        title=words(f"page.lot.look.{look}"),
        lines=(words(f"page.lot.how.{look}"),),
        choices=(
            Button(words(f"page.lot.free.{look}"), lambda: card.note_fault(False)),
            Button(words(f"page.lot.found.{look}"), lambda: card.note_fault(True)),
        ),
        left=Button(words("page.back"), card.back),
    )


def _result(desk: Desk, words: Words) -> Sheet:
    faults = tuple(words(f"page.lot.found.{fault}") for fault in desk.of(Trial).faults)
    operator = desk.shell.state.operator
    if faults:
        lines = (words("page.trial.faults", faults=faults), words("page.trial.failed_line"))
    else:
        lines = (words("page.trial.no_faults"), words("page.trial.passed_line"))
    return Sheet(
        title=words("page.trial.failed" if faults else "page.trial.passed"),
        lines=lines,
        main=Button(words("page.trial.write", operator=operator), desk.of(Trial).judge),
        left=Button(words("page.back"), desk.of(Trial).back),
    )
