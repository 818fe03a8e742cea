"""What the station's screen draws: plain values from state and time, never stored."""

from enum import Enum

from kiosk.catalog.base import Message, dataclass, say
from kiosk.catalog.model import Peel
from kiosk.plan.model import Phase
from kiosk.run.facts import BarOwner, PeelZone, ScreenKind
from kiosk.run.state import CoolingPlace, Meaning, TicketStage


@dataclass(frozen=True, slots=True)
class BarView:
    """The forward bar: what pressing it confirms and starts. `meaning` None refuses."""

    label: Message
    below: Message
    owner: BarOwner
    meaning: Meaning | None
    since: float  # the clock when this label appeared: a tap within 0.5 s is refused
    refusal: Message | None = None  # what to answer a tap that has no meaning


class RibbonState(Enum):
    """A phase's place in the ribbon."""

    DONE = "done"
    NOW = "now"
    AHEAD = "ahead"


@dataclass(frozen=True, slots=True)
class RibbonField:
    """One field of the phase ribbon; `label` is its short name."""

    phase: Phase
    label: Message
    state: RibbonState


class SlabKind(Enum):
    """The kinds of layer in the cross-section."""

    PLATEN = "platen"
    SHEET = "sheet"
    CARRIER = "carrier"
    FILM = "film"
    CLOTH = "cloth"
    PAD = "pad"


@dataclass(frozen=True, slots=True)
class StackSlab:
    """One layer of the cross-section, listed from the top. `colour` is the film's colour word.

    `coming` marks what goes down (or comes off) in the current move. Elements built alike share
    their films and carriers; different ones are drawn side by side: `column` counts them from 0,
    and their labels then name the element.
    """

    kind: SlabKind
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
    """A piece for the lay drawing; the station looks up its text by element."""

    piece: str
    element: str
    layer: int
    colour: str
    ink: Ink


@dataclass(frozen=True, slots=True)
class Chip:
    """A garment on the rack. Seconds until its due time and its end (negative: past).

    `share` is the part of the wait that is over, 0..1; `uncertain` after a reboot. `word` and
    `line` are its text: the peel, and the range or what to do. `following` if it is served next.
    """

    ticket: str
    number: str
    peel: Peel
    from_seconds: float
    to_seconds: float
    share: float
    zone: PeelZone
    uncertain: bool
    word: Message
    line: Message
    set: str = ""
    following: bool = False


@dataclass(frozen=True, slots=True)
class AsideGarment:
    """A garment that needs a person's decision: unknown, rework or stopped, as in `word`."""

    ticket: str
    number: str
    stage: TicketStage
    word: Message
    set: str = ""


@dataclass(frozen=True, slots=True)
class ChoiceView:
    """The question's choices in their shuffled order; `answers` for a yes/no question.

    `pad` if the operator enters figures, and only a pedal steps through choices. `blind` is a
    separate page, title and line, for entering figures with nothing beside them to copy from; the
    title, line and foot are then on the page before.
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

    `counting_in` is how many seconds until the clock starts (0 once it runs). `most` is the longest
    that the tightest limit allows, None if not known.
    """

    left: float
    total: float
    counting_in: float
    most: float | None


@dataclass(frozen=True, slots=True)
class NextGarment:
    """The next garment: its roster line, label, set and size, and what to pull for it."""

    line: str
    number: str
    set: str
    size_line: Message | None
    pull: Message


NO_SETTING = say("setting.none")


@dataclass(frozen=True, slots=True)
class View:
    """Everything a screen shows of the job at `now`.

    `open_lines` goes with `open_since`: OPEN, the seconds since the tone, how to open.
    `sheet_word` and `peel_word` are the words for `sheet` and `peel`. While `inspecting`,
    results can be given to `inspect_ticket`, labelled `inspect_number`: the garment shown, or
    on a dark screen one whose chip was touched; `inspect_scrap` if it can only be scrap,
    because it has not had all its closings; `inspect_card` if it is judged on a card
    afterwards; `inspect_cools` while it waits for its peel, and `inspect_lies` where it was
    reported to lie. `aside` can be touched like the chips. `back_closing` if back one would
    take back the last closing. `finish` is when the job will be done, added by the caller that
    knows the wall clock. `passage` is the pass of the garment shown, `set` which of a player's
    garments it is, if the roster has sets. `stage_peel` is the word for the current peel of the
    garment under inspection if another peel follows: good then means this peel only. `number`
    is the garment's label, its line if it has no number (`#12`), `digits` the number laid on
    it. `upcoming` is the garment to fetch next, while there is time for it. `touched` is the
    garment whose chip was touched, if the screen is about it. `first`: what to do with the
    garment still on the platen before filling in a card.
    """

    kind: ScreenKind
    move: Message
    lines: tuple[Message, ...]
    peel: Peel | None
    peel_line: Message | None
    peel_word: Message | None
    countdown: Countdown | None
    ask: ChoiceView | None
    warnings: tuple[Message, ...]
    bar: BarView
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
    upcoming: NextGarment | None = None
    aside: tuple[AsideGarment, ...] = ()
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
    ribbon: tuple[RibbonField, ...] = ()
    line: str = ""
    number: str = ""
    digits: str = ""
    size: str = ""
    set: str = ""
    inspecting: bool = False
    inspect_ticket: str = ""
    inspect_number: str = ""
    inspect_scrap: bool = False
    inspect_card: bool = False
    inspect_cools: bool = False
    inspect_lies: CoolingPlace = CoolingPlace.NOT_SAID
    stage_peel: Message | None = None
    touched: str = ""
    first: Message | None = None


@dataclass(frozen=True, slots=True)
class MovePage:
    """A move and its lines, with what belongs to them.

    `first` is what to do before it with the garment still on the platen. `hides_garment` if a
    question asks about what is on it; `hides_drawing` if the stack and the pieces would only
    distract.
    """

    move: Message
    lines: tuple[Message, ...] = ()
    peel: Peel | None = None
    peel_line: Message | None = None
    countdown: Countdown | None = None
    ask: ChoiceView | None = None
    warnings: tuple[Message, ...] = ()
    hides_garment: bool = False
    hides_drawing: bool = False
    first: Message | None = None
