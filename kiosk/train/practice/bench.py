"""The bench in practice as plain values: pieces, cover sheet, card, display and clock."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import NamedTuple

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import Peel
from kiosk.plan.model import FREEING, HOT_PHASES, LAYING, Pass, PeelPlace, Phase, Plan, PlatenPart
from kiosk.plan.place import Bed, bed_of
from kiosk.run.facts import pieces_of
from kiosk.run.show import carried_in, laid_before, piece_names
from kiosk.run.state import Garment

SETTING = -1
"""Used instead of a step index while the press is being set and the platen is bare."""

FOOTED = frozenset("69")
"""Figures that read as another upside down; their carrier has a foot bar."""


PLATEN, GARMENT, SEAM, SHEET = "platen", "garment", "seam", "sheet"
CARD, DISPLAY, CLOCK = "card", "display", "clock"
AROUND = frozenset({PLATEN, GARMENT, SEAM, SHEET, CARD, DISPLAY, CLOCK})
"""Things that can be touched, other than pieces."""


class BenchPiece(NamedTuple):
    """A piece: its element, its figure's index (-1 if not a figure) and its layer in the stack."""

    element: str
    nth: int
    layer: int

    @property
    def thing(self) -> str:
        """The name of what a touch hits here: a figure (`number.1`) or the whole element."""
        return self.element if self.nth < 0 else f"{self.element}.{self.nth}"


@dataclass(frozen=True, slots=True)
class LaidPiece:
    """A piece laid on the garment. `offset` is (right, up) in border widths.

    `turned`: upside down beside its neighbours; `face_down`: back side up; `liner`, `carrier`:
    still on the piece; `lifted`: a corner of the carrier is up for peeling.
    """

    piece: BenchPiece
    text: str
    colour: str
    turned: bool = False
    face_down: bool = False
    liner: bool = False
    carrier: bool = False
    lifted: bool = False
    offset: tuple[float, float] = (0.0, 0.0)

    @property
    def foot(self) -> bool:
        """Whether a foot bar shows; it is cut beside the figure and comes off with the carrier."""
        return self.carrier and self.text in FOOTED


@dataclass(frozen=True, slots=True)
class BenchCard:
    """The card beside the press. `films` lists the colours of each element, lowest layer first.

    `peel` is how it is peeled, `window` the (first, last) second after opening to peel.
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
    """The bench in front of the operator. Lengths in inches, `clock` in seconds since opening.

    `toward`: the collar points toward the operator; `laid_toward`: the same in the plan, which the
    pieces follow. `garment` is None on a bare platen, else its offset to the right. `pieces` are
    in order, the lowest first. `rack`: the garment cools beside the press; `worn`: it is finished
    and shown as it is read when worn. `bed` and `part` decide where the pieces go.
    """

    card: BenchCard
    bed: Bed
    part: PlatenPart | None
    texts: tuple[tuple[str, str], ...]
    platen: tuple[float, float]
    degrees: int
    toward: bool
    laid_toward: bool
    garment: float | None = None
    pieces: tuple[LaidPiece, ...] = ()
    sheet: bool = False
    clock: float | None = None
    rack: bool = False
    worn: bool = False

    def things(self) -> tuple[str, ...]:
        """Return the things that can be touched, pieces first."""
        pieces = tuple(dict.fromkeys(each.piece.thing for each in self.pieces))
        garment_things = () if self.garment is None else (GARMENT, SEAM)
        clock_things = () if self.clock is None else (CLOCK,)
        press = () if self.rack else (SHEET, PLATEN, DISPLAY)
        return (*pieces, *garment_things, *press, CARD, *clock_things)

    @property
    def in_time(self) -> bool:
        """Whether the clock is within the peel window, or there is no window or clock."""
        window = self.card.window
        return window is None or self.clock is None or window[0] <= self.clock <= window[1]

    def without_time(self) -> "Bench":
        """Return the bench with its clock at zero, to compare benches regardless of time."""
        return self if self.clock is None else replace(self, clock=0.0)

    def text(self, element: str) -> str:
        """Return the text that an element's pieces show, or "" if it is not laid."""
        return dict(self.texts).get(element, "")


@dataclass(frozen=True, slots=True)
class BenchJob:
    """The job behind a bench: the plan, the garment and the name to press on it."""

    plan: Plan
    garment: Garment
    name: str

    def text_of(self, element: str) -> str:
        """Return the text of an element on this garment."""
        texts = {"name": self.name, "number": self.garment.number}
        return texts.get(element, element)


@dataclass(frozen=True, slots=True)
class WorkPosition:
    """A place in the work: pass `passage`, hand steps `first`..`last`, then closing step `hot`."""

    passage: int
    first: int
    last: int
    hot: int | None = None

    @property
    def steps(self) -> tuple[int, ...]:
        """The steps that one tap on forward confirms or begins here."""
        hand = range(self.first, self.last + 1)
        return (*hand, *(() if self.hot is None or self.hot in hand else (self.hot,)))


def bench_at(job: BenchJob, spot: WorkPosition, clock: float | None = None) -> Bench:
    """Return the bench as it is if every step up to `spot` was done right.

    `clock` is the seconds since the press opened; it only shows if a peel is waited for.
    """
    plan, own = job.plan, job.plan.passes[spot.passage]
    peeling = any(n in spot.steps for n in own.peels)
    pieces = tuple(_pieces(job, own, spot, peeling)) if spot.last != SETTING else ()
    degrees = _degrees(own, spot)
    size = (plan.platen_width_inches, plan.platen_height_inches)
    peel = _window(own, spot) if peeling else (None, None)
    return Bench(
        _card(job, own, degrees, peel),
        bed_of(plan),
        own.part,
        tuple((e, job.text_of(e)) for e in dict.fromkeys(each.piece.element for each in pieces)),
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


def _on_rack(own: Pass, spot: WorkPosition) -> bool:
    """Return whether the current peel is waited for on the rack."""
    nth = next(k for k, n in enumerate(own.peels) if n in spot.steps)
    return own.place_of(nth) is PeelPlace.RACK


def _card(
    job: BenchJob, own: Pass, degrees: int, peel: tuple[Peel | None, tuple[float, float] | None]
) -> BenchCard:
    plan, films = job.plan, dict[str, list[str]]()
    for piece in sorted(plan.pieces, key=lambda piece: piece.layer):
        if piece.panel in ("", own.panel) and job.text_of(piece.element):
            films.setdefault(piece.element, []).append(piece.colour)
    return BenchCard(
        job.garment.number,
        job.name,
        job.garment.size,
        own.panel,
        tuple((element, tuple(colours)) for element, colours in films.items()),
        degrees,
        plan.unit.value,
        (plan.platen_width_inches, plan.platen_height_inches),
        *peel,
    )


def _window(own: Pass, spot: WorkPosition) -> tuple[Peel | None, tuple[float, float] | None]:
    """Return how the current peel is done and its window in seconds, if any."""
    peel = next((own.steps[n].peel for n in own.peels if n in spot.steps), None)
    wait = next((wait for wait in own.stages if wait.peel is peel), own.wait)
    return peel, None if wait is None else (wait.from_seconds, wait.to_seconds)


def _degrees(own: Pass, spot: WorkPosition) -> int:
    """Return the degrees of the next closing, or of the last one if none follows."""
    hot = [n for n, step in enumerate(own.steps) if step.phase in HOT_PHASES]
    ahead = [n for n in hot if n >= spot.first]
    chosen = (ahead or hot)[0 if ahead else -1] if hot else 0
    return own.steps[chosen].temperature or 0


def _sheet(own: Pass, spot: WorkPosition) -> bool:
    """Return whether the cover sheet is on, for this closing or already for the next."""
    if spot.hot is not None:
        return own.steps[spot.hot].sheet
    since = 0
    for n in range(spot.last + 1):
        since = n if own.steps[n].phase in HOT_PHASES else since
    return any(step.phase is Phase.COVER for step in own.steps[since : spot.last + 1])


def _pieces(job: BenchJob, own: Pass, spot: WorkPosition, peeling: bool) -> Iterator[LaidPiece]:
    """Yield the pieces on the garment in the order they were laid."""
    by_name = pieces_of(job.plan, own)
    done = own.steps[: spot.last + 1]
    freed = {
        name
        for n, step in enumerate(done)
        if step.phase in FREEING and not (n in own.peels and n >= spot.first)
        for name in step.pieces
    }
    carried = carried_in(own)
    peeled_now = {name for n in spot.steps for name in own.steps[n].pieces if n in own.peels}
    for name in (*laid_before(job.plan, own), *piece_names(done, LAYING)):
        piece = by_name[name]
        on = name in carried and name not in freed
        for nth, text in _figures(piece.element, job.text_of(piece.element)):
            bench_piece = BenchPiece(piece.element, nth, piece.layer)
            lifted = on and peeling and name in peeled_now
            yield LaidPiece(bench_piece, text, piece.colour, carrier=on, lifted=lifted)


def _figures(element: str, text: str) -> Iterable[tuple[int, str]]:
    """Return (index, text) of each piece: a number's figures are separate, a name is one piece."""
    if not text:
        return ()
    return enumerate(text) if element == "number" else ((-1, text),)
