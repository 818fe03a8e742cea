"""The state of a station: the fold of its events. No clock, no file: time is data."""

from collections.abc import Mapping
from dataclasses import field

from kiosk.catalog.base import dataclass
from kiosk.run.state.cooling import LearnedCooling, Lesson, PadHeat, Pressing
from kiosk.run.state.event import Now
from kiosk.run.state.model import ConfirmMode, Heat, JobRun
from kiosk.run.state.rules import (
    AS_THE_SHOP,
    Cues,
    Display,
    Hold,
    LastCheck,
    PinTries,
    Role,
    SignOff,
    TrialFinding,
)


@dataclass(frozen=True, slots=True)
class State:
    """The whole station. `last` is the moment of the last event, `moved` of the last hand move.

    `job` is the one at the press, `others` the other open ones; of jobs that are done and left only
    the name is kept, in `finished`, so that the state does not grow over the years.

    `asked_closed` while the question "was it closed?" is open, after "opened" was tapped before the
    deadline (at `asked`); `open_first` after a start in a hot phase, until somebody confirms that
    the press is open; `operators` are all who ever signed on, with how they confirm. `grouped` are
    the families that the operator at the station is signed off for: looked up at sign-on, so that
    nothing changes in the middle of a garment. `cues` None: as in the shop's file; `keys` are the
    learned scancodes, empty if the built-in ones apply.

    `check` is the last check of the press while it holds (or if it failed); `closings` counts those
    of each press, `upkeep` (by `press/part`) the count when a part was last serviced; `tries` wrong
    PINs; `recipes` the digest of the shop's files as last read; `columns` the confirmed (header,
    field) pairs of rosters whose jobs have not begun. `displays` is each operator's choice for the
    screen, "" while nobody has signed on.

    `pad` is the press's pad before the first of `pressings`, the closings since; `pad_next` what it
    becomes with the next garment. `betas` by the value of `CoolingPlace`, `lessons` the last ones.
    `trials` are findings not yet in any of the shop's files.
    """

    simulated: bool = False
    boot: str = ""
    shift: int = 0
    operator: str = ""
    confirm: ConfirmMode = ConfirmMode.EACH
    job: JobRun | None = None
    others: Mapping[str, JobRun] = field(default_factory=dict)
    heat: Heat | None = None
    held: Hold | None = None
    asked_closed: bool = False
    open_first: bool = False
    switch_seen: bool = False
    last: Now | None = None
    moved: Now | None = None
    changed_operator: bool = False
    asked: Now | None = None
    finished: tuple[str, ...] = ()
    operators: Mapping[str, ConfirmMode] = field(default_factory=dict)
    sign_offs: tuple[SignOff, ...] = ()
    cues: Cues | None = None
    keys: tuple[tuple[int, Role], ...] = ()
    grouped: tuple[str, ...] = ()
    check: LastCheck | None = None
    closings: Mapping[str, int] = field(default_factory=dict)
    upkeep: Mapping[str, int] = field(default_factory=dict)
    tries: PinTries | None = None
    recipes: str = ""
    closed: Mapping[str, float] = field(default_factory=dict)
    folders: Mapping[str, str] = field(default_factory=dict)
    columns: Mapping[str, tuple[tuple[str, str], ...]] = field(default_factory=dict)
    displays: Mapping[str, Display] = field(default_factory=dict)
    pressings: tuple[Pressing, ...] = ()
    pad: PadHeat | None = None
    pad_next: PadHeat | None = None
    betas: Mapping[str, LearnedCooling] = field(default_factory=dict)
    lessons: tuple[Lesson, ...] = ()
    trials: tuple[TrialFinding, ...] = ()

    @property
    def display(self) -> Display:
        """The current operator's choice for the screen, or the station's if they made none."""
        return self.displays.get(self.operator) or self.displays.get("", AS_THE_SHOP)

    @property
    def current(self) -> str:
        """The name of the job at the press, "" for none."""
        return "" if self.job is None else self.job.job

    @property
    def jobs(self) -> Mapping[str, JobRun]:
        """All open jobs by name."""
        return self.others if self.job is None else {**self.others, self.job.job: self.job}
