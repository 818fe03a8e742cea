"""What a pass heats, as plain data: all that its temperatures are solved from, at any later time.

It is part of the plan and so of a job's start record: replay and a live estimate read no recipe
file. `kiosk/plan/heat/story.py` turns it into a story for the solver; nothing here knows one.
"""

from dataclasses import dataclass

from kiosk.catalog.model import Body, Thresholds

MODEL_VERSION = 1


@dataclass(frozen=True, slots=True)
class HeatFilm:
    """One layer of the stack: the film with its glue, and the carrier it comes on."""

    film: Body
    carrier: Body


@dataclass(frozen=True, slots=True)
class HeatState:
    """What lies under the platen while a step is done; one a step of the pass, in its order.

    `phase` is the step's own word. `films` of the watched element are on the cloth; `carrier`
    tells whether the top one's is still on, `sheet` whether the cover sheet is. `seconds` are
    the plan's: the dwell of a hot step, usual hands for another.
    """

    phase: str
    films: int
    carrier: bool
    sheet: bool
    closed: bool
    seconds: float


@dataclass(frozen=True, slots=True)
class HeatStack:
    """The stack of a pass at its watched `piece`: the last to be peeled, else the thickest.

    Temperatures in °C; `films` from the cloth up; `plies` of cloth lie on the pad. `overhead`
    is the share of the view that the open platen fills, `model` the version of the model's own
    contacts and air that the plan was made with.
    """

    piece: str
    platen: float
    room: float
    cloth: Body
    plies: int
    films: tuple[HeatFilm, ...]
    sheet: Body
    pad: Body
    lower: Body
    overhead: float
    peel_at: Thresholds
    states: tuple[HeatState, ...]
    model: int = MODEL_VERSION


@dataclass(frozen=True, slots=True)
class HeatLeft:
    """The seconds of heat that `owner` (a piece, or `fabric`) may take in all, and will have.

    `planned_seconds` count every closing of its panel, this pass and later ones included. What
    is `left` of the limit is all there is for an over-run, or for pressing once more: ask
    `kiosk/plan/heat/story.py`.
    """

    owner: str
    limit_seconds: int
    planned_seconds: int

    @property
    def left(self) -> int:
        """Seconds that the plan leaves, at least 0."""
        return max(0, self.limit_seconds - self.planned_seconds)
