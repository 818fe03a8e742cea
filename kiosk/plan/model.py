"""A plan: the settings of each closing, and the steps that a garment goes through."""

from collections.abc import Mapping
from dataclasses import field
from enum import Enum

from kiosk.catalog.base import Degrees, Message, Pressure, dataclass
from kiosk.catalog.model import GUESS, Peel, Range, Source
from kiosk.plan.sizes import SportRoom
from kiosk.plan.sources import HeatLeft, HeatStack, PlanSources


class Purpose(Enum):
    """Why the press closes on pieces. A pre-press is a step, not a closing of this kind."""

    TACK = "tack"
    FINAL = "final"


@dataclass(frozen=True, slots=True)
class Closing:
    """One closing: `temperature` in the press's unit, whole; `pieces` sorted; `peel` by piece.

    `pieces` are those that the closing is for; `heated` names every piece of the panel under the
    platen, including passengers and tacked layers. `group` counts from 0.
    """

    purpose: Purpose
    group: int
    pieces: tuple[str, ...]
    heated: tuple[str, ...]
    temperature: int
    dwell_seconds: int
    pressure_low: Pressure
    pressure_high: Pressure
    cover_sheet: bool
    peel: Mapping[str, Peel]


@dataclass(frozen=True, slots=True)
class UsableSpan:
    """Adjacent whole degrees, both ends included, that allow the same range of seconds."""

    temperature_low: int
    temperature_high: int
    dwell_low: int
    dwell_high: int


@dataclass(frozen=True, slots=True)
class PanelSettings:
    """How one panel is pressed; all temperatures in `unit`, whole degrees.

    `setting_change` is the first closing's temperature minus the press's present setting.
    `warnings` are ids such as `narrow_window`, sorted.
    """

    panel: str
    unit: Degrees
    closings: tuple[Closing, ...]
    usable: tuple[UsableSpan, ...]
    element_heat_seconds: Mapping[str, int]
    fabric_heat_seconds: int
    setting_change: int
    warnings: tuple[str, ...]
    changed_from_normal: tuple[Message, ...]


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit of a conflict: `<owner>.<key>=<value as in the file>`."""

    owner: str
    key: str
    value: str

    def __str__(self) -> str:
        return f"{self.owner}.{self.key}={self.value}"


@dataclass(frozen=True, slots=True)
class PanelRefusal:
    """Why a panel cannot be pressed: the smallest set of limits that cannot all be kept.

    `gap` has at most one key: `temperature_f`, `dwell_s` or `pressure_steps`. `changes` were each
    solved and found to work.
    """

    panel: str
    conflict: tuple[Limit, ...]
    gap: Mapping[str, float] = field(default_factory=dict)
    changes: tuple[Message, ...] = ()


class Phase(Enum):
    """The phases that a garment can go through, in their order."""

    LOAD = "load"
    PRE_PRESS = "pre-press"
    LAY = "lay layer"
    TACK = "tack"
    REMOVE_CARRIER = "remove carrier"
    LAY_TOP = "lay top layer"
    COVER = "cover sheet"
    FINAL = "final press"
    PEEL = "peel"
    INSPECT = "inspect"


HOT_PHASES = frozenset({Phase.PRE_PRESS, Phase.TACK, Phase.FINAL})
# Tuples: an enum is hashed by Python code, and these are looked up in every frame.
LAYING = (Phase.LAY, Phase.LAY_TOP)
FREEING = (Phase.REMOVE_CARRIER, Phase.PEEL)
FABRIC = "fabric"
"""The owner of limits and totals that belong to the cloth and not to a piece."""


class PeelPlace(Enum):
    """Where a peel is done, or where a garment waits for it."""

    PRESS = "press"
    HAND = "hand"
    RACK = "rack"


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece as the screens name it: `number.2` is layer 2 of element `number`.

    Two panels may each have a `number.2`: find a piece by `panel` and `name`.
    """

    name: str
    element: str
    layer: int
    layers: int
    material: str
    colour: str
    panel: str = ""
    height_inches: float | None = None


@dataclass(frozen=True, slots=True)
class PeelWait:
    """Seconds after opening: too soon before `from_seconds`, late after `to_seconds`.

    `source` is a message id for what the start rests on: `plan.wait.sheet`, `.trial`, `.published`
    (written down; `origin` has the details), `.guess`, `.estimate`, or `.practice` if there is
    nothing else. An estimate gives ranges for both ends in `ready` and `late`; `late` is None if
    the peel is never too late, but even then `to_seconds` flags a forgotten garment. `guess` is
    what the shop guessed, from and to (`plan/heat/waits.py`). `prompt_seconds` is when to call the
    operator.
    """

    peel: Peel
    from_seconds: float
    to_seconds: float
    source: str
    ready: Range | None = None
    late: Range | None = None
    prompt_seconds: float | None = None
    guess: tuple[float, float] | None = None
    origin: Source = GUESS


@dataclass(frozen=True, slots=True)
class Step:
    """One phase of one pass. `seconds` is set only if the clock advances the step.

    `pieces` are those laid, freed, closed on or peeled in this step; `sheet` is whether the cover
    sheet is on in (or goes on for) this step's closing; `peel` is set for peel and carrier steps;
    `most_seconds` is the longest that the tightest limit allows in this closing. For a tack's
    carrier that comes off warm or cold, `wait` is when, `place` is where the garment waits (PRESS:
    on the pad; HAND: flat, off the platen), and `heat` is what an estimate is solved from.
    """

    phase: Phase
    pieces: tuple[str, ...] = ()
    seconds: int | None = None
    most_seconds: int | None = None
    temperature: int | None = None
    pressure_low: Pressure | None = None
    pressure_high: Pressure | None = None
    sheet: bool = False
    peel: Peel | None = None
    why: Message | None = None
    wait: PeelWait | None = None
    place: PeelPlace = PeelPlace.PRESS
    heat: HeatStack | None = None


@dataclass(frozen=True, slots=True)
class PlatenPart:
    """Part `nth` of `of` of a panel that is too long for the platen.

    Parts count from 1, from the collar down. `seam_rulers` gives, by size class (`youth`, `adult`),
    where the seam lies in inches on a ruler along the centre line: 0 at the platen's collar edge,
    negative beyond that edge. `under` are elements of earlier parts that lie under the platen
    again.
    """

    nth: int
    of: int
    elements: tuple[str, ...]
    seam_rulers: Mapping[str, float]
    under: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Pass:
    """A panel in one closing group: the work of one ticket.

    `place` is where the last peel happens and `wait` when (None if no carrier is peeled).
    `carriers` are the pieces that still have a carrier on at the final. `stages` has one wait for
    each peel step, hottest first; the last of them is `wait`. `places` says where each stage is
    peeled; the last of them is `place`. `heat` is what an estimate is solved from, with the planned
    times; None if no model fits. `heat_left` gives what remains of the heat total of the fabric and
    of each piece under the platen. `part` is None if the whole panel lies on the platen.
    """

    panel: str
    group: int
    steps: tuple[Step, ...]
    place: PeelPlace
    wait: PeelWait | None
    carriers: tuple[str, ...] = ()
    stages: tuple[PeelWait, ...] = ()
    heat: HeatStack | None = None
    heat_left: tuple[HeatLeft, ...] = ()
    part: PlatenPart | None = None
    places: tuple[PeelPlace, ...] = ()

    @property
    def closings(self) -> int:
        """How many times the press closes in this pass, pre-press included."""
        return sum(step.phase in HOT_PHASES for step in self.steps)

    @property
    def peels(self) -> tuple[int, ...]:
        """The indices of the peel steps, in order."""
        peel = Phase.PEEL  # looked up once: this runs in every frame
        return tuple(n for n, step in enumerate(self.steps) if step.phase is peel)

    def place_of(self, nth: int) -> PeelPlace:
        """Return where peel `nth` (from 0) is done; older plans have early ones at the press."""
        if nth < len(self.places):
            return self.places[nth]
        return self.place if nth == len(self.peels) - 1 else PeelPlace.PRESS


@dataclass(frozen=True, slots=True)
class Plan:
    """All that the station needs to press a job: replay reads no recipe file.

    `passes` are in pressing order; `runs` groups pass indices: the passes of a run are done garment
    by garment, and the whole lot goes through one run before the next. `rooms` are the rooms that
    the job's sport changes. `sources` say where the numbers of its materials, fabric and press come
    from. `films` gives, pass by pass, the lowest and highest temperature (whole degrees) that the
    films and the cloth allow; `sheets_again`, pass by pass, whether the cover sheet is on if the
    garment is pressed again after none of its peels, after the first, and so on; None if the pieces
    bare by then must not be pressed. Both are empty in old plans.
    """

    job: str
    title: str
    recipe: str
    fabric: str
    press: str
    unit: Degrees
    opens_itself: bool
    collar_toward_operator: bool
    closes_in_seconds: float
    confirm_opening: bool
    pieces: tuple[Piece, ...]
    settings: tuple[PanelSettings, ...]
    passes: tuple[Pass, ...]
    runs: tuple[tuple[int, ...], ...]
    taps_per_garment: int
    platen_width_inches: float
    platen_height_inches: float
    rooms: tuple[SportRoom, ...] = ()
    sources: PlanSources = field(default_factory=PlanSources)
    films: tuple[tuple[int, int], ...] = ()
    recipe_title: str = ""
    sheets_again: tuple[tuple[bool | None, ...], ...] = ()

    @property
    def recipe_name(self) -> str:
        """What people call the recipe; its key if the plan has no title."""
        return self.recipe_title or self.recipe

    @property
    def fabric_name(self) -> str:
        """What people call the fabric; its key if the plan has no title."""
        return self.sources.fabric_title or self.fabric
