"""A shop's rules around a lot, questions a person answers, and choices for the station."""

from collections.abc import Iterable
from enum import Enum

from kiosk.catalog.base import Message, Value, dataclass, say
from kiosk.catalog.model import Approver, Demand, Policy, Press
from kiosk.run.state.event import Now


@dataclass(frozen=True, slots=True)
class Rules:
    """One job's rules, kept in its start record, so that replay reads no file.

    `verify`: the press is checked at its setting before heat. The check holds if the mean of its
    five readings is within `offset_most` of the set value, highest and lowest are at most
    `spread_most` apart (degrees of the plan's unit) and the paper holds on every side; it lapses
    after `verify_seconds`, another setting, a restart of the machine, or `idle_seconds` without a
    move. Common practice, no source.

    `first_article`: the first garment of each setting and material holds the lot until `approver`
    approves it. `scrap_limit` scraps of one cause hold the job (0: no limit). `trial`: a setting
    based on a guess is tried before its lot. `tolerance`: whole degrees of the plan's unit that the
    press may show above or below the required value.
    """

    verify: Demand = Demand.NO
    offset_most: float = 0.0
    spread_most: float = 0.0
    verify_seconds: float = 4 * 3600.0
    idle_seconds: float = 3600.0
    first_article: Demand = Demand.NO
    approver: Approver = Approver.SUPERVISOR
    scrap_limit: int = 0
    trial: Demand = Demand.NO
    tolerance: int = 0


NO_RULES = Rules()
"""Nothing is required."""


def rules_of(policy: Policy, press: Press) -> Rules:
    """Return the shop's rules for a job on one of its presses, in that press's unit."""
    verify = policy.verify
    tolerance = float(press.tolerance.exact_in(press.unit))
    offset, spread = (
        None if step is None else float(step.exact_in(press.unit))
        for step in (verify.offset, verify.spread)
    )
    return Rules(
        verify.demand,
        tolerance if offset is None else offset,
        2 * tolerance if spread is None else spread,
        float(verify.valid.value),
        float(verify.idle.value),
        policy.first_article.demand,
        policy.first_article.approver,
        policy.scrap_limit,
        policy.trial,
        int(press.tolerance.exact_in(press.unit)),
    )


@dataclass(frozen=True, slots=True)
class LastCheck:
    """The last check of the press: its setting and time; `waived` if a supervisor let it pass.

    `lapsed` is when it ceased to hold, None if it still holds or never did.
    """

    press: str
    temperature: int
    at: Now
    passed: bool
    waived: bool = False
    lapsed: Now | None = None

    @property
    def holds(self) -> bool:
        """Whether it is in force: passed or waived, and not lapsed."""
        return (self.passed or self.waived) and self.lapsed is None


@dataclass(frozen=True, slots=True)
class FirstGarment:
    """The first garment of an article (a setting, fabric and materials), and its operator."""

    article: str
    ticket: str
    operator: str
    approved: bool = False


@dataclass(frozen=True, slots=True)
class CountedScrap:
    """A scrap that counts toward the shop's limit for its cause."""

    ticket: str
    cause: str


@dataclass(frozen=True, slots=True)
class PinTries:
    """Wrong entries of the PIN since the last right one, the latest at `at`."""

    wrong: int
    at: Now


@dataclass(frozen=True, slots=True)
class TriedSubject:
    """A material or fabric (`kind`) by its key, with the setting (`at`) of its trial."""

    kind: str
    key: str
    at: str


@dataclass(frozen=True, slots=True)
class TrialFinding:
    """A passed trial not yet in the shop's files: its subject, wall time and judge."""

    tried: TriedSubject
    wall: float
    by: str


class QuestionKind(Enum):
    """What a person is asked to read and enter before heat."""

    SIZE = "size"
    NUMBER = "number"
    SETTING = "setting"


class QuestionCause(Enum):
    """Why a question is asked."""

    SIZE = "size"
    SETTING = "setting"
    OPERATOR = "operator"
    BREAK = "break"
    TWIN = "twin"
    LATER_PASS = "later pass"


@dataclass(frozen=True, slots=True)
class Question:
    """What to read from the garment (or press) first; `choices` in a shuffled order."""

    ticket: str
    ask: QuestionKind
    because: QuestionCause
    choices: tuple[str, ...]
    right: str
    tries: int = 0


@dataclass(frozen=True, slots=True)
class Display:
    """One operator's choices for the screen; an empty field means the shop's default.

    `degrees` is the scale shown beside the press's own, `length` `in` or `mm`; `still` if nothing
    may move by itself.
    """

    language: str = ""
    degrees: str = ""
    length: str = ""
    still: bool = False


AS_THE_SHOP = Display()


@dataclass(frozen=True, slots=True)
class SignOff:
    """A supervisor signed an operator off for a procedure family, until a wall time."""

    operator: str
    family: str
    until: float


class Role(Enum):
    """The meaning of a key of a pedal or of a switch on the press."""

    FORWARD = "forward"
    SECOND = "second"  # same as a long press of forward, on its own pedal
    CLOSED = "press closed"
    OPENED = "press opened"


@dataclass(frozen=True, slots=True)
class Cues:
    """Cues beside the screen; each can be turned off separately."""

    tones: bool = True
    voice: bool = False
    vibration: bool = True


@dataclass(frozen=True, slots=True)
class Batch:
    """Garments of a shared order that this station has taken, by their roster lines."""

    number: int
    lines: tuple[str, ...]


def stations_called(names: Iterable[str]) -> tuple[Value, ...]:
    """Return the names to show for other stations; "" is a copy of this one's record."""
    return tuple(name or say("station.its_copy") for name in names)


@dataclass(frozen=True, slots=True)
class OtherClaims:
    """Claims of other `stations` on this job, and its lines that they have pressed or been given.

    `differs` describes how their plan for a shared order differs. A copy of this record is "".
    """

    claims: tuple[int, ...]
    stations: tuple[str, ...]
    lines: tuple[str, ...]
    differs: tuple[Message, ...] = ()

    @property
    def station_names(self) -> tuple[Value, ...]:
        """The names to show for the stations."""
        return stations_called(self.stations)

    @property
    def by_copy(self) -> bool:
        """Whether one of the stations is a copy of this record."""
        return "" in self.stations

    @property
    def by_plan(self) -> bool:
        """Whether only a different plan holds the job: no line is pressed or given elsewhere."""
        return bool(self.differs) and not self.lines


@dataclass(frozen=True, slots=True)
class Hold:
    """A person put the station on hold. Heat runs on and is recorded."""

    since: Now
    reason: str
