"""What is asked of the station around the garments and about those that cool; with `commands`."""

from kiosk.catalog.base import Message, dataclass
from kiosk.run.state.cooling import Estimate, Feels, Kept, Lies, PadHeat, Taught
from kiosk.run.state.events_shift import Change, Overruled
from kiosk.run.state.model import Garment
from kiosk.run.state.rules import Tried


@dataclass(frozen=True, slots=True)
class VerifyPress:
    """The card is filled in.

    `readings` in whole degrees of the plan's unit: centre, left back, right back, left front,
    right front; `paper_held`: left, right, front, back.
    """

    readings: tuple[int, ...]
    paper_held: tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class LetPass:
    """A supervisor lets the work go on although a rule holds it."""

    what: Overruled
    supervisor: str
    reason: str


@dataclass(frozen=True, slots=True)
class JudgeFirst:
    """The first garment was looked over. `approver`: initials, or a supervisor with the PIN."""

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
    """The shop's files are at `digest` now; `changes` the first of `count` values that differ."""

    digest: str
    changes: tuple[Change, ...] = ()
    count: int = 0
    on_screen: bool = False


@dataclass(frozen=True, slots=True)
class SeeTo:
    """A part of a press was seen to: pad, cover sheet, lubrication."""

    press: str
    part: str


@dataclass(frozen=True, slots=True)
class ConfirmColumns:
    """The columns (header, field) of a job's roster are meant as they were read."""

    job: str
    columns: tuple[tuple[str, str], ...]
    digest: str


@dataclass(frozen=True, slots=True)
class ApproveProof:
    """`by` (initials) approved the drawings of `count` garments of a job; `digest` says which."""

    job: str
    by: str
    count: int
    digest: str


@dataclass(frozen=True, slots=True)
class TakeOrder:
    """A customer's file became a job: `columns` (header, field), and what was answered about it.

    `answers` are pairs of a question's id and its answer; no name is in them.
    """

    job: str
    columns: tuple[tuple[str, str], ...]
    digest: str
    garments: int
    answers: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class DeleteNames:
    """`count` names were taken out of a closed job's roster."""

    job: str
    count: int


@dataclass(frozen=True, slots=True)
class GiveEstimate:
    """When a ticket's peels are due, as it was computed beside the tapping."""

    ticket: str
    estimate: Estimate
    pad: PadHeat | None


@dataclass(frozen=True, slots=True)
class SayPlace:
    """Where a ticket cools: lifted, or on the pad."""

    ticket: str
    lies: Lies


@dataclass(frozen=True, slots=True)
class Touch:
    """How warm a ticket's piece feels, or what a thermometer shows."""

    ticket: str
    feels: Feels
    celsius: float | None = None


@dataclass(frozen=True, slots=True)
class Learn:
    """What an event of a ticket's peel teaches, as it was computed; fields as in the event."""

    ticket: str
    lies: Lies
    taught: Taught
    seen_seconds: float
    ready_seconds: float
    spread: float
    kept: Kept
    low: float
    factor: float
    high: float


@dataclass(frozen=True, slots=True)
class ResetLearning:
    """A supervisor has everything forgotten that was learned of one way of cooling."""

    lies: Lies
    supervisor: str


@dataclass(frozen=True, slots=True)
class SayNeverClosed:
    """The last closing, whose time is up, never was."""


@dataclass(frozen=True, slots=True)
class SayPressed:
    """The garment at hand was pressed without a tap, for so many seconds."""

    seconds: float


@dataclass(frozen=True, slots=True)
class BeginTrial:
    """A piece of the same cloth goes to the press."""


@dataclass(frozen=True, slots=True)
class TryFirst:
    """The first garment is to be the trial."""


@dataclass(frozen=True, slots=True)
class JudgeTrial:
    """The piece was peeled, looked over and stretched; `faults` is empty where it passed."""

    faults: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LeaveTrial:
    """The piece comes off the press without a finding."""


@dataclass(frozen=True, slots=True)
class NoteTrial:
    """The shop's file names the trial as its source now, or `why` it never will."""

    tried: Tried
    why: str = ""


@dataclass(frozen=True, slots=True)
class UnbeginJob:
    """A job that was put back with nothing pressed is to be begun by another plan."""

    job: str


@dataclass(frozen=True, slots=True)
class TakeBatch:
    """These garments of a shared order are this station's too."""

    job: str
    batch: int
    garments: tuple[Garment, ...]


@dataclass(frozen=True, slots=True)
class EndBatches:
    """Every batch of a shared order is done, here or elsewhere."""

    job: str


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """What a station called `name` has of a job: lines pressed there, or given to it.

    A copy of this station's own record has no name.

    `blocks` where its `claim` (a number, 0 for none) and this station's cannot both hold, or it
    presses a shared order by another plan: then `differs` says how.
    """

    name: str
    claim: int = 0
    blocks: bool = False
    lines: tuple[str, ...] = ()
    differs: tuple[Message, ...] = ()


@dataclass(frozen=True, slots=True)
class MeetClaims:
    """What the shop's server knows of the same job elsewhere.

    `left` are claims whose stations gave the job up before they had pressed any of it.
    """

    job: str
    others: tuple[Elsewhere, ...]
    left: tuple[int, ...] = ()
