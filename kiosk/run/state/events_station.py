"""Events of the station itself, of cooling garments, and of practice."""

from kiosk.catalog.base import Message, dataclass
from kiosk.run.state.cooling import (
    CoolingPlace,
    Estimate,
    LearnedCooling,
    LessonSource,
    PadHeat,
    TouchFeel,
)
from kiosk.run.state.event import Event
from kiosk.run.state.model import ConfirmMode, Garment


@dataclass(frozen=True, slots=True)
class StationStarted(Event):
    """The program started; the first one of a record shows whether it is a simulation."""

    version: str
    simulated: bool


@dataclass(frozen=True, slots=True)
class SignedOn(Event):
    """An operator took the station; opens a shift when none is open."""

    operator: str
    confirm: ConfirmMode


@dataclass(frozen=True, slots=True)
class SignedOff(Event):
    """A supervisor signed an operator off for a procedure family, until wall time `until`.

    `met` whether practice had shown everything the shop requires; an `until` in the past withdraws
    an earlier sign-off.
    """

    operator: str
    family: str
    until: float
    supervisor: str
    met: bool


@dataclass(frozen=True, slots=True)
class HandedOver(Event):
    """The shift ended, with what the operator passed on to the next one (`to`, "" for nobody).

    `slot` is the ticket at the press, `rack` the cooling ones, `aside` those that need a person's
    decision; `setting` what was last read from the press, `verified` whether its check held then.
    `notes` are ids of open questions (`handover.<id>` is the word).
    """

    operator: str
    to: str = ""
    job: str = ""
    slot: str = ""
    rack: tuple[str, ...] = ()
    aside: tuple[str, ...] = ()
    setting: int | None = None
    verified: bool = False
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class WallClockMoved(Event):
    """The wall clock jumped by `seconds` against the steady one; no dwell changes."""

    seconds: float


@dataclass(frozen=True, slots=True)
class Refused(Event):
    """A tap was turned away and the record of it matters (wrong read, second final)."""

    reason: str
    ticket: str = ""


@dataclass(frozen=True, slots=True)
class LogSalvaged(Event):
    """This record was rebuilt from the `kept` events that could be read of a damaged one.

    The damaged one is kept as `aside`; `behind_gap` of the events come from after an unreadable
    part. Every ticket still open is of unknown outcome from here on. At a `hole`, where events are
    missing, `kept` came before and `behind_gap` come after it; which job has the press is then
    unknown until one is started or taken.
    """

    aside: str
    kept: int
    behind_gap: int
    hole: bool = False


@dataclass(frozen=True, slots=True)
class PeelEstimated(Event):
    """When a ticket's peels are due from its heat; `pad` is None if only the estimate changed."""

    ticket: str
    estimate: Estimate
    pad: PadHeat | None


@dataclass(frozen=True, slots=True)
class PlaceSaid(Event):
    """A person reported where a ticket cools: lifted off the platen, or left on its pad."""

    ticket: str
    lies: CoolingPlace


@dataclass(frozen=True, slots=True)
class Touched(Event):
    """A person felt how warm a ticket's piece is, or measured it (`celsius`)."""

    ticket: str
    feels: TouchFeel
    celsius: float | None = None


@dataclass(frozen=True, slots=True)
class PeelLearned(Event):
    """The lesson from a ticket's peel, touch or reading, and what is known after it.

    Seconds are after opening: when it was seen, and what the model alone predicts. `low`, `factor`
    and `high` are β's middle and 80 % range after it.
    """

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
class LearningReset(Event):
    """A supervisor reset what was learned of one way of cooling."""

    lies: CoolingPlace
    supervisor: str


@dataclass(frozen=True, slots=True)
class BatchTaken(Event):
    """This station took these garments of a shared order too, its batch `batch`."""

    job: str
    batch: int
    garments: tuple[Garment, ...]


@dataclass(frozen=True, slots=True)
class BatchesEnded(Event):
    """Every batch of a shared order is done, here or elsewhere: no more will come."""

    job: str


@dataclass(frozen=True, slots=True)
class JobUnbegun(Event):
    """A job with a wrong plan and nothing pressed was undone, as if it had never begun."""

    job: str


@dataclass(frozen=True, slots=True)
class ClaimsMet(Event):
    """Other `stations` have this job too: no heat until a supervisor decides.

    `claims` are their claim numbers at the shop's server; `lines` this station's roster lines that
    they have pressed or been given. `differs` describes how their plan for a shared order differs
    from this one. A copy of this same record, on another tablet or from before an old one was
    restored, has no name among the stations.
    """

    job: str
    claims: tuple[int, ...]
    stations: tuple[str, ...]
    lines: tuple[str, ...]
    differs: tuple[Message, ...] = ()


@dataclass(frozen=True, slots=True)
class ClaimsLeft(Event):
    """These `stations` gave up the job they were holding before they had pressed any of it."""

    job: str
    stations: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Held(Event):
    """A person put the station on hold."""

    reason: str


@dataclass(frozen=True, slots=True)
class Restarted(Event):
    """A person ended the hold."""


@dataclass(frozen=True, slots=True)
class StepPractised(Event):
    """A trainee did step `step` of `family` at help level `level` (0 watch .. 4 own), or failed.

    `reason` if the reason for the step was asked and answered right.
    """

    operator: str
    family: str
    step: str
    level: int
    right: bool
    reason: bool = False


@dataclass(frozen=True, slots=True)
class SlipShown(Event):
    """A deliberate slip was found or missed: at the drawn `bench`, or in words."""

    operator: str
    families: tuple[str, ...]
    slip: str
    caught: bool
    bench: bool = False


@dataclass(frozen=True, slots=True)
class GarmentPractised(Event):
    """A garment was practised: `seconds` of hands; `own` without help, `clean` without a fault.

    `found` counts the slips found at the bench, `false_alarms` the touches there on things that
    were right.
    """

    operator: str
    families: tuple[str, ...]
    seconds: float
    own: bool
    clean: bool
    false_alarms: int = 0
    found: int = 0


@dataclass(frozen=True, slots=True)
class QuizAnswered(Event):
    """A quiz question of one kind was answered, about the families of one job."""

    operator: str
    kind: str
    right: bool
    families: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SignOffAsked(Event):
    """A trainee who showed everything the shop requires asks to be signed off for a family."""

    operator: str
    family: str
