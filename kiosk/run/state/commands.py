"""Commands to the station from a person, a pedal, a switch or the clock."""

from enum import Enum

from kiosk.catalog.base import dataclass
from kiosk.plan.model import Plan
from kiosk.run.state import commands_shift as s
from kiosk.run.state.model import ConfirmMode, Garment, TicketStage
from kiosk.run.state.rules import NO_RULES, Display, Role, Rules


class Verb(Enum):
    """What a press of forward can mean."""

    CLOSE = "close"  # confirm the current hand steps and close
    CONFIRM = "confirm"  # confirm one hand step (each-phase mode)
    FINISH = "finish"  # the ticket in the slot: (peeled,) good
    PEELED = "peeled"  # a ticket of the rack: peeled, good
    OPENED = "opened"  # the press is open, after the tone
    PRESS_IS_OPEN = "press is open"  # after a start in a hot phase
    GO_ON = "go on"  # an unknown outcome was inspected and is fit to continue
    RESTART = "restart"  # end a hold


@dataclass(frozen=True, slots=True)
class Meaning:
    """What the forward bar showed when it was pressed: exactly that happens, or a refusal."""

    verb: Verb
    ticket: str = ""
    step: int = 0


@dataclass(frozen=True, slots=True)
class Forward:
    """Forward was pressed. `down` is the clock at the press, `meaning` the label at that moment."""

    meaning: Meaning
    down: float


@dataclass(frozen=True, slots=True)
class Tick:
    """The clock moved on: end the phases whose time is up."""


@dataclass(frozen=True, slots=True)
class Start:
    """The program started on this record."""

    version: str
    simulated: bool = False


@dataclass(frozen=True, slots=True)
class SignOn:
    """An operator (initials) takes the station."""

    operator: str
    confirm: ConfirmMode


@dataclass(frozen=True, slots=True)
class GiveSignOff:
    """A supervisor signs an operator off for a family until wall time `until` (past: withdrawn)."""

    operator: str
    family: str
    until: float
    supervisor: str
    met: bool


@dataclass(frozen=True, slots=True)
class HandOver:
    """The operator ends the shift; `to` are the next one's initials, `notes` open questions."""

    to: str = ""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StartJob:
    """Begin a job, or resume one begun earlier (`plan` and `garments` are then ignored)."""

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


@dataclass(frozen=True, slots=True)
class LeaveJob:
    """Put the job back, still open."""


@dataclass(frozen=True, slots=True)
class ReadSetting:
    """A reading from the press, whole degrees of the plan's unit."""

    temperature: int


@dataclass(frozen=True, slots=True)
class AnswerQuestion:
    """An answer to the current question."""

    value: str


@dataclass(frozen=True, slots=True)
class SayOpened:
    """ "Opened", while the press is believed closed (button, or a long press of the pedal)."""


@dataclass(frozen=True, slots=True)
class SayClosed:
    """The answer to "was it closed?"."""

    closed: bool


@dataclass(frozen=True, slots=True)
class PressClosed:
    """A switch on the press saw it close."""


@dataclass(frozen=True, slots=True)
class PressOpened:
    """A switch on the press saw it open."""


@dataclass(frozen=True, slots=True)
class Back:
    """Take back the last tap, never while hot; or the one before a closing, keeping the closing."""

    closing_stays: bool = False


@dataclass(frozen=True, slots=True)
class PutOnHold:
    """Put the station on hold."""

    reason: str = ""


@dataclass(frozen=True, slots=True)
class Skip:
    """Skip the next pre-press, with a reason."""

    reason: str


@dataclass(frozen=True, slots=True)
class PutAside:
    """Send the ticket in the slot to the end of its run, or aside if its outcome is unknown."""

    reason: str


@dataclass(frozen=True, slots=True)
class Inspect:
    """A result for a ticket: GOOD, ACCEPTED, REWORK or SCRAP; defect and cause if not good."""

    ticket: str
    stage: TicketStage
    defect: str = ""
    cause: str = ""
    piece: str = ""


@dataclass(frozen=True, slots=True)
class RowChanged:
    """A ticket's roster row is not what it was when the job began.

    `digest` is of the new row: one that a supervisor has decided on does not stop the ticket again.
    `lacks` are the elements for which it has no value; `row` is all that the record may keep of it,
    None if it is gone.
    """

    line: str
    digest: str = ""
    lacks: tuple[str, ...] = ()
    row: Garment | None = None


@dataclass(frozen=True, slots=True)
class AllowRepress:
    """A supervisor allows one more final press."""

    ticket: str
    supervisor: str
    reason: str


@dataclass(frozen=True, slots=True)
class RuleOnTicket:
    """A supervisor decides what happens to a stopped, unknown or rework ticket."""

    ticket: str
    stage: TicketStage
    supervisor: str
    reason: str


@dataclass(frozen=True, slots=True)
class ChooseDisplay:
    """The operator changed language, units or stillness; applies until changed again."""

    display: Display


@dataclass(frozen=True, slots=True)
class SetCues:
    """Turn tones, voice and vibration on or off."""

    tones: bool
    voice: bool
    vibration: bool


@dataclass(frozen=True, slots=True)
class LearnKey:
    """Use this key for that role, replacing the keys it had."""

    role: Role
    scancode: int


@dataclass(frozen=True, slots=True)
class ForgetKeys:
    """Go back to the built-in keys."""


Command = (
    Forward | SetCues | LearnKey | ForgetKeys | Tick | Start | SignOn | GiveSignOff | HandOver
    | StartJob | LeaveJob | ReadSetting | AnswerQuestion | SayOpened | SayClosed | PressClosed
    | PressOpened | Back | PutOnHold | Skip | PutAside | Inspect | RowChanged | AllowRepress
    | RuleOnTicket | ChooseDisplay | s.VerifyPress | s.LetPass | s.JudgeFirst | s.TryPin
    | s.ChoosePin | s.NoteRecipes | s.NoteUpkeep | s.ConfirmColumns | s.TakeOrder | s.ApproveProof
    | s.DeleteNames | s.BeginTrial | s.TryFirst | s.JudgeTrial | s.LeaveTrial | s.NoteTrial
    | s.SayNeverClosed | s.SayPressed | s.UnbeginJob | s.TakeBatch | s.EndBatches | s.MeetClaims
    | s.GiveEstimate | s.SayPlace | s.ReportTouch | s.LearnPeel | s.ResetLearning
)  # fmt: skip
