"""What happened. Each is on disk before it is shown; none holds a player's name."""

from kiosk.catalog.base import dataclass
from kiosk.plan.model import Plan
from kiosk.run.state.event import Event as Event
from kiosk.run.state.model import Garment, Seen, Stage
from kiosk.run.state.rules import NO_RULES, Ask, Question, Rules


@dataclass(frozen=True, slots=True)
class JobStarted(Event):
    """A job began here: the whole plan and its hash, the garments without names, the order.

    `rules` is what the shop asks for before its garments are pressed; `folder` is where the job
    lies, "" in a record of an older program. `due` is its day, ISO 8601, and `lots` the lot of each
    material, both as the job says and empty where it does not. Of an order of `whole` garments
    that several stations share, `garments` are those of its batch `batch` (0: it is not shared).
    `files` are digests of what its plan was made from, by file (none of an order that is not).
    `spares`: a garment goes without the steps that do nothing of it; earlier ones had them.
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
    """The job was put back, open."""

    job: str


@dataclass(frozen=True, slots=True)
class JobDone(Event):
    """Every ticket has its end."""

    job: str


@dataclass(frozen=True, slots=True)
class SettingRead(Event):
    """What was read from the press and what is asked, whole degrees, `tolerance` either way."""

    temperature: int
    required: int
    tolerance: int = 0

    @property
    def fits(self) -> bool:
        """Whether the press may be used at what it shows."""
        return abs(self.temperature - self.required) <= self.tolerance


@dataclass(frozen=True, slots=True)
class TicketCalled(Event):
    """A ticket has the press slot; its questions, if something changed, come first."""

    ticket: str
    questions: tuple[Question, ...] = ()


@dataclass(frozen=True, slots=True)
class ReadBack(Event):
    """What a person read from the garment in hand, right or wrong."""

    ticket: str
    ask: Ask
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

    Of a ticket on the rack it is a peel that is not its last. `early_seconds` is set where a
    peel was tapped before it was due, `late_seconds` where a hot one came long after its window;
    `before`: done at or before this moment.
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

    The same tap confirmed the ticket's hand steps `first`..`step - 1`, and `racked`, the
    ticket taken to the rack before it ("" for none). `starts_in` seconds later the clock
    starts. `again` on a second final that a supervisor allowed.
    """

    ticket: str
    first: int
    step: int
    dwell_seconds: float
    starts_in: float
    seen: Seen
    racked: str = ""
    again: bool = False


@dataclass(frozen=True, slots=True)
class ClosingSeen(Event):
    """A switch saw the closing that a tap had declared: the clock starts anew from here."""

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
    """The press was opened; `after_deadline` seconds (negative: before it)."""

    ticket: str
    step: int
    seen: Seen
    after_deadline: float | None


@dataclass(frozen=True, slots=True)
class AskedClosed(Event):
    """ "Opened" came before the deadline: was it closed at all?"""

    ticket: str
    step: int


@dataclass(frozen=True, slots=True)
class NotClosed(Event):
    """It had not been closed: the ticket is given back, no heat counts."""

    ticket: str
    step: int


@dataclass(frozen=True, slots=True)
class WasClosed(Event):
    """It had been closed, for less than planned; never topped up by itself."""

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
    """After a start in a hot phase a person said that the press is open."""


@dataclass(frozen=True, slots=True)
class Finished(Event):
    """A ticket's result. `before` True: done at or before this moment (tapped in the next closing).

    `stage` is GOOD, ACCEPTED, REWORK or SCRAP; `defect` and `cause` are class words of
    `kiosk.run.state.rules`, empty for GOOD. A scrap opens new tickets for the same roster line.
    `early_seconds` is set where a peel was tapped before it was due, `early_by_guess` with it
    where only a guess says so. `late_seconds` is set where a hot peel came long after its window.
    """

    ticket: str
    stage: Stage
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
    """A ticket of unknown outcome was found fit to go on at its next step."""

    ticket: str


@dataclass(frozen=True, slots=True)
class Skipped(Event):
    """The step at hand was left out, with a reason."""

    ticket: str
    step: int
    reason: str


@dataclass(frozen=True, slots=True)
class SetAside(Event):
    """A ticket went to the end of the queue before its final, with a reason."""

    ticket: str
    reason: str


@dataclass(frozen=True, slots=True)
class Stopped(Event):
    """A ticket may not go on until a supervisor decides (its roster row changed to `digest`).

    `row` is the row as it is now, None where it is gone and in older records.
    """

    ticket: str
    reason: str
    digest: str = ""
    row: Garment | None = None


@dataclass(frozen=True, slots=True)
class TakenBack(Event):
    """A mistaken tap was taken back; `what` names what it was. Both stay in the log."""

    what: str
    ticket: str


@dataclass(frozen=True, slots=True)
class NeverClosed(Event):
    """A closing whose time was counted had never been: no heat, the ticket is where it was."""

    ticket: str
    step: int


@dataclass(frozen=True, slots=True)
class ToldPressed(Event):
    """A ticket was pressed on hot step `step` without a tap; a person told `heat_seconds` after.

    It confirms the hand steps `first`..`step - 1`, and `racked`, as `Closed` does. `again` on a
    second final that a supervisor allowed.
    """

    ticket: str
    first: int
    step: int
    heat_seconds: float
    racked: str = ""
    again: bool = False
