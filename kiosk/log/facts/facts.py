"""The rows that a report reads from one log for some of its shifts. No SQL here."""

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from kiosk.plan.model import Plan
from kiosk.run.state import NO_RULES, Event, PressVerified, Rules, TimeSource


class Shift(NamedTuple):
    """From a sign-on to the hand-over (`ended` None: still running), wall seconds since 1970.

    `id` counts from 1; `first` and `last` are the numbers of its first and last event.
    """

    id: int
    first: int
    last: int
    began: float
    ended: float | None


class Stint(NamedTuple):
    """One operator at one job ("" for none) within one shift: events `first` to `last`."""

    nth: int
    shift: int
    operator: str
    job: str
    first: int
    last: int


class JobStart(NamedTuple):
    """Contents of a job's start record; `whole` is the size of an order that stations share.

    `lacks` lists the roster lines without a name or a number, each with the elements lacking.
    """

    plan: Plan
    rules: Rules = NO_RULES
    accepted_questions: int = 0
    seq: int = 0
    due: str = ""
    lots: tuple[tuple[str, str], ...] = ()
    whole: int = 0
    lacks: tuple[tuple[str, tuple[str, ...]], ...] = ()


class EventTally(NamedTuple):
    """Events of one kind in one stint, with the total seconds since each one's preceding event.

    `idle_seconds` is the part spent on hold, after a job's end, or in a gap longer than a break.
    """

    stint: int
    kind: str
    many: int
    seconds: float
    idle_seconds: float


class GarmentCount(NamedTuple):
    """Number of a job's garments with the same result. `own`: last result in the shifts read.

    `latest`: no copy replaces it. `first_pass`: good with no defect and no second final. `passes`
    are the indexes of the passes it goes through; a pass with nothing for it is left out.
    """

    job: str
    result: str
    own: bool
    latest: bool
    first_pass: bool
    many: int
    passes: tuple[int, ...] = ()


class ClosingCount(NamedTuple):
    """Closings on one step that are known in the same way.

    `openings` has (wall seconds, set seconds, seconds over) for each opening declared or measured;
    the last is negative if the press was opened early.
    """

    stint: int
    passage: int
    step: int
    closing: TimeSource
    opening: TimeSource
    many: int
    openings: tuple[tuple[float, float, float], ...]


class StepSeconds(NamedTuple):
    """Seconds taken by one move (hand steps `first` to `step` - 1) or by one step's cycle."""

    stint: int
    passage: int
    first: int
    step: int
    seconds: tuple[float, ...]


class PeelSeconds(NamedTuple):
    """Seconds from opening to the tap after a peel; `before`: peeled at that tap or earlier."""

    stint: int
    passage: int
    seconds: tuple[float, ...]
    before: tuple[float, ...]


class GarmentSample(NamedTuple):
    """Consecutive garments: how many, how many with a defect, and when the first one ended."""

    size: int
    defective: int
    wall: float


class ReportedEvent(NamedTuple):
    """An event that a report reads individually. `stint` is -1 outside any stint."""

    seq: int
    stint: int
    event: Event


class ScrappedGarment(NamedTuple):
    """A garment that was scrapped in the shifts read.

    `passes` are the passes it went through, each with the last step the press closed on, or 0 for
    none: what was laid before that step is used up.
    """

    job: str
    line: str
    number: str
    passes: tuple[tuple[int, int], ...]


class UncheckedGarment(NamedTuple):
    """A garment that had a final on `press` since that press's last good check."""

    press: str
    job: str
    line: str
    number: str


class ShortHeatGarment(NamedTuple):
    """A garment that ended good in the shifts read although its heat was short or not seen."""

    job: str
    line: str
    number: str
    marks: tuple[str, ...]


class DueJob(NamedTuple):
    """An unfinished job with a due date, and the number of garments left."""

    job: str
    title: str
    due: str
    ordered: int
    left: int


class ClockJump(NamedTuple):
    """The wall clock was changed by `seconds` (negative: back) just before event `seq`."""

    seq: int
    seconds: float


class Record(NamedTuple):
    """Which log was read and up to which event: `code` for people, `head` for programs.

    `lost` are the unreadable events of the shifts read, `lost_elsewhere` the number of other
    unreadable ones; `jumps` are the wall clock's changes in these shifts.
    """

    station: str = ""
    code: str = ""
    head: str = ""
    lost: tuple[int, ...] = ()
    lost_elsewhere: int = 0
    jumps: tuple[ClockJump, ...] = ()


NO_RECORD = Record()


NONE: Mapping[str, Any] = {}


class Facts(NamedTuple):
    """Everything a report needs from one log for some shifts. `checks` also covers earlier ones.

    `taken_over` holds job and ticket of garments with a defect that were pressed by somebody other
    than the operator who reported it.
    """

    station: str
    record: Record = NO_RECORD
    simulated: bool = False
    shifts: tuple[Shift, ...] = ()
    stints: tuple[Stint, ...] = ()
    jobs: Mapping[str, JobStart] = NONE
    tallies: tuple[EventTally, ...] = ()
    garments: tuple[GarmentCount, ...] = ()
    closings: tuple[ClosingCount, ...] = ()
    cycles: tuple[StepSeconds, ...] = ()
    moves: tuple[StepSeconds, ...] = ()
    peels: tuple[PeelSeconds, ...] = ()
    samples: tuple[GarmentSample, ...] = ()
    noted: Iterable[ReportedEvent] = ()
    spoiled: tuple[ScrappedGarment, ...] = ()
    checks: tuple[tuple[int, PressVerified], ...] = ()
    pulled: tuple[UncheckedGarment, ...] = ()
    marked: tuple[ShortHeatGarment, ...] = ()
    due: tuple[DueJob, ...] = ()
    taken_over: frozenset[tuple[str, str]] = frozenset()
    ordered_seconds: Mapping[str, float] = NONE

    def stint(self, nth: int) -> Stint | None:
        """Return a stint by its number; None outside any stint."""
        return self.stints[nth] if 0 <= nth < len(self.stints) else None
