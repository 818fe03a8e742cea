"""Plain pages as data, the pictures on them, and the actions of the work screen."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from enum import Enum
from typing import TYPE_CHECKING

from kiosk.catalog.base import Degrees, Message, dataclass
from kiosk.run.state import Command
from kiosk.words import Words

if TYPE_CHECKING:  # for pictures; not needed at a start
    from kiosk.plan.heat import HeatCurve
    from kiosk.plan.procedure import GarmentProof
    from kiosk.report.content import ControlChart
    from kiosk.train.practice import Bench, LookDrawing


@dataclass(frozen=True, slots=True)
class HeatPicture:
    """A heat curve with all its words; `unit` is the axis's.

    `closings` names each closed phase in order, `levels` the curve's levels in order.
    """

    curve: HeatCurve
    unit: Degrees
    closings: tuple[str, ...]
    levels: tuple[str, ...]
    bond: str
    cloth: str
    now: str
    axis: str


@dataclass(frozen=True, slots=True)
class TablePicture:
    """A head and rows of words; rows that do not fit are counted."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class ChartPicture:
    """A control chart with its lines' figures, or bars: label, count, share covered so far."""

    control: ControlChart | None = None
    figures: tuple[str, ...] = ()
    bars: tuple[tuple[str, int, str], ...] = ()


class PageKind(Enum):
    """What fills the screen."""

    CHOOSE_PIN = "choose pin"
    REPEAT_PIN = "repeat pin"
    SIGN_ON = "sign on"
    INITIALS = "initials"
    JOBS = "jobs"
    FAULTS = "faults"
    SET_UP = "set up"
    PROOF = "proof"
    HEAT = "heat"
    QUESTIONS = "questions"
    COLUMNS = "columns"
    DISPLAY = "display"
    WORK = "work"
    CHOICES = "choices"
    WAS_CLOSED = "was it closed"
    SECONDS_BY_HAND = "seconds by hand"
    CLEAR = "clear"
    SKIP = "skip"
    PUT_ASIDE = "put aside"
    PIN = "pin"
    SUPERVISOR = "supervisor"
    LEARNING = "learning"
    GARMENTS = "garments"
    GARMENT = "garment"
    REASON = "reason"
    REPORT = "report"
    REPORT_PART = "report part"
    CARD = "card"
    CUES = "cues"
    LISTEN = "listen"
    KEYS = "keys"
    LEARN_KEY = "learn key"
    SIGN_OFFS = "sign-offs"
    SIGN_OFF_OF = "sign-off of"
    SIGN_OFF_ONE = "sign-off one"
    PRACTICE_WHO = "practice who"
    PRACTICE_INITIALS = "practice initials"
    PRACTICE = "practice"
    PRACTICE_HOW = "practice how"
    PRACTISE = "practise"
    PRACTICE_ENDED = "practice ended"
    PROGRESS = "progress"
    PROGRESS_OF = "progress of"
    TIMES = "times"
    QUIZ = "quiz"
    TRYING = "trying"
    OVERRIDE = "override"
    HAND_OVER = "hand over"
    OPEN_QUESTIONS = "open questions"
    NEXT_OPERATOR = "next operator"
    UPKEEP = "upkeep"
    NEW_ENTRY = "new entry"
    FILES = "files"
    VALUES = "values"
    VALUE = "value"
    ORDER = "order"
    SHOP = "shop"
    LEAVE = "leave"


@dataclass(frozen=True, slots=True)
class ProofPicture:
    """Garments as worn, side by side, each with its text below."""

    garments: tuple[GarmentProof, ...]


@dataclass(frozen=True, slots=True)
class BenchPicture:
    """A bench with its words: the task, the card, the display, the clock, the platen, the rail.

    `platen` is the text of its size plate, `rail` that of the cover sheet's rail. `marked` is what
    was touched, "" for nothing.
    """

    bench: Bench
    title: str
    card: tuple[str, ...]
    display: str
    clock: str
    platen: str
    rail: str
    marked: str = ""


Picture = ProofPicture | HeatPicture | TablePicture | ChartPicture


@dataclass(frozen=True, slots=True)
class Card:
    """Drawing on a job's button: its shirt with a number, and the job's progress.

    `colour` is the number's film as the job writes it; `share` of the job is done, 0..1, with
    `done` and `remaining` in words. All are empty if the job cannot be read. `state` is its
    progress or its fault, where the figures do not fit. `name` is drawn above the number if it is
    a recipe's.
    """

    number: str = ""
    colour: str = ""
    done: str = ""
    remaining: str = ""
    share: float = 0.0
    state: str = ""
    name: str = ""


@dataclass(frozen=True, slots=True)
class Button:
    """Something to touch, or to choose with the pedal; a `card` is a job's."""

    label: str
    act: Callable[[], None]
    line: str = ""
    card: Card | None = None


@dataclass(frozen=True, slots=True)
class Sheet:
    """A page.

    `entry` is the text typed so far, None if nothing is typed here. `columns` fixes how the choices
    are laid out; 0 leaves it to the page. A `picture` fills what the lines leave. Two sheets that
    look alike are drawn once. `practice` puts the practice frame around the page; `look` is
    what practice asks to look at. `status` follows the title in its row, and may change while the
    page is read. `headline` comes first, larger than the lines and above them; `second` comes next,
    in bold. `cautions` have a frame above everything else. On a `bench`, which fills what the title
    leaves, `touch` gets what a finger or the pedal chose.
    """

    title: str
    lines: tuple[str, ...] = ()
    entry: str | None = None
    choices: tuple[Button, ...] = ()
    columns: int = 0
    main: Button | None = None
    left: Button | None = None
    right: Button | None = None
    picture: Picture | None = None
    practice: bool = False
    look: LookDrawing | None = None
    cautions: tuple[Caution, ...] = ()
    status: str = ""
    headline: str = ""
    second: str = ""
    bench: BenchPicture | None = None
    touch: Callable[[str], None] | None = None

    def same_bench(self, other: Sheet) -> bool:
        """Return whether both show a bench, with the same things on it."""
        if self.bench is None or other.bench is None:
            return False
        return self.bench.bench.without_time() == other.bench.bench.without_time()

    def visible(self) -> tuple[object, ...]:
        """Return what is visible of the page: two pages with equal looks are drawn once."""
        buttons = [
            None if b is None else (b.label, b.line) for b in (self.main, self.left, self.right)
        ]
        choices = tuple((b.label, b.line, b.card) for b in self.choices)
        looks = (self.title, self.lines, self.entry, choices, self.columns, self.picture)
        still = (
            None
            if self.bench is None
            else replace(self.bench, clock="", bench=self.bench.bench.without_time())
        )
        return (
            *looks,
            still,
            self.status,
            self.headline,
            self.second,
            self.cautions,
            self.practice,
            self.look,
            *buttons,
        )


@dataclass(frozen=True, slots=True)
class ChipTouched:
    """Look at one garment; an empty `ticket` ends that."""

    ticket: str


@dataclass(frozen=True, slots=True)
class DullClick:
    """A press that does nothing now: answered by a dull click."""

    reason: Message | None = None


@dataclass(frozen=True, slots=True)
class ShowChoices:
    """A long press on a light screen: show what can be done besides going on."""


@dataclass(frozen=True, slots=True)
class HoldOption:
    """Another thing to do on hold or at the end; `action` is what touching it does."""

    label: Message
    action: object
    line: Message | None = None


Action = Command | ChipTouched | DullClick | ShowChoices


Caution = tuple[str, str]  # the signal word, and what can hurt


def cautions(words: Words, keys: tuple[tuple[str, str], ...]) -> tuple[Caution, ...]:
    """Return cautions of `kiosk.words.speak` in words, each with its signal word."""
    return tuple((words(f"signal.{signal}"), words(f"caution.{name}")) for signal, name in keys)


def reasons(
    words: Words,
    title: str,
    ids: Iterable[str],
    act: Callable[[str], None],
    back: Callable[[], None],
) -> Sheet:
    """Return the page titled `title`; `act` gets the last part of the chosen id."""

    def choice(id_: str) -> Button:
        return Button(words(id_), lambda: act(id_.rpartition(".")[2]))

    return Sheet(
        title=words(title),
        choices=tuple(choice(id_) for id_ in ids),
        left=Button(words("page.back"), back),
    )
