"""What the station's screen draws, as plain values. Computed from state and time, never stored."""

from enum import Enum

from kiosk.catalog.base import Message, dataclass, say
from kiosk.catalog.model import Peel
from kiosk.plan.model import Phase
from kiosk.run.facts import Kind, Owner, Ready
from kiosk.run.state import Lies, Meaning, Stage


@dataclass(frozen=True, slots=True)
class Bar:
    """The forward bar: what pressing it confirms and starts. `meaning` None refuses."""

    label: Message
    below: Message
    owner: Owner
    meaning: Meaning | None
    since: float  # the clock when this label came up: younger than 0.5 s refuses


class Done(Enum):
    """A phase's place in the ribbon."""

    DONE = "done"
    NOW = "now"
    AHEAD = "ahead"


@dataclass(frozen=True, slots=True)
class Mark:
    """One field of the phase ribbon; `label` is its short name."""

    phase: Phase
    label: Message
    done: Done


class Slab(Enum):
    """What a layer of the cross-section is."""

    PLATEN = "platen"
    SHEET = "sheet"
    CARRIER = "carrier"
    FILM = "film"
    CLOTH = "cloth"
    PAD = "pad"


@dataclass(frozen=True, slots=True)
class StackSlab:
    """One layer of the cross-section, listed from the top. `colour` is the film's colour word.

    `coming` marks what is going down (or coming off) in the move at hand. Elements that are
    built alike share their films and carriers; those built otherwise stand beside them:
    `column` counts these from 0, and their labels then name the element.
    """

    slab: Slab
    label: Message
    colour: str = ""
    coming: bool = False
    column: int = 0


class Ink(Enum):
    """How a piece is drawn on the lay drawing."""

    NEXT = "next"  # filled: being laid now
    LAID = "laid"  # outlined: already there
    AHEAD = "ahead"  # not drawn yet


@dataclass(frozen=True, slots=True)
class PieceView:
    """A piece for the lay drawing; what text it shows is the station's to look up by element."""

    piece: str
    element: str
    layer: int
    colour: str
    ink: Ink


@dataclass(frozen=True, slots=True)
class Chip:
    """A garment on the rack. Seconds until it is due, from and to (negative: past).

    `share` of the wait that is over, 0..1; `uncertain` after a reboot. `word` and `line` are
    what it shows: the peel, and the range or what to do. `following` where it is served next.
    """

    ticket: str
    number: str
    peel: Peel
    from_seconds: float
    to_seconds: float
    share: float
    ready: Ready
    uncertain: bool
    word: Message
    line: Message
    set: str = ""
    following: bool = False


@dataclass(frozen=True, slots=True)
class Aside:
    """A garment that waits for a person: unknown, rework or stopped; `word` says which."""

    ticket: str
    number: str
    stage: Stage
    word: Message
    set: str = ""


@dataclass(frozen=True, slots=True)
class Choice:
    """The question's choices in their shuffled order; `answers` where it is yes or no.

    `pad` where fingers enter figures as they read them, and only a pedal steps through choices.
    `blind` is a page of its own, title and line, where figures are entered with nothing beside
    them to copy from; the title, line and foot then stand on the page before.
    """

    title: Message
    line: Message
    foot: Message
    choices: tuple[str, ...] = ()
    pad: bool = False
    answers: tuple[Message, ...] = ()
    blind: tuple[Message, ...] = ()


@dataclass(frozen=True, slots=True)
class Countdown:
    """Seconds left (negative: over) of a dwell of `total` seconds.

    `counting_in` is how many seconds until the clock starts (0 once it runs).
    `most` is the longest that the tightest limit allows, None where not known.
    """

    left: float
    total: float
    counting_in: float
    most: float | None


@dataclass(frozen=True, slots=True)
class Upcoming:
    """The next garment: its roster line, what it is called, its size, and what to pull for it."""

    line: str
    number: str
    set: str
    sized: Message | None
    pull: Message


NO_SETTING = say("setting.none")


@dataclass(frozen=True, slots=True)
class View:
    """Everything a screen shows of the job at `now`.

    `open_lines` goes with `open_since`: OPEN, the seconds since the tone, how it is opened.
    `sheet_word` and `peel_word` are the words of `sheet` and `peel`. While `inspecting`,
    results can be given to `inspect_ticket`, called `inspect_number`: the garment shown, or on
    a dark screen one whose chip was touched; `inspect_scrap` where it can only be scrap, for it
    has not had all its closings; `inspect_cools` while it waits for its peel, and
    `inspect_lies` where it was said to lie. `aside` may be touched as the chips may.
    `back_closing` where back one would take back the last closing.
    `finish` is when the job will be done, from who knows the wall clock. `passage` is the pass
    of the garment shown, `set` which of a player's garments it is where the roster has sets.
    `stage_peel` is how the garment that can be given a result is peeled now, where it cools on
    for another peel: good then is this peel only. `number` is what the garment is called, its line
    where it has none (`#12`), `digits` the number that is laid on it. `upcoming` is the garment to
    fetch next, while there is time for it. `looked` is the garment whose chip was touched, where
    the screen is about it. `first`: what still lies on the platen, where a card is to be filled in.
    """

    kind: Kind
    move: Message
    lines: tuple[Message, ...]
    peel: Peel | None
    peel_line: Message | None
    peel_word: Message | None
    countdown: Countdown | None
    ask: Choice | None
    warnings: tuple[Message, ...]
    bar: Bar
    hold: bool
    opened: bool
    job: str = ""
    title: str = ""
    nth: int = 0
    count: int = 0
    setting: Message = NO_SETTING
    open_since: float | None = None
    open_lines: tuple[Message, ...] = ()
    back: bool = False
    back_closing: bool = False
    chips: tuple[Chip, ...] = ()
    upcoming: Upcoming | None = None
    aside: tuple[Aside, ...] = ()
    finish: Message | None = None
    ticket: str = ""
    panel: str = ""
    passage: int = 0
    sheet: bool | None = None
    sheet_word: Message | None = None
    phase: Phase | None = None
    stack: tuple[StackSlab, ...] = ()
    pieces: tuple[PieceView, ...] = ()
    border_check: bool = False
    ribbon: tuple[Mark, ...] = ()
    line: str = ""
    number: str = ""
    digits: str = ""
    size: str = ""
    set: str = ""
    inspecting: bool = False
    inspect_ticket: str = ""
    inspect_number: str = ""
    inspect_scrap: bool = False
    inspect_cools: bool = False
    inspect_lies: Lies = Lies.NOT_SAID
    stage_peel: Message | None = None
    looked: str = ""
    first: Message | None = None


@dataclass(frozen=True, slots=True)
class Page:
    """A move and its lines, with what belongs to them.

    `first` is what the hands do before it with the garment that still lies on the platen.
    `hides_garment` where a question asks for what is on it; `hides_drawing` where the stack
    and the pieces would only stand in the way.
    """

    move: Message
    lines: tuple[Message, ...] = ()
    peel: Peel | None = None
    peel_line: Message | None = None
    countdown: Countdown | None = None
    ask: Choice | None = None
    warnings: tuple[Message, ...] = ()
    hides_garment: bool = False
    hides_drawing: bool = False
    first: Message | None = None
