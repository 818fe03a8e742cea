"""Made-up plans, garments and a station that a test can work at, second by second."""

from __future__ import annotations

from dataclasses import replace

from kiosk.catalog.base.quantities import Degrees, Pressure
from kiosk.catalog.model.sheets import Peel
from kiosk.plan.model import Pass, PeelPlace, PeelWait, Phase, Piece, Plan, Step
from kiosk.run.apply.fold import replay
from kiosk.run.decide.bar import BarMeaning
from kiosk.run.decide.decide import bar_meaning, decide, settled
from kiosk.run.facts.hands import seconds_missing
from kiosk.run.facts.questions import ScreenKind, kind_of, question_at_hand
from kiosk.run.state import commands as c
from kiosk.run.state.event import Event, Now, Refusal
from kiosk.run.state.model import ConfirmMode, Garment, JobRun, Ticket, TicketStage
from kiosk.run.state.rules import QuestionKind
from kiosk.run.state.state import State

WALL = 1_700_000_000.0  # an arbitrary day; only differences matter
COLD = PeelWait(Peel.COLD, 60.0, 600.0, "made up")
HOT = PeelWait(Peel.HOT, 0.0, 10.0, "made up")
WARM = PeelWait(Peel.WARM, 8.0, 20.0, "made up")

LOAD = Step(Phase.LOAD)
INSPECT = Step(Phase.INSPECT)
COVER = Step(Phase.COVER, sheet=True)


def hot(phase: Phase, seconds: int, *pieces: str, degrees: int = 300, most: int = 20) -> Step:
    """Return a closing; the state machine ignores its pressure and pieces."""
    return Step(
        phase,
        pieces,
        seconds=seconds,
        most_seconds=most,
        temperature=degrees,
        pressure_low=Pressure.MEDIUM,
        pressure_high=Pressure.MEDIUM_FIRM,
    )


def one_piece(
    place: PeelPlace = PeelPlace.RACK,
    wait: PeelWait | None = COLD,
    degrees: int = 300,
    panel: str = "back",
) -> Pass:
    """Return load, pre-press, lay, sheet, final, peel (0..5) and inspect (6)."""
    peel = Step(Phase.PEEL, ("number.1",), peel=wait.peel if wait else Peel.HOT)
    steps = (
        LOAD,
        hot(Phase.PRE_PRESS, 5, degrees=degrees),
        Step(Phase.LAY, ("number.1",)),
        COVER,
        replace(hot(Phase.FINAL, 15, "number.1", degrees=degrees), sheet=True),
        peel,
        INSPECT,
    )
    return Pass(panel, 0, steps, place, wait, ("number.1",))


def stack() -> Pass:
    """Return a two-layer stack: tacked twice, carriers off before its final, nothing to peel."""
    steps = (
        LOAD,
        hot(Phase.PRE_PRESS, 5),
        Step(Phase.LAY, ("number.1",)),
        hot(Phase.TACK, 2, "number.1"),
        Step(Phase.REMOVE_CARRIER, ("number.1",), peel=Peel.HOT),
        Step(Phase.LAY_TOP, ("number.2",)),
        hot(Phase.TACK, 2, "number.2"),
        Step(Phase.REMOVE_CARRIER, ("number.2",), peel=Peel.HOT),
        COVER,
        hot(Phase.FINAL, 15, "number.1", "number.2"),
        INSPECT,
    )
    return Pass("back", 0, steps, PeelPlace.PRESS, None)


def waiting_stack() -> Pass:
    """Return the stack in film whose first tack is peeled warm at the press, the second cold."""
    one = stack()
    waits = iter(((WARM, PeelPlace.PRESS), (COLD, PeelPlace.HAND)))
    steps = list(one.steps)
    for index, step in enumerate(steps):
        if step.phase is Phase.REMOVE_CARRIER:
            wait, place = next(waits)
            steps[index] = replace(step, peel=wait.peel, wait=wait, place=place)
    return replace(one, steps=tuple(steps))


def staged() -> Pass:
    """Return a pass with a hot peel at the press (4) and a cold one on the rack (5)."""
    steps = (
        LOAD,
        Step(Phase.LAY, ("name.1", "number.1")),
        COVER,
        hot(Phase.FINAL, 15, "name.1", "number.1"),
        Step(Phase.PEEL, ("name.1",), peel=Peel.HOT),
        Step(Phase.PEEL, ("number.1",), peel=Peel.COLD),
        INSPECT,
    )
    return Pass("back", 0, steps, PeelPlace.RACK, COLD, ("name.1", "number.1"))


def named(
    place: PeelPlace = PeelPlace.PRESS,
    wait: PeelWait | None = HOT,
    panel: str = "front",
    group: int = 0,
) -> Pass:
    """Return a pass that lays only the name and has no pre-press."""
    steps = (
        LOAD,
        Step(Phase.LAY, ("name.1",)),
        hot(Phase.FINAL, 15, "name.1"),
        Step(Phase.PEEL, ("name.1",), peel=wait.peel if wait else Peel.HOT),
        INSPECT,
    )
    return Pass(panel, group, steps, place, wait, ("name.1",))


def plan_of(*passes: Pass, runs: tuple[tuple[int, ...], ...] = (), **changes: object) -> Plan:
    """Return a plan of these passes, each in its own run unless `runs` are given."""
    plan = Plan(
        job="ferry",
        title="Ferry order, away set",
        recipe="numbers",
        fabric="test-knit",
        press="press-one",
        unit=Degrees.F,
        opens_itself=True,
        collar_toward_operator=True,
        closes_in_seconds=1.0,
        confirm_opening=False,
        pieces=(Piece("number.1", "number", 1, 1, "sheet-film", "black"),),
        settings=(),
        passes=passes,
        runs=runs or tuple((i,) for i in range(len(passes))),
        taps_per_garment=sum(p.closings + 1 for p in passes),
        platen_width_inches=16.0,
        platen_height_inches=20.0,
    )
    return replace(plan, **changes)  # type: ignore[arg-type]  # a test names fields of Plan


def team(*numbers: str, size: str = "L") -> tuple[Garment, ...]:
    """Return a garment for each number, lines counted from 1, all of one size."""
    return tuple(
        Garment(str(line), number, size, f"digest-{line}") for line, number in enumerate(numbers, 1)
    )


class Bench:
    """A station for a test to work at. Every answer is checked against a replay of all events."""

    def __init__(self) -> None:
        self.boot = "boot-1"
        self.clock = 0.0
        self.wall_ahead = WALL
        self.state = State()
        self.events: list[Event] = []

    @property
    def now(self) -> Now:
        return Now(self.boot, self.clock, self.clock + self.wall_ahead)

    @property
    def shown(self) -> State:
        """The state as a screen would draw it now."""
        return settled(self.state, self.now)

    def is_in(self, kind: ScreenKind) -> bool:
        """Whether the station is in a state of `kind`."""
        return kind_of(self.shown, self.now) is kind

    @property
    def bar(self) -> BarMeaning:
        return bar_meaning(self.state, self.now)

    @property
    def verb(self) -> str:
        """What forward means now with its garment's number: `peeled 12`, or "-" for nothing."""
        meaning = self.bar.meaning
        if meaning is None:
            return "-"
        ticket = self.job.tickets.get(meaning.ticket)
        return meaning.verb.value + (f" {ticket.garment.number}" if ticket else "")

    @property
    def job(self) -> JobRun:
        assert self.state.job is not None
        return self.state.job

    @property
    def slot(self) -> Ticket:
        return self.job.tickets[self.job.slot]

    def ticket(self, number: str, passage: int = 0, copy: int = 1) -> Ticket:
        return next(
            t
            for t in self.job.tickets.values()
            if (t.garment.number, t.passage, t.copy) == (number, passage, copy)
        )

    def numbers(self, ids: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(self.job.tickets[i].garment.number for i in ids)

    def wait(self, seconds: float) -> Bench:
        self.clock += seconds
        return self

    def until(self, clock: float) -> Bench:
        assert clock >= self.clock, "a clock never goes back"
        self.clock = clock
        return self

    def do(self, command: c.Command) -> tuple[Event, ...]:
        answer = decide(self.state, command, self.now)
        assert not isinstance(answer, Refusal), answer
        self.events += answer
        self.state = replay(answer, self.state)
        if answer:
            assert replay(self.events) == self.state
        return answer

    def refused(self, command: c.Command) -> str:
        """The id of the reason why `command` is refused."""
        answer = decide(self.state, command, self.now)
        assert isinstance(answer, Refusal), answer
        return answer.reason.id

    def names(self, command: c.Command) -> tuple[str, ...]:
        """Do `command` and return the names of its events."""
        return tuple(type(event).__name__ for event in self.do(command))

    def forward(self) -> c.Forward:
        """A press of forward now, with the label currently shown."""
        meaning = self.bar.meaning
        assert meaning is not None, f"forward means nothing ({kind_of(self.shown, self.now)})"
        return c.Forward(meaning, self.clock)

    def tap(self) -> tuple[Event, ...]:
        """Press forward after a second, or after the least time that the move takes."""
        self.wait(max(1.0, seconds_missing(self.state, self.now)))
        return self.do(self.forward())

    def finish(self) -> int:
        """Work to the end of the job; return the number of taps."""
        taps = 0
        while not self.job.done:
            self.tap()
            taps += 1
            if self.state.heat is not None:
                self.ring()
        return taps

    def tick(self, seconds: float = 0.0) -> tuple[Event, ...]:
        self.wait(seconds)
        return self.do(c.Tick())

    def ring(self) -> tuple[Event, ...]:
        """Wait for the end of the running dwell."""
        heat = self.state.heat
        assert heat is not None
        assert heat.deadline is not None
        self.until(heat.deadline)
        return self.tick()

    def answer(self) -> Bench:
        """Set the press and answer every question right."""
        while (question := question_at_hand(self.job)) is not None:
            self.wait(1.0)
            if question.ask is QuestionKind.SETTING:
                self.do(c.ReadSetting(int(question.right)))
            else:
                self.do(c.AnswerQuestion(question.right))
        return self

    def reboot(self, seconds: float = 30.0, boot: str = "boot-2") -> tuple[Event, ...]:
        """Switch the machine off for some seconds; its clock restarts."""
        self.wall_ahead += self.clock + seconds
        self.boot, self.clock = boot, 0.0
        return self.do(c.Start("1.0"))

    def scrap(self, ticket: str) -> tuple[Event, ...]:
        return self.do(c.Inspect(ticket, TicketStage.SCRAP, "scorch", "over_run"))


def on_shift(confirm: ConfirmMode = ConfirmMode.GROUPED) -> Bench:
    """Return a bench with an operator and no job."""
    bench = Bench()
    bench.do(c.Start("1.0"))
    bench.do(c.SignOn("MK", confirm))
    return bench


def bench_with(
    plan: Plan | None = None,
    numbers: tuple[str, ...] = ("12", "13", "14"),
    confirm: ConfirmMode = ConfirmMode.GROUPED,
) -> Bench:
    """Return a bench with a job begun and all its first questions answered."""
    bench = on_shift(confirm)
    plan = plan_of(one_piece()) if plan is None else plan
    bench.do(c.StartJob(plan.job, plan, "hash", team(*numbers)))
    return bench.answer()
