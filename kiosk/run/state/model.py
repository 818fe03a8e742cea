"""Parts of a station's state: tickets, heat, a job under way, what can be taken back."""

from collections.abc import Mapping
from enum import Enum

from kiosk.catalog.base import dataclass
from kiosk.plan.model import Plan
from kiosk.run.state.cooling import CoolingPlace, Estimate
from kiosk.run.state.event import Now
from kiosk.run.state.rules import (
    NO_RULES,
    Batch,
    CountedScrap,
    FirstGarment,
    OtherClaims,
    Question,
    Rules,
)


class TimeSource(Enum):
    """How a time is known; screens and reports keep the four apart."""

    DECLARED = "declared"
    MEASURED = "measured"
    TOLD = "told"  # entered afterwards: pressed without a tap
    NOT_SEEN = "not seen"


class ConfirmMode(Enum):
    """What an operator confirms: a trainee each phase, a signed-off operator grouped moves."""

    EACH = "each phase"
    GROUPED = "grouped"


class TicketStage(Enum):
    """Where a ticket is."""

    WAITING = "waiting"  # in the queue
    AT_PRESS = "at the press"  # in the press slot: in hand or under heat
    COOLING = "cooling"  # on the rack (or in hand), waiting for its last peel
    UNKNOWN = "outcome unknown"  # a stop during heat: needs an inspection
    GOOD = "good"
    ACCEPTED = "accepted"  # not perfect, within the grade
    REWORK = "rework"  # can be fixed; may still end good, accepted or scrap
    SCRAP = "scrap"
    STOPPED = "stopped"  # e.g. its roster row changed: a supervisor decides
    VOID = "void"  # another pass of the same garment was scrapped


ENDED = frozenset({TicketStage.GOOD, TicketStage.ACCEPTED, TicketStage.SCRAP, TicketStage.VOID})


@dataclass(frozen=True, slots=True)
class Garment:
    """A roster line without its name; `digest` shows whether the row changed.

    `set` tells one player's garments apart, home and away; empty if the roster has none. `lacks`
    are the elements for which its line gave no value, as far as was checked when it was begun.
    """

    line: str
    number: str
    size: str
    digest: str
    set: str = ""
    lacks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Ticket:
    """One garment in one pass. `step` is the index of its current step in that pass.

    `finals` counts final presses begun and not given back, `represses` those a supervisor allowed
    beyond the first. `opened` is when its last closing ended, as far as known. `marks` are ids of
    things to look for at inspection (`short`, `early`, `over`, `unknown`, `unasked`, `told`,
    `late`). `peeled` once its carriers are off: a re-press then has nothing to peel. `skipped` if
    its pre-press is left out. `estimate` is when it can be peeled, `lies` where it was reported to
    cool, `lifted` since when that was known; `felt` the seconds after opening when it was last felt
    too warm, `read` the seconds and °C of the last thermometer reading. `beyond_seconds` is heat
    beyond the plan in its closings, as far as seen or reported: over-runs and unasked heat, less
    what a short closing left out. `lost` if part of its history may be missing from the record,
    until a supervisor decides on it. `without` are the steps it skips because its garment has
    nothing there. `was` is the garment as it lies there while it is stopped because its row now
    describes another one.
    """

    id: str
    garment: Garment
    passage: int
    copy: int = 1
    stage: TicketStage = TicketStage.WAITING
    step: int = 0
    finals: int = 0
    represses: int = 0
    opened: Now | None = None
    opened_seen: TimeSource = TimeSource.NOT_SEEN
    hot_peeled: bool = False
    marks: tuple[str, ...] = ()
    peeled: bool = False
    skipped: bool = False
    estimate: Estimate | None = None
    lies: CoolingPlace = CoolingPlace.NOT_SAID
    lifted: Now | None = None
    felt: float | None = None
    read: tuple[float, float] | None = None
    beyond_seconds: float = 0.0
    lost: bool = False
    without: tuple[int, ...] = ()
    was: Garment | None = None

    @property
    def used_up(self) -> bool:
        """Whether all its finals are used; only a supervisor can allow another."""
        return self.finals > self.represses


@dataclass(frozen=True, slots=True)
class Heat:
    """The press is closed, or believed closed. `ticket` is empty for heat nobody asked for.

    `starts` and the deadline `starts + dwell_seconds` are on the clock of `closed.boot`;
    `dwell_seconds` is None for unasked heat. `rang` once the end of time was recorded: after that
    the heat is kept only if the opening has to be seen.
    """

    ticket: str
    step: int
    closed: Now
    starts: float
    dwell_seconds: float | None
    seen: TimeSource
    rang: bool = False

    @property
    def deadline(self) -> float | None:
        """When the time is up, on the same clock as `starts`; None for unasked heat."""
        return None if self.dwell_seconds is None else self.starts + self.dwell_seconds


@dataclass(frozen=True, slots=True)
class Undo:
    """What "back one" would take back: the tickets and the press slot as they were before.

    `slot` is the ticket that gets the press back ("" for a peel at the rack, whose ticket returns
    to index `at` of the rack). `opened` are the tickets that a scrap opened; `queue` is the earlier
    queue if tickets were taken out of it. `leaving` if its ticket was on the way to the rack.
    `loaded` is the ticket loaded last before a closing.
    """

    what: str
    tickets: tuple[Ticket, ...]
    slot: str
    at: int = 0
    opened: tuple[str, ...] = ()
    queue: tuple[str, ...] = ()
    questions: tuple[Question, ...] = ()
    leaving: bool = False
    loaded: str = ""


@dataclass(frozen=True, slots=True)
class JobRun:
    """One job under way. `slot` is the ticket that has the press ("" for none).

    `queue` holds the ids still to load, in order; `rack` the cooling ones, oldest first;
    `last_loaded` the ticket loaded last, to see what changed. `setting` is what the operator last
    read from the press, whole degrees of the plan's unit; `set_for` the planned setting that this
    reading matches, or None; `set_in` the pass it was read for, or None if not known. `leaving` is
    the ticket being carried to the rack: the next closing confirms it. `aside` holds tickets that
    need a person's decision: unknown, rework, stopped. Each open ticket is in exactly one of queue,
    slot, rack and aside. `hands_from` is when the current move began, None if part of it may be
    done already; `quick` once the operator was asked whether it is done. `rules` is what the shop
    requires; `firsts` the first garments that need approval, and `scraps` those that count toward
    its limit. `tried` are the articles whose trial was made or let pass, `trial_first` those whose
    first garment is the trial; `trying` while a piece of cloth is pressed for one.

    For an order of `whole` garments shared among stations (0: not shared), `tickets` are those of
    the `batches` taken here; `more` while others may come. `met` while claims of other stations
    hold the work; a supervisor has decided on those in `settled`, and that the lines in `elsewhere`
    are not pressed here. `files` are digests of the files its plan was made from. `spares`:
    garments skip the steps that press nothing on them. `over_copy`: a supervisor has decided on a
    copy of this record.
    """

    job: str
    plan: Plan
    plan_hash: str
    tickets: Mapping[str, Ticket]
    queue: tuple[str, ...]
    slot: str = ""
    rack: tuple[str, ...] = ()
    setting: int | None = None
    last_loaded: str = ""
    questions: tuple[Question, ...] = ()
    undo: tuple[Undo, ...] = ()
    done: bool = False
    leaving: str = ""
    aside: tuple[str, ...] = ()
    hands_from: Now | None = None
    quick: bool = False
    rules: Rules = NO_RULES
    firsts: tuple[FirstGarment, ...] = ()
    scraps: tuple[CountedScrap, ...] = ()
    tried: tuple[str, ...] = ()
    trial_first: tuple[str, ...] = ()
    trying: bool = False
    set_for: int | None = None
    whole: int = 0
    batches: tuple[Batch, ...] = ()
    more: bool = False
    met: OtherClaims | None = None
    settled: tuple[int, ...] = ()
    elsewhere: tuple[str, ...] = ()
    files: tuple[tuple[str, str], ...] = ()
    set_in: int | None = None
    spares: bool = False
    over_copy: bool = False
