"""Events of a job and its garments. Each is on disk before it is shown; none holds a name."""

from kiosk.catalog.base import dataclass
from kiosk.plan.model import Plan
from kiosk.run.state.event import Event as Event
from kiosk.run.state.model import Garment, TicketStage, TimeSource
from kiosk.run.state.rules import NO_RULES, Question, QuestionKind, Rules


@dataclass(frozen=True, slots=True)
class JobStarted(Event):
    """A job began here: the whole plan and its hash, the garments without names, the order.

    `rules` is what the shop requires before its garments are pressed; `folder` is where the job
    lies, "" in a record of an older program. `due` is its day, ISO 8601, and `lots` the lot of each
    material, both as given by the job and empty if not. For an order of `whole` garments shared
    among stations, `garments` are those of its batch `batch` (0: not shared). `files` are digests
    of the files its plan was made from (empty if not shared). `spares`: garments skip the steps
    that press nothing on them; jobs of older records do not.
    """

    job: str
    plan: Plan
    plan_hash: str
    garments: tuple[Garment, ...]
    accepted_questions: int = 0
    rules: Rules = NO_RULES
    folder: str = ""
    due: str = ""
    lots: tuple[tuple[str, str], ...] = ()
    batch: int = 0
    whole: int = 0
    files: tuple[tuple[str, str], ...] = ()
    spares: bool = False


@dataclass(frozen=True, slots=True)
class JobTaken(Event):
    """A job begun earlier is at the press again."""

    job: str


@dataclass(frozen=True, slots=True)
class JobLeft(Event):
    """The job was put back, still open."""

    job: str


@dataclass(frozen=True, slots=True)
class JobDone(Event):
    """Every ticket of the job has a result."""

    job: str


@dataclass(frozen=True, slots=True)
class SettingRead(Event):
    """What was read from the press and what is required, whole degrees, within `tolerance`."""

    temperature: int
    required: int
    tolerance: int = 0

    @property
    def fits(self) -> bool:
        """Whether the reading is within tolerance."""
        return abs(self.temperature - self.required) <= self.tolerance


@dataclass(frozen=True, slots=True)
class TicketCalled(Event):
    """A ticket has the press slot; if something changed, its questions come first."""

    ticket: str
    questions: tuple[Question, ...] = ()


@dataclass(frozen=True, slots=True)
class ReadBack(Event):
    """A person's reading from the garment in hand, right or wrong."""

    ticket: str
    ask: QuestionKind
    read: str
    right: bool


@dataclass(frozen=True, slots=True)
class AskedQuick(Event):
    """The move from `step` on was confirmed `missing` seconds sooner than hands can do it."""

    ticket: str
    step: int
    missing: float


@dataclass(frozen=True, slots=True)
class Confirmed(Event):
    """Hand steps `first`..`last` of a ticket were declared done, without a closing after them.

    For a ticket on the rack it is a peel other than its last. `early_seconds` is set if a peel was
    tapped before it was due, `late_seconds` if a hot one came long after its window; `before`: done
    at or before this moment.
    """

    ticket: str
    first: int
    last: int
    early_seconds: float | None = None
    before: bool = False
    late_seconds: float | None = None


@dataclass(frozen=True, slots=True)
class Closed(Event):
    """The press was closed on a ticket's hot step `step`.

    The same tap confirmed the ticket's hand steps `first`..`step - 1`, and `racked`, the ticket
    taken to the rack before it ("" for none). The clock starts `starts_in` seconds later. `again`
    for a second final that a supervisor allowed.
    """

    ticket: str
    first: int
    step: int
    dwell_seconds: float
    starts_in: float
    seen: TimeSource
    racked: str = ""
    again: bool = False


@dataclass(frozen=True, slots=True)
class ClosingSeen(Event):
    """A switch saw the closing that a tap had declared: the clock restarts from here."""

    ticket: str


@dataclass(frozen=True, slots=True)
class UnaskedClosing(Event):
    """A switch saw the press close although nothing asked for it."""

    ticket: str


@dataclass(frozen=True, slots=True)
class TimeUp(Event):
    """The clock ended a timed phase and the tone sounded; `due` is the deadline itself."""

    ticket: str
    step: int
    due: float


@dataclass(frozen=True, slots=True)
class Opened(Event):
    """The press was opened, `after_deadline` seconds after the deadline (negative: before it)."""

    ticket: str
    step: int
    seen: TimeSource
    after_deadline: float | None


@dataclass(frozen=True, slots=True)
class AskedClosed(Event):
    """ "Opened" came before the deadline: was it closed at all?"""

    ticket: str
    step: int


@dataclass(frozen=True, slots=True)
class NotClosed(Event):
    """The press had not been closed: the ticket is given back, no heat counts."""

    ticket: str
    step: int


@dataclass(frozen=True, slots=True)
class WasClosed(Event):
    """The press had been closed, for less than planned; never topped up automatically."""

    ticket: str
    step: int
    heat_seconds: float


@dataclass(frozen=True, slots=True)
class OutcomeUnknown(Event):
    """The station stopped or slept while the press was closed on this ticket."""

    ticket: str
    step: int
    why: str


@dataclass(frozen=True, slots=True)
class OpenSaid(Event):
    """After a start in a hot phase a person confirmed that the press is open."""


@dataclass(frozen=True, slots=True)
class Finished(Event):
    """A ticket's result. `before`: done at or before this moment (tapped in the next closing).

    `stage` is GOOD, ACCEPTED, REWORK or SCRAP; `defect` and `cause` are ids of
    `kiosk.run.state.defects`, empty for GOOD. A scrap opens new tickets for the same roster line.
    `early_seconds` is set if a peel was tapped before it was due, with `early_by_guess` if the due
    time is only a guess. `late_seconds` is set if a hot peel came long after its window.
    """

    ticket: str
    stage: TicketStage
    peeled: bool
    before: bool = False
    defect: str = ""
    cause: str = ""
    piece: str = ""
    early_seconds: float | None = None
    early_by_guess: bool = False
    late_seconds: float | None = None


@dataclass(frozen=True, slots=True)
class WentOn(Event):
    """A ticket of unknown outcome was found fit to continue at its next step."""

    ticket: str


@dataclass(frozen=True, slots=True)
class Skipped(Event):
    """The current step was left out, with a reason."""

    ticket: str
    step: int
    reason: str


@dataclass(frozen=True, slots=True)
class SetAside(Event):
    """A ticket went to the end of its run, or aside if its outcome is unknown, with a reason."""

    ticket: str
    reason: str


@dataclass(frozen=True, slots=True)
class Stopped(Event):
    """A ticket waits for a supervisor's decision (its roster row changed to `digest`).

    `row` is the row as it is now, None if it is gone and in older records.
    """

    ticket: str
    reason: str
    digest: str = ""
    row: Garment | None = None


@dataclass(frozen=True, slots=True)
class TakenBack(Event):
    """A mistaken tap was taken back; `what` names its kind. Both stay in the record."""

    what: str
    ticket: str


@dataclass(frozen=True, slots=True)
class NeverClosed(Event):
    """A counted closing never happened: no heat, and the ticket is where it was before."""

    ticket: str
    step: int


@dataclass(frozen=True, slots=True)
class ToldPressed(Event):
    """A ticket was pressed on hot step `step` without a tap; `heat_seconds` as reported later.

    Confirms the hand steps `first`..`step - 1`, and `racked`, as `Closed` does. `again` for a
    second final that a supervisor allowed.
    """

    ticket: str
    first: int
    step: int
    heat_seconds: float
    racked: str = ""
    again: bool = False
