"""What happened to the station itself, to garments that cool, and in practice."""

from kiosk.catalog.base import Message, dataclass
from kiosk.run.state.cooling import Estimate, Feels, Kept, Lies, PadHeat, Taught
from kiosk.run.state.event import Event
from kiosk.run.state.model import Confirm, Garment


@dataclass(frozen=True, slots=True)
class StationStarted(Event):
    """The program started; the first of a log says whether it is a simulation."""

    version: str
    simulated: bool


@dataclass(frozen=True, slots=True)
class SignedOn(Event):
    """An operator took the station; opens a shift when none is open."""

    operator: str
    confirm: Confirm


@dataclass(frozen=True, slots=True)
class SignedOff(Event):
    """A supervisor signed an operator off for a procedure family, until wall time `until`.

    `met` whether practice had shown all that the shop asks for; an `until` that is past
    takes an earlier sign-off back.
    """

    operator: str
    family: str
    until: float
    supervisor: str
    met: bool


@dataclass(frozen=True, slots=True)
class HandedOver(Event):
    """The shift ended; what the one who goes told the one who comes (`to`, "" for nobody).

    `slot` is the ticket at the press, `rack` the cooling ones, `aside` those that wait for a
    person; `setting` what was last read from the press, `verified` whether its check held then.
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
    """The wall clock jumped against the steady one by `seconds`; no dwell changes."""

    seconds: float


@dataclass(frozen=True, slots=True)
class Refused(Event):
    """A tap that was turned away, where the record of it matters (wrong read, second final)."""

    reason: str
    ticket: str = ""


@dataclass(frozen=True, slots=True)
class LogSalvaged(Event):
    """This log was made of the `kept` events that could be read of a damaged one.

    That one is set aside as `aside`; `behind_gap` of the events come from behind a part that
    could not be read. Every ticket still open is of unknown outcome from here on. At a `hole`,
    where events are missing, `kept` came before and `behind_gap` come behind: which job has the
    press there nobody knows until one is started or taken.
    """

    aside: str
    kept: int
    behind_gap: int
    hole: bool = False


@dataclass(frozen=True, slots=True)
class PeelEstimated(Event):
    """When a ticket's peels are due by its heat; `pad` None where only the estimate changed."""

    ticket: str
    estimate: Estimate
    pad: PadHeat | None


@dataclass(frozen=True, slots=True)
class PlaceSaid(Event):
    """A person said where a ticket cools: lifted off the platen, or left on its pad."""

    ticket: str
    lies: Lies


@dataclass(frozen=True, slots=True)
class Touched(Event):
    """A person felt, or measured (`celsius`), how warm a ticket's piece is."""

    ticket: str
    feels: Feels
    celsius: float | None = None


@dataclass(frozen=True, slots=True)
class PeelLearned(Event):
    """What a ticket's peel, touch or reading taught, and what is known since.

    Seconds after opening: when it was seen, and what the model alone says for it. `low`,
    `factor` and `high` are β's middle and 80 % range after it.
    """

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
class LearningReset(Event):
    """A supervisor had everything forgotten that was learned of one way of cooling."""

    lies: Lies
    supervisor: str


@dataclass(frozen=True, slots=True)
class BatchTaken(Event):
    """These garments of a shared order, its batch `batch`, are this station's too."""

    job: str
    batch: int
    garments: tuple[Garment, ...]


@dataclass(frozen=True, slots=True)
class BatchesEnded(Event):
    """Every batch of a shared order is done, here or elsewhere: none will come."""

    job: str


@dataclass(frozen=True, slots=True)
class JobUnbegun(Event):
    """A job by a wrong plan, of which nothing was pressed, is as if it had never begun."""

    job: str


@dataclass(frozen=True, slots=True)
class ClaimsMet(Event):
    """Other `stations` have this job too: no heat until a supervisor has decided.

    `claims` are the numbers of theirs at the shop's server; `lines` the roster lines of this
    station's that they have pressed, or that were given to them. `differs` says how they press a
    shared order otherwise, where its plan is another one there. A copy of this very record, on
    another tablet or of before an old one was put back, has no name among the stations.
    """

    job: str
    claims: tuple[int, ...]
    stations: tuple[str, ...]
    lines: tuple[str, ...]
    differs: tuple[Message, ...] = ()


@dataclass(frozen=True, slots=True)
class ClaimsLeft(Event):
    """The `stations` that this job was held by gave it up before they had pressed any of it."""

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
    """A trainee did step `step` of `family` with so much help (0 watch .. 4 own), or failed it.

    `reason` tells that its reason was asked and answered right.
    """

    operator: str
    family: str
    step: str
    level: int
    right: bool
    reason: bool = False


@dataclass(frozen=True, slots=True)
class SlipShown(Event):
    """A slip was put in on purpose, and found or missed: on the drawn `bench`, or in words."""

    operator: str
    families: tuple[str, ...]
    slip: str
    caught: bool
    bench: bool = False


@dataclass(frozen=True, slots=True)
class GarmentPractised(Event):
    """A garment was practised: `seconds` of hands; `own` without help, `clean` without a fault.

    `found` counts the slips found on the bench, `false_alarms` what was touched there although
    nothing was wrong with it.
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
    """A quiz question of a kind was answered, about the families of one job."""

    operator: str
    kind: str
    right: bool
    families: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SignOffAsked(Event):
    """A trainee who showed all that the shop asks for asks to be signed off for a family."""

    operator: str
    family: str
