"""Commands around the garments and for cooling ones; continues `commands`."""

from kiosk.catalog.base import Message, dataclass
from kiosk.run.state.cooling import (
    CoolingPlace,
    Estimate,
    LearnedCooling,
    LessonSource,
    PadHeat,
    TouchFeel,
)
from kiosk.run.state.events_shift import Change, Overruled
from kiosk.run.state.model import Garment
from kiosk.run.state.rules import TriedSubject


@dataclass(frozen=True, slots=True)
class VerifyPress:
    """The card of a press check is filled in.

    `readings` in whole degrees of the plan's unit: centre, left back, right back, left front, right
    front; `paper_held`: left, right, front, back.
    """

    readings: tuple[int, ...]
    paper_held: tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class LetPass:
    """A supervisor lets the work continue although a rule holds it."""

    what: Overruled
    supervisor: str
    reason: str


@dataclass(frozen=True, slots=True)
class JudgeFirst:
    """The first garment was inspected. `approver`: initials, or a supervisor with the PIN."""

    ticket: str
    approved: bool
    approver: str
    supervisor: bool = False
    across_inches: float | None = None
    along_inches: float | None = None
    faults: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TryPin:
    """The supervisor's PIN was entered, rightly or wrongly."""

    right: bool


@dataclass(frozen=True, slots=True)
class ChoosePin:
    """A PIN was chosen."""


@dataclass(frozen=True, slots=True)
class NoteRecipes:
    """The shop's files are now at `digest`; `changes` are the first of `count` changed values."""

    digest: str
    changes: tuple[Change, ...] = ()
    count: int = 0
    on_screen: bool = False


@dataclass(frozen=True, slots=True)
class NoteUpkeep:
    """A part of a press was serviced: pad, cover sheet, lubrication."""

    press: str
    part: str


@dataclass(frozen=True, slots=True)
class ConfirmColumns:
    """The columns (header, field) of a job's roster were confirmed as read."""

    job: str
    columns: tuple[tuple[str, str], ...]
    digest: str


@dataclass(frozen=True, slots=True)
class ApproveProof:
    """`by` (initials) approved drawings of `count` garments; `digest` is of the list of them."""

    job: str
    by: str
    count: int
    digest: str


@dataclass(frozen=True, slots=True)
class TakeOrder:
    """A customer's file became a job: `columns` (header, field), and the answers about it.

    `answers` are pairs of a question's id and its answer; they hold no names.
    """

    job: str
    columns: tuple[tuple[str, str], ...]
    digest: str
    garments: int
    answers: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class DeleteNames:
    """Record that `count` names were deleted from a closed job's roster."""

    job: str
    count: int


@dataclass(frozen=True, slots=True)
class GiveEstimate:
    """When a ticket's peels are due, as computed in the background."""

    ticket: str
    estimate: Estimate
    pad: PadHeat | None


@dataclass(frozen=True, slots=True)
class SayPlace:
    """Where a ticket cools: lifted, or on the pad."""

    ticket: str
    lies: CoolingPlace


@dataclass(frozen=True, slots=True)
class ReportTouch:
    """How warm a ticket's piece feels, or what a thermometer shows."""

    ticket: str
    feels: TouchFeel
    celsius: float | None = None


@dataclass(frozen=True, slots=True)
class LearnPeel:
    """What an event of a ticket's peel teaches, as computed; fields as in `PeelLearned`."""

    ticket: str
    lies: CoolingPlace
    taught: LessonSource
    seen_seconds: float
    ready_seconds: float
    spread: float
    kept: LearnedCooling
    low: float
    factor: float
    high: float


@dataclass(frozen=True, slots=True)
class ResetLearning:
    """A supervisor resets what was learned of one way of cooling."""

    lies: CoolingPlace
    supervisor: str


@dataclass(frozen=True, slots=True)
class SayNeverClosed:
    """The last closing, whose time is up, never happened."""


@dataclass(frozen=True, slots=True)
class SayPressed:
    """The current garment was pressed without a tap, for `seconds`."""

    seconds: float


@dataclass(frozen=True, slots=True)
class BeginTrial:
    """A piece of the same cloth goes to the press."""


@dataclass(frozen=True, slots=True)
class TryFirst:
    """Use the first garment as the trial."""


@dataclass(frozen=True, slots=True)
class JudgeTrial:
    """The piece was peeled, inspected and stretched; `faults` is empty if it passed."""

    faults: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LeaveTrial:
    """The piece comes off the press without a finding."""


@dataclass(frozen=True, slots=True)
class NoteTrial:
    """The shop's file now names the trial as its source, or never will, for reason id `why`."""

    tried: TriedSubject
    why: str = ""


@dataclass(frozen=True, slots=True)
class UnbeginJob:
    """Begin again, with another plan, a job that was put back with nothing pressed."""

    job: str


@dataclass(frozen=True, slots=True)
class TakeBatch:
    """Add these garments of a shared order to this station's."""

    job: str
    batch: int
    garments: tuple[Garment, ...]


@dataclass(frozen=True, slots=True)
class EndBatches:
    """Every batch of a shared order is done, here or elsewhere."""

    job: str


@dataclass(frozen=True, slots=True)
class OtherStation:
    """What a station called `name` has of a job: lines pressed there, or given to it.

    A copy of this station's own record has no name.

    `blocks` if its `claim` (a number, 0 for none) conflicts with this station's, or if it presses a
    shared order by another plan: then `differs` describes how.
    """

    name: str
    claim: int = 0
    blocks: bool = False
    lines: tuple[str, ...] = ()
    differs: tuple[Message, ...] = ()


@dataclass(frozen=True, slots=True)
class MeetClaims:
    """What the shop's server knows of the same job at other stations.

    `left` are claims of stations that gave the job up before they had pressed any of it.
    """

    job: str
    others: tuple[OtherStation, ...]
    left: tuple[int, ...] = ()
