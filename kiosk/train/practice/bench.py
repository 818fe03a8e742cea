"""What lies on the bench in practice, as values: pieces, sheet, card, display and clock."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import NamedTuple

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import Peel
from kiosk.plan.model import FREEING, HOT_PHASES, LAYING, Pass, Phase, Place, Plan, PlatenPart
from kiosk.plan.place import Bed, bed_of
from kiosk.run.facts import pieces_of
from kiosk.run.show import carried_in, laid_before, named
from kiosk.run.state import Garment

SETTING = -1
"""In place of a step: the press is being set, the platen is bare."""

FOOTED = frozenset("69")
"""Figures that read as another one upside down: their piece has a foot bar on its carrier."""


PLATEN, GARMENT, SEAM, SHEET = "platen", "garment", "seam", "sheet"
CARD, DISPLAY, CLOCK = "card", "display", "clock"
AROUND = frozenset({PLATEN, GARMENT, SEAM, SHEET, CARD, DISPLAY, CLOCK})
"""What can be touched beside the pieces."""


class Cut(NamedTuple):
    """A piece by its element, its figure (-1: it is no figure) and its layer in the stack."""

    element: str
    nth: int
    layer: int

    @property
    def thing(self) -> str:
        """What is touched where it lies: a figure (`number.1`), or the whole element."""
        return self.element if self.nth < 0 else f"{self.element}.{self.nth}"


@dataclass(frozen=True, slots=True)
class Lain:
    """A piece that lies on the garment. `off` is how far it lies off its place, in borders.

    `turned` upside down to its neighbours, `face_down` with its back up, `liner` the paper still
    under it, `carrier` still over it, `lifted` at a corner to be peeled.
    """

    cut: Cut
    text: str
    colour: str
    turned: bool = False
    face_down: bool = False
    liner: bool = False
    carrier: bool = False
    lifted: bool = False
    off: tuple[float, float] = (0.0, 0.0)

    @property
    def foot(self) -> bool:
        """Whether a foot bar is seen: it is cut beside the figure and goes with its carrier."""
        return self.carrier and self.text in FOOTED


@dataclass(frozen=True, slots=True)
class Ticket:
    """What the card beside the press says. `films` are the colours of each element, lowest first.

    `window` are the seconds after opening between which it is peeled, `peel` how.
    """

    number: str
    name: str
    size: str
    panel: str
    films: tuple[tuple[str, tuple[str, ...]], ...]
    degrees: int
    unit: str
    platen: tuple[float, float]
    peel: Peel | None = None
    window: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Bench:
    """The bench before the operator. Lengths in inches, `clock` in seconds since opening.

    `toward` tells where the garment's collar points, `laid_toward` where it points by the plan:
    so the pieces are laid. `garment` is None on a bare platen, else how far right it lies of its
    place. `pieces` lie in their order, the lowest first. `rack`: it cools beside the press;
    `worn`: it is finished, and seen as a reader sees it. `bed` and `part` say where pieces go.
    """

    ticket: Ticket
    bed: Bed
    part: PlatenPart | None
    texts: tuple[tuple[str, str], ...]
    platen: tuple[float, float]
    degrees: int
    toward: bool
    laid_toward: bool
    garment: float | None = None
    pieces: tuple[Lain, ...] = ()
    sheet: bool = False
    clock: float | None = None
    rack: bool = False
    worn: bool = False

    def things(self) -> tuple[str, ...]:
        """Return what can be touched: pieces first, then what lies around them."""
        laid = tuple(dict.fromkeys(each.cut.thing for each in self.pieces))
        there = () if self.garment is None else (GARMENT, SEAM)
        timed = () if self.clock is None else (CLOCK,)
        press = () if self.rack else (SHEET, PLATEN, DISPLAY)
        return (*laid, *there, *press, CARD, *timed)

    @property
    def in_time(self) -> bool:
        """Whether the clock shows a time at which the peel is due; without a peel it does."""
        window = self.ticket.window
        return window is None or self.clock is None or window[0] <= self.clock <= window[1]

    def still(self) -> "Bench":
        """Return it as it is whatever the time: two that are so alike differ in their clock."""
        return self if self.clock is None else replace(self, clock=0.0)

    def text(self, element: str) -> str:
        """Return what the pieces of an element say, "" where it is not laid."""
        return dict(self.texts).get(element, "")


@dataclass(frozen=True, slots=True)
class Wanted:
    """Whose bench it is: the plan, the garment and the name that it gets."""

    plan: Plan
    garment: Garment
    name: str

    def says(self, element: str) -> str:
        """Return what an element of this garment says."""
        said = {"name": self.name, "number": self.garment.number}
        return said.get(element, element)


@dataclass(frozen=True, slots=True)
class Spot:
    """Where the work is: pass `passage`, hand steps `first`..`last`, and what they close for."""

    passage: int
    first: int
    last: int
    hot: int | None = None

    @property
    def steps(self) -> tuple[int, ...]:
        """Return the steps that one press of forward confirms or begins here."""
        hand = range(self.first, self.last + 1)
        return (*hand, *(() if self.hot is None or self.hot in hand else (self.hot,)))


def lies(wanted: Wanted, spot: Spot, clock: float | None = None) -> Bench:
    """Return what lies there when every step up to `spot` was done as it should be.

    `clock` is in seconds since the press was opened, where somebody waits for a peel.
    """
    plan, own = wanted.plan, wanted.plan.passes[spot.passage]
    peeling = any(n in spot.steps for n in own.peels)
    pieces = tuple(_pieces(wanted, own, spot, peeling)) if spot.last != SETTING else ()
    degrees = _degrees(own, spot)
    size = (plan.platen_width_inches, plan.platen_height_inches)
    peel = _window(own, spot) if peeling else (None, None)
    return Bench(
        _ticket(wanted, own, degrees, peel),
        bed_of(plan),
        own.part,
        tuple((e, wanted.says(e)) for e in dict.fromkeys(each.cut.element for each in pieces)),
        size,
        degrees,
        plan.collar_toward_operator,
        plan.collar_toward_operator,
        garment=None if spot.last == SETTING else 0.0,
        pieces=pieces,
        sheet=_sheet(own, spot),
        clock=clock if peeling else None,
        rack=peeling and spot.hot is None and _on_rack(own, spot),
    )


def _on_rack(own: Pass, spot: Spot) -> bool:
    """Whether the peel at hand is one that is waited for beside the press."""
    nth = next(k for k, n in enumerate(own.peels) if n in spot.steps)
    return own.place_of(nth) is Place.RACK


def _ticket(
    wanted: Wanted, own: Pass, degrees: int, peel: tuple[Peel | None, tuple[float, float] | None]
) -> Ticket:
    plan, films = wanted.plan, dict[str, list[str]]()
    for piece in sorted(plan.pieces, key=lambda piece: piece.layer):
        if piece.panel in ("", own.panel) and wanted.says(piece.element):
            films.setdefault(piece.element, []).append(piece.colour)
    return Ticket(
        wanted.garment.number,
        wanted.name,
        wanted.garment.size,
        own.panel,
        tuple((element, tuple(colours)) for element, colours in films.items()),
        degrees,
        plan.unit.value,
        (plan.platen_width_inches, plan.platen_height_inches),
        *peel,
    )


def _window(own: Pass, spot: Spot) -> tuple[Peel | None, tuple[float, float] | None]:
    """How and when the peel at hand is due, by the card."""
    peel = next((own.steps[n].peel for n in own.peels if n in spot.steps), None)
    wait = next((wait for wait in own.stages if wait.peel is peel), own.wait)
    return peel, None if wait is None else (wait.from_seconds, wait.to_seconds)


def _degrees(own: Pass, spot: Spot) -> int:
    """The degrees of the closing at hand, else of the last before it."""
    hot = [n for n, step in enumerate(own.steps) if step.phase in HOT_PHASES]
    ahead = [n for n in hot if n >= spot.first]
    chosen = (ahead or hot)[0 if ahead else -1] if hot else 0
    return own.steps[chosen].temperature or 0


def _sheet(own: Pass, spot: Spot) -> bool:
    """Whether the sheet lies on top: for the closing at hand, or laid on for the next one."""
    if spot.hot is not None:
        return own.steps[spot.hot].sheet
    since = 0
    for n in range(spot.last + 1):
        since = n if own.steps[n].phase in HOT_PHASES else since
    return any(step.phase is Phase.COVER for step in own.steps[since : spot.last + 1])


def _pieces(wanted: Wanted, own: Pass, spot: Spot, peeling: bool) -> Iterator[Lain]:
    """The pieces that lie there, in the order in which they were laid."""
    known = pieces_of(wanted.plan, own)
    done = own.steps[: spot.last + 1]
    freed = {
        name
        for n, step in enumerate(done)
        if step.phase in FREEING and not (n in own.peels and n >= spot.first)
        for name in step.pieces
    }
    carried = carried_in(own)
    now = {name for n in spot.steps for name in own.steps[n].pieces if n in own.peels}
    for name in (*laid_before(wanted.plan, own), *named(done, LAYING)):
        piece = known[name]
        on = name in carried and name not in freed
        for nth, text in _cuts(piece.element, wanted.says(piece.element)):
            cut = Cut(piece.element, nth, piece.layer)
            lifted = on and peeling and name in now
            yield Lain(cut, text, piece.colour, carrier=on, lifted=lifted)


def _cuts(element: str, said: str) -> Iterable[tuple[int, str]]:
    """A number's figures are pieces of their own; a name lies as one."""
    if not said:
        return ()
    return enumerate(said) if element == "number" else ((-1, said),)
