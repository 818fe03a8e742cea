"""Events around the garments: checks of the press, approvals, trials, files, the PIN."""

from enum import Enum

from kiosk.catalog.base import Degrees, dataclass
from kiosk.run.state.event import Event
from kiosk.run.state.events import NeverClosed as NeverClosed
from kiosk.run.state.events import ToldPressed as ToldPressed
from kiosk.run.state.events_station import HandedOver as HandedOver
from kiosk.run.state.events_station import LearningReset as LearningReset
from kiosk.run.state.events_station import LogSalvaged as LogSalvaged
from kiosk.run.state.events_station import PeelEstimated as PeelEstimated
from kiosk.run.state.events_station import PeelLearned as PeelLearned
from kiosk.run.state.events_station import PlaceSaid as PlaceSaid
from kiosk.run.state.events_station import Refused as Refused
from kiosk.run.state.events_station import SignedOff as SignedOff
from kiosk.run.state.events_station import SignedOn as SignedOn
from kiosk.run.state.events_station import StationStarted as StationStarted
from kiosk.run.state.events_station import Touched as Touched
from kiosk.run.state.events_station import WallClockMoved as WallClockMoved
from kiosk.run.state.model import TicketStage
from kiosk.run.state.rules import Display, Role, TriedSubject


class Lapse(Enum):
    """Why a check of the press no longer holds."""

    TIME = "time"
    IDLE = "idle"
    SETTING = "setting"
    RESTART = "restart"


class Overruled(Enum):
    """What a supervisor let pass against the shop's rules."""

    VERIFICATION = "verification"
    FIRST_ARTICLE = "first article"
    SCRAP_LIMIT = "scrap limit"
    TRIAL = "trial"
    CLAIMS = "claims"
    PLAN = "plan"


@dataclass(frozen=True, slots=True)
class PressVerified(Event):
    """The press was checked at its setting and judged, from readings a person took off a probe.

    `readings` are whole degrees of `unit`: centre, left back, right back, left front, right front.
    `paper_held` is whether the paper held: left, right, front, back. `offset` is the mean of the
    readings minus the set value, `spread` the highest minus the lowest; `offset_most` and
    `spread_most` are the limits on that day, and `passed` the verdict then.
    """

    press: str
    temperature: int
    unit: Degrees
    readings: tuple[int, ...]
    paper_held: tuple[bool, ...]
    offset: float
    spread: float
    offset_most: float
    spread_most: float
    passed: bool


@dataclass(frozen=True, slots=True)
class VerificationLapsed(Event):
    """The last check of a press (or the supervisor's waiver of it) no longer holds."""

    press: str
    why: Lapse


@dataclass(frozen=True, slots=True)
class Overridden(Event):
    """A supervisor let the work continue against a rule, with a reason.

    `about` is the press (VERIFICATION), the article (FIRST_ARTICLE, TRIAL), the cause (SCRAP_LIMIT)
    or the other stations (CLAIMS, PLAN); `ticket` the current garment, "" for none.
    """

    what: Overruled
    about: str
    supervisor: str
    reason: str
    ticket: str = ""


@dataclass(frozen=True, slots=True)
class FirstArticleJudged(Event):
    """The first garment of a setting and material was inspected, after cooling.

    `article` names the setting and the materials. `across_inches` and `along_inches` are how far
    the piece lies from its place (right and down are positive, as worn), None if not measured.
    `faults` are ids of `kiosk.run.state.defects`, empty if it has none. `approver` are initials, or
    "supervisor"; `pressed_by` the initials of the operator who pressed it.
    """

    ticket: str
    article: str
    approved: bool
    approver: str
    pressed_by: str
    across_inches: float | None = None
    along_inches: float | None = None
    faults: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PinTried(Event):
    """The supervisor's PIN was entered, rightly or wrongly."""

    right: bool


@dataclass(frozen=True, slots=True)
class PinChosen(Event):
    """A PIN was chosen: on the first start, or by somebody with access to the machine."""


@dataclass(frozen=True, slots=True)
class Change:
    """One value of one file before and after, "" for none. `key` is its path in the file."""

    file: str
    key: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class RecipesRead(Event):
    """The recipes, materials and shop files are at `digest` from here on.

    `changes` are the first of the `count` changed values; `on_screen` if the supervisor changed
    them here. The first such event of a record has no changes.
    """

    digest: str
    changes: tuple[Change, ...] = ()
    count: int = 0
    on_screen: bool = False


@dataclass(frozen=True, slots=True)
class UpkeepDone(Event):
    """A part of the press was serviced (pad, cover sheet, lubrication) at its `closings`."""

    press: str
    part: str
    closings: int


@dataclass(frozen=True, slots=True)
class ColumnsConfirmed(Event):
    """A person checked the (header, field) pairs of a job's roster; `digest` is its file's."""

    job: str
    columns: tuple[tuple[str, str], ...]
    digest: str


@dataclass(frozen=True, slots=True)
class ProofApproved(Event):
    """A person (initials) approved the drawings of `count` garments of a job.

    `digest` is that of the list of these garments, a file kept with the job; it holds no names.
    """

    job: str
    by: str
    count: int
    digest: str


@dataclass(frozen=True, slots=True)
class OrderTaken(Event):
    """A customer's file became a job of `garments` garments, its columns checked.

    `digest` is that of the file; `answers` are pairs of a question's id and its answer, without
    names.
    """

    job: str
    columns: tuple[tuple[str, str], ...]
    digest: str
    garments: int
    answers: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class NamesDeleted(Event):
    """The receipt for deleting `count` names from a closed job's roster."""

    job: str
    count: int


@dataclass(frozen=True, slots=True)
class DisplayChosen(Event):
    """An operator chose language, units or stillness of the screen; "" if nobody is signed on."""

    operator: str
    display: Display


@dataclass(frozen=True, slots=True)
class CuesSet(Event):
    """Which of its cues the station gives from here on."""

    tones: bool
    voice: bool
    vibration: bool


@dataclass(frozen=True, slots=True)
class KeyLearned(Event):
    """A key of a pedal or a switch was learned: its scancode (USB HID usage)."""

    role: Role
    scancode: int


@dataclass(frozen=True, slots=True)
class KeysForgotten(Event):
    """All learned keys were dropped; the built-in ones apply again."""


@dataclass(frozen=True, slots=True)
class RepressAllowed(Event):
    """A supervisor allowed one more final press of a ticket."""

    ticket: str
    supervisor: str
    reason: str


@dataclass(frozen=True, slots=True)
class Ruled(Event):
    """A supervisor decided on a stopped or unknown ticket: WAITING, GOOD, SCRAP, ..."""

    ticket: str
    stage: TicketStage
    supervisor: str
    reason: str


@dataclass(frozen=True, slots=True)
class TrialBegun(Event):
    """A piece of the same cloth goes to the press; its heat counts for no garment."""

    job: str
    articles: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TrialByFirst(Event):
    """The first garment of an article is its trial: the first-article card records the finding."""

    job: str
    article: str


@dataclass(frozen=True, slots=True)
class TrialJudged(Event):
    """A trial was peeled, inspected and stretched by a person.

    `tried` are the materials and the fabric with the setting they were tried at; `faults` what was
    found (`peel` or ids of `kiosk.run.state.defects`), empty if it passed; `by` initials or
    "supervisor"; `ticket` the first garment, "" for a piece of cloth.
    """

    job: str
    articles: tuple[str, ...]
    tried: tuple[TriedSubject, ...]
    passed: bool
    by: str
    faults: tuple[str, ...] = ()
    ticket: str = ""


@dataclass(frozen=True, slots=True)
class TrialLeft(Event):
    """A trial on a piece of cloth ended without a finding."""

    job: str


@dataclass(frozen=True, slots=True)
class TrialNoted(Event):
    """The shop's file now names the trial as its source; or it never will, for reason id `why`."""

    tried: TriedSubject
    why: str = ""
