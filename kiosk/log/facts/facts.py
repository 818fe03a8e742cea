"""What a log tells of some of its shifts, as rows: what the report is made of. No SQL here."""

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from kiosk.plan.model import Plan
from kiosk.run.state import NO_RULES, Event, PressVerified, Rules, Seen


class Shift(NamedTuple):
    """From a sign-on to the hand-over (`ended` None: goes on), wall seconds since 1970.

    `id` counts from 1; `first` and `last` are its events.
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


class Begun(NamedTuple):
    """What the start record of a job says; `whole` garments are shared by several stations.

    `lacks` has the roster lines that had nothing for some elements, with these.
    """

    plan: Plan
    rules: Rules = NO_RULES
    accepted_questions: int = 0
    seq: int = 0
    due: str = ""
    lots: tuple[tuple[str, str], ...] = ()
    whole: int = 0
    lacks: tuple[tuple[str, tuple[str, ...]], ...] = ()


class Tally(NamedTuple):
    """Events of one kind in one stint, with the seconds from the event before each to it.

    `idle_seconds` are the part of these after a hold, after a job's end, or longer than a
    break.
    """

    stint: int
    kind: str
    many: int
    seconds: float
    idle_seconds: float


class GarmentCount(NamedTuple):
    """Garments of a job that stand alike. `own` if the last result fell in the shifts read.

    `latest` if no copy replaces it; `first_pass` if good with no defect and no second final.
    `passes` are those that they go through, by index: none of which a garment has nothing.
    """

    job: str
    result: str
    own: bool
    latest: bool
    first_pass: bool
    many: int
    passes: tuple[int, ...] = ()


class Closings(NamedTuple):
    """Closings on one step, alike in how they are known.

    `openings` has (wall seconds, set seconds, seconds over them) where the opening was told
    or measured; over is below 0 for one that was opened early.
    """

    stint: int
    passage: int
    step: int
    closing: Seen
    opening: Seen
    many: int
    openings: tuple[tuple[float, float, float], ...]


class Seconds(NamedTuple):
    """Times in seconds: of one move (hand steps `first` to `step` - 1), or of one step's cycle."""

    stint: int
    passage: int
    first: int
    step: int
    seconds: tuple[float, ...]


class Peels(NamedTuple):
    """Seconds from opening to the tap that said peeled; `before`: at or before that tap."""

    stint: int
    passage: int
    seconds: tuple[float, ...]
    before: tuple[float, ...]


class Sample(NamedTuple):
    """Garments one after the other: how many, how many with a defect, when the first ended."""

    size: int
    defective: int
    wall: float


class Noted(NamedTuple):
    """An event that a report looks at by itself. `stint` is -1 outside all."""

    seq: int
    stint: int
    event: Event


class Spoiled(NamedTuple):
    """A garment that was scrapped in the shifts read.

    `passes` are those it was in, each with the last step at which the press closed on it, 0 for
    none: what was laid before that step is used up.
    """

    job: str
    line: str
    number: str
    passes: tuple[tuple[int, int], ...]


class Pulled(NamedTuple):
    """A garment that had a final on `press` since its last good check."""

    press: str
    job: str
    line: str
    number: str


class Marked(NamedTuple):
    """A garment of the shifts read that ended good although its heat was short or not seen."""

    job: str
    line: str
    number: str
    marks: tuple[str, ...]


class Due(NamedTuple):
    """A job with a day that is not done: so many of its garments are left."""

    job: str
    title: str
    due: str
    ordered: int
    left: int


class Jump(NamedTuple):
    """The wall clock was set by so many seconds (negative: back) right before event `seq`."""

    seq: int
    seconds: float


class Record(NamedTuple):
    """Which log was read, until which event: `code` for people, `head` for programs.

    `lost` are the events of the shifts read that cannot be read any more, `lost_elsewhere` how
    many others cannot; `jumps` are those of the wall clock in these shifts.
    """

    station: str = ""
    code: str = ""
    head: str = ""
    lost: tuple[int, ...] = ()
    lost_elsewhere: int = 0
    jumps: tuple[Jump, ...] = ()


NO_RECORD = Record()


NONE: Mapping[str, Any] = {}


class Facts(NamedTuple):
    """What one log tells of some of its shifts. `checks` goes back beyond them.

    `taken_over` are the job and ticket of garments with a defect that somebody else had at the
    press than who noted it.
    """

    station: str
    record: Record = NO_RECORD
    simulated: bool = False
    shifts: tuple[Shift, ...] = ()
    stints: tuple[Stint, ...] = ()
    jobs: Mapping[str, Begun] = NONE
    tallies: tuple[Tally, ...] = ()
    garments: tuple[GarmentCount, ...] = ()
    closings: tuple[Closings, ...] = ()
    cycles: tuple[Seconds, ...] = ()
    moves: tuple[Seconds, ...] = ()
    peels: tuple[Peels, ...] = ()
    samples: tuple[Sample, ...] = ()
    noted: Iterable[Noted] = ()
    spoiled: tuple[Spoiled, ...] = ()
    checks: tuple[tuple[int, PressVerified], ...] = ()
    pulled: tuple[Pulled, ...] = ()
    marked: tuple[Marked, ...] = ()
    due: tuple[Due, ...] = ()
    taken_over: frozenset[tuple[str, str]] = frozenset()
    ordered_seconds: Mapping[str, float] = NONE

    def stint(self, nth: int) -> Stint | None:
        """Return a stint by its number."""
        return self.stints[nth] if 0 <= nth < len(self.stints) else None
