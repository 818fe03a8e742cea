"""A plan: the settings of each closing, and the steps that a garment goes through."""

from collections.abc import Mapping
from dataclasses import field
from enum import Enum

from kiosk.catalog.base import Degrees, Message, Pressure, dataclass
from kiosk.catalog.model import GUESS, Peel, Range, Source
from kiosk.plan.sizes import PlanRoom
from kiosk.plan.sources import HeatLeft, HeatStack, PlanSources


class Purpose(Enum):
    """Why the press is closed on pieces. A pre-press is a step, not one of these."""

    TACK = "tack"
    FINAL = "final"


@dataclass(frozen=True, slots=True)
class Closing:
    """One closing: `temperature` in the press's unit, whole; pieces sorted; peel by piece.

    `heated` names every piece of the panel under the platen in this closing, passengers and
    tacked layers included; `pieces` only those that the closing is for. `group` counts from 0.
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
    """Neighbouring whole degrees, both included, that share one span of seconds."""

    temperature_low: int
    temperature_high: int
    dwell_low: int
    dwell_high: int


@dataclass(frozen=True, slots=True)
class PanelSettings:
    """How one panel is pressed; all temperatures in `unit`, whole degrees.

    `setting_change` is the first closing's temperature minus the present setting.
    `warnings` are the ids of design.md section 4, sorted.
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
class Refusal:
    """Why a panel cannot be pressed: the smallest set of limits that have no common point.

    `gap` has at most one key: `temperature_f`, `dwell_s` or `pressure_steps`.
    `changes` were each solved and found to work.
    """

    panel: str
    conflict: tuple[Limit, ...]
    gap: Mapping[str, float] = field(default_factory=dict)
    changes: tuple[Message, ...] = ()


class Phase(Enum):
    """The phases of design.md section 3, in their order."""

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
# Tuples: an enum is hashed by Python code, and these are asked for in every frame.
LAYING = (Phase.LAY, Phase.LAY_TOP)
FREEING = (Phase.REMOVE_CARRIER, Phase.PEEL)
FABRIC = "fabric"
"""The owner of the limits and totals that are the cloth's and no piece's."""


class Place(Enum):
    """Where a pass's last peel happens."""

    PRESS = "press"
    HAND = "hand"
    RACK = "rack"


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece as the screens name it: `number.2` is layer 2 of 2 of element `number`.

    Two panels may each have a `number.2`: a piece is found by `panel` and `name`.
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
    """Seconds after opening: too soon before `from_seconds`, peel now, late after `to_seconds`.

    `source` says what the beginning rests on, a message id: `plan.wait.sheet`, `.trial` and
    `.published` (written down, and `origin` has the details), `.guess`, `.estimate`, and
    `.practice` where neither is to be had. An estimate gives both borders as ranges in `ready`
    and `late`, `late` None where a peel is never too late; a cold one is flagged all the same
    once it lies forgotten. `guess` is what the shop guessed, from and to (`heat/waits.py`).
    `prompt_seconds` is when to call the operator.
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
    """One phase of one pass. `seconds` only where the clock advances it.

    `pieces` are those laid, freed, closed on or peeled in this step; `sheet` says whether the
    cover sheet is on in (or for) the closing of this step; `peel` is set for peel and carrier
    steps; `most_seconds` is the longest that the tightest limit allows in this closing. Of a
    tack's carrier that comes off warm or cold `wait` is when, `place` where the garment waits (at
    the press: on its pad; in hand: flat, off the platen), `heat` what an estimate is solved from.
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
    place: Place = Place.PRESS
    heat: HeatStack | None = None


@dataclass(frozen=True, slots=True)
class PlatenPart:
    """What of a panel lies on a platen that is too short for all of it: part `nth` of `of`.

    Parts count from 1, from the collar down. `seam_rulers` says by class of sizes (`youth`,
    `adult`) at how many inches of a ruler along the centre line the seam lies, 0 at the
    platen's edge at the collar, negative over that edge. `under` are elements of earlier parts
    that lie under the platen again.
    """

    nth: int
    of: int
    elements: tuple[str, ...]
    seam_rulers: Mapping[str, float]
    under: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Pass:
    """A panel in one closing group: what one ticket goes through.

    `place` is where its last peel happens, `wait` when (None without a carrier to peel).
    `carriers` are the pieces that arrive at the final with a carrier on. `stages` has one
    wait for each peel step, hottest first; `wait` is the last of them. `heat` is what an
    estimate is solved from, with the times as they came; None where no model fits. `heat_left`
    tells for each piece under the platen, and the fabric, what its total leaves. `part` is
    None where the whole panel lies on the platen. `places` says where each stage is peeled; the
    last of them is `place`.
    """

    panel: str
    group: int
    steps: tuple[Step, ...]
    place: Place
    wait: PeelWait | None
    carriers: tuple[str, ...] = ()
    stages: tuple[PeelWait, ...] = ()
    heat: HeatStack | None = None
    heat_left: tuple[HeatLeft, ...] = ()
    part: PlatenPart | None = None
    places: tuple[Place, ...] = ()

    @property
    def closings(self) -> int:
        """How often the press closes in this pass, pre-press counted."""
        return sum(step.phase in HOT_PHASES for step in self.steps)

    @property
    def peels(self) -> tuple[int, ...]:
        """The indices of its peel steps, in order."""
        peel = Phase.PEEL  # looked up once: this is asked in every frame
        return tuple(n for n, step in enumerate(self.steps) if step.phase is peel)

    def place_of(self, nth: int) -> Place:
        """Return where peel `nth` (from 0) is done; early ones of older plans at the press."""
        if nth < len(self.places):
            return self.places[nth]
        return self.place if nth == len(self.peels) - 1 else Place.PRESS


@dataclass(frozen=True, slots=True)
class Plan:
    """All that the station needs to press a job: replay reads no recipe file.

    `passes` in pressing order; `runs` groups pass indices: the passes of one run are done
    garment by garment, and the whole lot goes through one run before the next. `rooms` are
    the places of the job's sport, where they are not as usual. `sources` say where the numbers
    of its materials, fabric and press come from. `films` are, pass by pass, the lowest and the
    highest temperature (whole degrees) that its films and the cloth hold; `sheets_again`, pass
    by pass, whether one more final has the cover sheet on after none of its peels, after the first,
    …: None where what is bare by then may not be pressed. Both are empty in old plans.
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
    rooms: tuple[PlanRoom, ...] = ()
    sources: PlanSources = field(default_factory=PlanSources)
    films: tuple[tuple[int, int], ...] = ()
    recipe_title: str = ""
    sheets_again: tuple[tuple[bool | None, ...], ...] = ()

    @property
    def recipe_called(self) -> str:
        """What people call the recipe; its key where the plan has no title."""
        return self.recipe_title or self.recipe

    @property
    def fabric_called(self) -> str:
        """What people call the fabric; its key where the plan has no title."""
        return self.sources.fabric_title or self.fabric
