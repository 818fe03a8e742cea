"""The check of a press: its card while it is filled in, and its page."""

from kiosk.catalog.base import Value, say
from kiosk.run.facts import (
    EDGES,
    HOTTEST,
    check_passes,
    offset_of,
    required_setting,
    slipped_edges,
    spread_of,
)
from kiosk.run.state import Demand, JobRun, Overruled, commands, commands_shift
from kiosk.station.desk.cues import Cue
from kiosk.station.desk.desk import SUPERVISOR, Desk, digits
from kiosk.station.desk.people import Reasons, ask_pin
from kiosk.station.desk.sheet import Button, PageKind, Sheet, cautions
from kiosk.words import Words
from kiosk.words.speak import PAPER, PROBE

PLACES = ("centre", "left_back", "right_back", "left_front", "right_front")


class Checks:
    """Readings and paper strips as they are entered, in the order of the event."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.readings: tuple[int, ...] = ()
        self.paper_held: tuple[bool, ...] = ()
        self.begun = False

    @property
    def job(self) -> JobRun:
        """The job at the press: a check is only asked for during a job."""
        job = self._desk.shell.state.job
        assert job is not None
        return job

    @property
    def set_value(self) -> int:
        """The temperature the press is set to, whole degrees of the plan's unit."""
        return required_setting(self.job) or 0

    @property
    def failed(self) -> bool:
        """Whether the last check of the press failed and was not waived."""
        check = self._desk.shell.state.check
        return check is not None and not (check.passed or check.waived)

    @property
    def offset(self) -> float:
        """The mean of the readings minus the set value."""
        return offset_of(self.readings, self.set_value)

    @property
    def spread(self) -> int:
        """The highest reading minus the lowest."""
        return spread_of(self.readings)

    @property
    def passes(self) -> bool:
        """Whether the card passes by the job's rules."""
        return check_passes(self.job.rules, self.set_value, self.readings, self.paper_held)

    def begin(self) -> None:
        """Start an empty card."""
        self._desk.entry = ""
        self.readings, self.paper_held, self.begun = (), (), True

    def take_reading(self) -> None:
        """Take the typed reading; refuse one that no press can show."""
        desk = self._desk
        entry, desk.entry = desk.entry, ""
        if entry.isdecimal() and 0 < int(entry) <= HOTTEST:
            self.readings = (*self.readings, int(entry))
        else:
            desk.shell.say(say("refuse.verify.reading"))
            desk.shell.cue(Cue.REFUSED)

    def note_strip(self, held: bool) -> None:
        """Take whether a strip of paper held."""
        self.paper_held = (*self.paper_held, held)

    def back(self) -> None:
        """Take the last entry back."""
        self._desk.entry = ""
        if self.paper_held:
            self.paper_held = self.paper_held[:-1]
        elif self.readings:
            self.readings = self.readings[:-1]
        else:
            self.begun = False

    def write_down(self) -> None:
        """Record the card; the next one begins empty."""
        outcome = self._desk.shell.do(commands_shift.VerifyPress(self.readings, self.paper_held))
        if outcome.refusal is None:
            self.begin()
            self.begun = False

    def let_pass(self, rule: Overruled) -> None:
        """Ask for the PIN and a reason, then let the work go on."""
        desk = self._desk

        def let_work_go_on(reason: str) -> None:
            desk.shell.do(commands_shift.LetPass(rule, SUPERVISOR, reason))
            self.begun = False

        purpose = say("pin.for.let_pass", what=say(f"let_pass.{rule.name.lower()}"))
        ask_pin(
            desk, lambda: desk.of(Reasons).ask(PageKind.OVERRIDE, let_work_go_on, purpose), purpose
        )


LONGEST_READING = 3


def verify(desk: Desk, words: Words) -> Sheet:
    """Page of the next entry, or of the card's result."""
    checks = desk.of(Checks)
    if not checks.begun:
        return _failed(desk, words) if checks.failed else _begin(desk, words)
    if len(checks.readings) < len(PLACES):
        return _reading(desk, words)
    if len(checks.paper_held) < len(EDGES):
        return _paper(desk, words)
    return _card(desk, words)


def _begin(desk: Desk, words: Words) -> Sheet:
    checks = desk.of(Checks)
    return Sheet(
        title=words("move.verify"),
        lines=(
            words("page.verify.set", **_set(checks)),
            words("page.verify.why"),
            words("page.verify.what"),
        ),
        cautions=cautions(words, PROBE + PAPER),
        main=Button(words("page.verify.begin"), checks.begin),
        left=hold_on(desk, words),
        right=_waive(desk, words),
    )


def _reading(desk: Desk, words: Words) -> Sheet:
    checks = desk.of(Checks)
    place = PLACES[len(checks.readings)]
    return Sheet(
        title=words("page.verify.reading", place=say(f"page.verify.at.{place}"), **_set(checks)),
        entry=f"{desk.entry} °{checks.job.plan.unit.value}".strip(),
        choices=digits(desk, words, LONGEST_READING),
        columns=6,
        main=Button(words("page.verify.next"), checks.take_reading),
        left=Button(words("page.back"), checks.back),
    )


def _paper(desk: Desk, words: Words) -> Sheet:
    checks = desk.of(Checks)
    edge = EDGES[len(checks.paper_held)]
    return Sheet(
        title=words("page.verify.pull", edge=say(f"page.verify.edge.{edge}")),
        lines=(words("page.verify.pull_line"),),
        cautions=cautions(words, PAPER),
        choices=(
            Button(words("page.verify.holds"), lambda: checks.note_strip(True)),
            Button(words("page.verify.slips"), lambda: checks.note_strip(False)),
        ),
        left=Button(words("page.back"), checks.back),
    )


def _card(desk: Desk, words: Words) -> Sheet:
    checks = desk.of(Checks)
    rules, unit = checks.job.rules, checks.job.plan.unit.value

    def line(name: str, **values: Value) -> str:
        return words(f"page.verify.{name}", unit=unit, **values)

    slips = slipped_edges(checks.paper_held)
    return Sheet(
        title=words("page.verify.passes" if checks.passes else "page.verify.fails"),
        lines=(
            words("page.verify.readings", readings=checks.readings, **_set(checks)),
            line("offset", offset=_signed(checks.offset), most=rules.offset_most),
            line("spread", spread=checks.spread, most=rules.spread_most),
            words("page.verify.paper_slips", edges=slips)
            if slips
            else words("page.verify.paper_holds"),
        ),
        main=Button(words("page.verify.write"), checks.write_down),
        left=Button(words("page.back"), checks.back),
    )


def _failed(desk: Desk, words: Words) -> Sheet:
    return Sheet(
        title=words("page.verify.failed"),
        lines=(words("page.verify.failed_line"), words("page.verify.recheck")),
        main=Button(words("page.verify.again"), desk.of(Checks).begin),
        left=hold_on(desk, words),
        right=_waive(desk, words),
    )


def _waive(desk: Desk, words: Words) -> Button | None:
    return waive(desk, words, desk.of(Checks).job.rules.verify, Overruled.VERIFICATION)


def hold_on(desk: Desk, words: Words) -> Button:
    """Return the button that puts the station on hold."""
    return Button(words("page.hold"), lambda: desk.shell.work(commands.PutOnHold()))


def waive(desk: Desk, words: Words, demand: Demand, rule: Overruled) -> Button | None:
    """Return the button for a supervisor's override, or None if the shop allows none."""
    if demand is Demand.REQUIRED:
        return None
    return Button(words("page.let_pass"), lambda: desk.of(Checks).let_pass(rule))


def _set(checks: Checks) -> dict[str, Value]:
    return {"temperature": checks.set_value, "unit": checks.job.plan.unit.value}


def _signed(degrees: float) -> str:
    return f"{degrees:+.1f}".replace("-", "\N{MINUS SIGN}")
