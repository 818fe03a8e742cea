"""What is known of a cooling garment and of the press's pad, and what the shop has taught.

Plain values: they are computed elsewhere, from heat, and arrive as commands.
"""

from enum import Enum

from kiosk.catalog.base import dataclass
from kiosk.plan.model import PeelWait
from kiosk.run.state.event import Now

Points = tuple[tuple[float, float], ...]
"""A curve: seconds after opening, °C at the bond."""


class CoolingPlace(Enum):
    """Where a garment cools, as far as reported; the last two are learned separately."""

    NOT_SAID = "not said"
    LIFTED = "lifted"
    ON_PAD = "on the pad"


class TouchFeel(Enum):
    """Result of a touch or a thermometer reading."""

    READY = "ready"  # cool where it is peeled cold, just warm where it is peeled warm
    NOT_READY = "not ready"
    READING = "reading"


class LessonSource(Enum):
    """Source of a lesson."""

    GOOD_PEEL = "good peel"
    LIFTED_EDGE = "lifted edge"
    TOUCH = "touch"
    READING = "reading"


@dataclass(frozen=True, slots=True)
class Estimate:
    """When one garment's peels are due, both ways: by stage of its pass, hottest first.

    None for a peel that is never due. `opened` is the opening it counts from; `lifted_after` how
    many seconds after it the garment is assumed to have left the pad. `room` in °C. `ready_lifted`,
    `ready_on_pad` are when the model alone has the last peel ready, in seconds after opening; None
    if never, or if there is no need to wait.
    """

    opened: Now
    lifted: tuple[PeelWait | None, ...]
    on_pad: tuple[PeelWait | None, ...]
    lifted_curve: Points
    pad_curve: Points
    room: float
    lifted_after: float
    ready_lifted: float | None = None
    ready_on_pad: float | None = None

    def wait(self, lies: CoolingPlace) -> PeelWait | None:
        """Return the last peel's wait where the garment lies, else as lifted; None without one."""
        found = self.on_pad if lies is CoolingPlace.ON_PAD else self.lifted
        return found[-1] if found else None

    def curve(self, lies: CoolingPlace) -> Points:
        """Return the bond's temperature curve for where the garment lies."""
        return self.pad_curve if lies is CoolingPlace.ON_PAD else self.lifted_curve

    def ready(self, lies: CoolingPlace) -> float | None:
        """Return when the model alone has the last peel ready (seconds after opening), or None."""
        return self.ready_on_pad if lies is CoolingPlace.ON_PAD else self.ready_lifted


@dataclass(frozen=True, slots=True)
class Pressing:
    """One closing of the press as it happened; `ticket` is "" if nobody asked for it.

    Ticket names repeat between jobs, so `job` is part of the identity.
    """

    ticket: str
    step: int
    began: Now
    ended: Now
    job: str = ""


@dataclass(frozen=True, slots=True)
class PadHeat:
    """Temperatures of the cells of pad and lower platen at one moment, °C, top first."""

    at: Now
    pad: tuple[float, ...]
    lower: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class LearnedCooling:
    """What was learned for one way of cooling: ln β as a Gaussian, and `ready_by`.

    `moments` are the last two-sided ones, (ln, spread) each, not yet in the Gaussian; `two_sided`
    counts all of them (older records did not keep the count).
    """

    mean: float
    weight: float
    ready_by: float | None = None
    moments: tuple[tuple[float, float], ...] = ()
    two_sided: int = 1


@dataclass(frozen=True, slots=True)
class Lesson:
    """One thing that the shop taught, and β after it: its middle and 80 % range.

    `before` is what was known until then (None: nothing), restored if the tap is taken back.
    `taught` None is a reset. `at_least` if only a lower bound is known, without a range.
    """

    at: Now
    ticket: str
    lies: CoolingPlace
    taught: LessonSource | None
    seen_seconds: float
    ready_seconds: float
    low: float
    factor: float
    high: float
    before: LearnedCooling | None = None
    at_least: bool = False
