"""Made-up plans and a station with a fake clock, for tests of the screens."""

from __future__ import annotations

from collections.abc import Iterator

import run_samples

from kiosk.catalog.base.notes import Message
from kiosk.catalog.base.quantities import Pressure
from kiosk.catalog.model.sheets import Peel
from kiosk.catalog.model.source import Source, SourceKind
from kiosk.plan.model import Pass as PassOf
from kiosk.plan.model import PeelPlace, PeelWait, Phase, Piece, Plan, Step
from kiosk.run.apply.fold import replay
from kiosk.run.decide.decide import decide
from kiosk.run.facts.hands import seconds_missing
from kiosk.run.show.parts import View
from kiosk.run.show.view import view
from kiosk.run.state import commands as c
from kiosk.run.state.event import Now, Refusal
from kiosk.run.state.model import ConfirmMode, Garment
from kiosk.run.state.state import State
from kiosk.words import Words

WORDS = Words("en")
LINES = (
    Garment("1", "31", "AL", "a"),
    Garment("2", "48", "AL", "b"),
    Garment("3", "5", "AL", "c"),
    Garment("4", "75", "AL", "d"),
)
HOT, WARM, COLD = Peel.HOT, Peel.WARM, Peel.COLD
SHEET = Source(SourceKind.SUPPLIER_SHEET, title="Film sheet 4")
WAITS = {
    HOT: PeelWait(HOT, 0.0, 5.0, "plan.wait.sheet", origin=SHEET),
    WARM: PeelWait(WARM, 8.0, 20.0, "plan.wait.sheet", origin=SHEET),
    COLD: PeelWait(COLD, 60.0, 240.0, "plan.wait.sheet", origin=SHEET),
}


def hand(phase: Phase, *pieces: str, peel: Peel | None = None, sheet: bool = False) -> Step:
    return Step(phase, pieces, peel=peel, sheet=sheet)


def hot(phase: Phase, seconds: int, *pieces: str, sheet: bool = False, most: int = 15) -> Step:
    return Step(
        phase,
        pieces,
        seconds=seconds,
        most_seconds=most,
        temperature=300,
        pressure_low=Pressure.MEDIUM_FIRM,
        pressure_high=Pressure.MEDIUM_FIRM,
        sheet=sheet,
    )


def piece(name: str, layers: int, colour: str) -> Piece:
    element, _, layer = name.rpartition(".")
    return Piece(name, element, int(layer), layers, "sheet-film", colour, "back")


def plan_of(steps: tuple[Step, ...], pieces: tuple[Piece, ...], **changes: object) -> Plan:
    """A job of one pass; its place follows from its last peel, as in the plan room."""
    peels = [step for step in steps if step.phase is Phase.PEEL]
    last = peels[-1].peel if peels else None
    one = PassOf(
        panel="back",
        group=0,
        steps=steps,
        place=PeelPlace.PRESS if last in (None, HOT) else PeelPlace.RACK,
        wait=None if last is None else WAITS[last],
        carriers=tuple(name for step in peels for name in step.pieces),
    )
    return run_samples.plan_of(one, pieces=pieces, taps_per_garment=0, **changes)  # type: ignore[arg-type]


STACKED = (piece("name.1", 2, "black"), piece("name.2", 2, "white"),
           piece("number.1", 2, "black"), piece("number.2", 2, "white"))  # fmt: skip
LOWER, UPPER = ("name.1", "number.1"), ("name.2", "number.2")


def two_layers(**changes: object) -> Plan:
    """Name and number in two layers: closings plus one make five taps, nothing to peel."""
    return plan_of(
        (
            hand(Phase.LOAD),
            hot(Phase.PRE_PRESS, 5, most=20),
            hand(Phase.LAY, *LOWER),
            hot(Phase.TACK, 2, *LOWER, most=3),
            hand(Phase.REMOVE_CARRIER, *LOWER, peel=HOT),
            hand(Phase.LAY_TOP, *UPPER),
            hot(Phase.TACK, 2, *UPPER, most=3),
            hand(Phase.REMOVE_CARRIER, *UPPER, peel=HOT, sheet=True),
            hand(Phase.COVER, *LOWER, *UPPER, sheet=True),
            hot(Phase.FINAL, 15, *LOWER, *UPPER, sheet=True),
            hand(Phase.INSPECT),
        ),
        STACKED,
        **changes,
    )


def one_layer(*peels: Peel, **changes: object) -> Plan:
    """A red name and a navy number in one piece each, peeled as given."""
    pieces = (piece("name.1", 1, "red"), piece("number.1", 1, "navy"))
    names = ("name.1", "number.1")
    peel = [hand(Phase.PEEL, *names, peel=each) for each in peels]
    if len(peels) == 2:
        peel = [hand(Phase.PEEL, n, peel=p) for n, p in zip(names, peels, strict=True)]
    return plan_of(
        (
            hand(Phase.LOAD),
            hand(Phase.LAY, *names),
            hot(Phase.FINAL, 15, *names),
            *peel,
            hand(Phase.INSPECT),
        ),
        pieces,
        **changes,
    )


class Station:
    """The real state machine with a clock that only the test moves."""

    def __init__(
        self,
        plan: Plan,
        confirm: ConfirmMode = ConfirmMode.GROUPED,
        lines: tuple[Garment, ...] = LINES,
    ) -> None:
        self.state, self.clock = State(), 1000.0
        self.boot = "boot-1"
        self.do(c.Start("0.1"))
        self.do(c.SignOn("AB", confirm))
        self.do(c.StartJob(plan.job, plan, "hash", lines))

    @property
    def now(self) -> Now:
        return Now(self.boot, self.clock, 1_700_000_000.0 + self.clock)

    def do(self, command: c.Command) -> None:
        made = decide(self.state, command, self.now)
        assert not isinstance(made, Refusal), made
        self.state = replay(made, self.state)

    def see(self, focus: str = "") -> View:
        return view(self.state, self.now, focus)

    def wait(self, seconds: float) -> View:
        self.clock += seconds
        self.do(c.Tick())
        return self.see()

    def answer(self) -> View:
        """Read and answer every question."""
        while (shown := self.see()).ask is not None:
            job = self.state.job
            assert job is not None
            if job.setting is None:
                self.do(c.ReadSetting(300))
            else:
                self.do(c.AnswerQuestion(job.questions[0].right))
        return shown

    def tap(self) -> View:
        """Press forward a second later, as the bar shows."""
        self.clock += max(1.0, seconds_missing(self.state, self.now))
        meaning = self.see().bar.meaning
        assert meaning is not None
        self.do(c.Forward(meaning, self.clock))
        return self.see()

    def press(self) -> View:
        """Tap, and let the closing run to its tone."""
        shown = self.tap()
        assert shown.countdown is not None
        return self.wait(shown.countdown.counting_in + shown.countdown.total + 0.1)


def label(shown: View) -> str:
    return WORDS.say(shown.bar.label)


def below(shown: View) -> str:
    return WORDS.say(shown.bar.below)


def move(shown: View) -> str:
    return WORDS.say(shown.move)


def lines(shown: View) -> list[str]:
    return [WORDS.say(line) for line in shown.lines]


def slabs(shown: View) -> list[str]:
    return [WORDS.say(slab.label) for slab in shown.stack]


def messages(value: object) -> Iterator[Message]:
    """All messages anywhere in a view."""
    if isinstance(value, Message):
        yield value
    elif isinstance(value, tuple):
        for each in value:
            yield from messages(each)
    elif hasattr(value, "__dataclass_fields__"):
        for name in value.__dataclass_fields__:
            yield from messages(getattr(value, name))
