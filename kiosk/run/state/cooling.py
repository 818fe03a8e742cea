"""What is known of a garment that cools, of the press's pad, and of what the shop has taught.

Plain values: they are computed elsewhere, from heat, and come in as commands.
"""

from enum import Enum

from kiosk.catalog.base import dataclass
from kiosk.plan.model import PeelWait
from kiosk.run.state.event import Now

Points = tuple[tuple[float, float], ...]
"""A curve: seconds after opening, °C at the bond."""


class Lies(Enum):
    """Where a garment cools, as far as anybody said; the last two are each learned apart."""

    NOT_SAID = "not said"
    LIFTED = "lifted"
    ON_PAD = "on the pad"


class Feels(Enum):
    """What a touch or a thermometer found."""

    READY = "ready"  # cool where it is peeled cold, just warm where it is peeled warm
    NOT_READY = "not ready"
    READING = "reading"


class Taught(Enum):
    """What a lesson comes from."""

    GOOD_PEEL = "good peel"
    LIFTED_EDGE = "lifted edge"
    TOUCH = "touch"
    READING = "reading"


@dataclass(frozen=True, slots=True)
class Estimate:
    """When one garment's peels are due, both ways: by stage of its pass, hottest first.

    None in place of a peel that never is due. `opened` is the opening that it counts from;
    `lifted_after` how many seconds after it the garment is taken to have left the pad. `room`
    in °C. `ready_lifted`, `ready_on_pad` are when the model alone has the last peel ready, in
    seconds after opening; None where it never has, or needs no waiting.
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

    def wait(self, lies: Lies) -> PeelWait | None:
        """Return that of the last peel; of a lifted garment where nothing is said."""
        found = self.on_pad if lies is Lies.ON_PAD else self.lifted
        return found[-1] if found else None

    def curve(self, lies: Lies) -> Points:
        """Return the bond's curve where the garment lies."""
        return self.pad_curve if lies is Lies.ON_PAD else self.lifted_curve

    def ready(self, lies: Lies) -> float | None:
        """Return when the model alone has it ready where it lies."""
        return self.ready_on_pad if lies is Lies.ON_PAD else self.ready_lifted


@dataclass(frozen=True, slots=True)
class Pressing:
    """One closing of the press as it was; `ticket` "" where nobody asked for it.

    Two jobs may each have a ticket of that name: `job` tells whose it was.
    """

    ticket: str
    step: int
    began: Now
    ended: Now
    job: str = ""


@dataclass(frozen=True, slots=True)
class PadHeat:
    """The cells of pad and lower platen, °C from the top, at a moment."""

    at: Now
    pad: tuple[float, ...]
    lower: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Kept:
    """What was learned for one way of cooling: ln β as a Gaussian, and `ready_by`.

    `moments` are the last two-sided ones, (ln, spread) each, not in the Gaussian yet;
    `two_sided` how many there were in all (older records did not count them).
    """

    mean: float
    weight: float
    ready_by: float | None = None
    moments: tuple[tuple[float, float], ...] = ()
    two_sided: int = 1


@dataclass(frozen=True, slots=True)
class Lesson:
    """One thing that the shop taught, and β after it: its middle and 80 % range.

    `before` is what was known until then (None: nothing): a tap taken back teaches nothing.
    `taught` None stands for a reset. `at_least` where only one side is known, and no range.
    """

    at: Now
    ticket: str
    lies: Lies
    taught: Taught | None
    seen_seconds: float
    ready_seconds: float
    low: float
    factor: float
    high: float
    before: Kept | None = None
    at_least: bool = False
