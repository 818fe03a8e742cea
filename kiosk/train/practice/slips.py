"""Slips planted on the bench: what each changes, which touch finds it, and what it leads to."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import field, replace
from enum import Enum

from kiosk.catalog.base import dataclass
from kiosk.train.practice.bench import (
    AROUND,
    CARD,
    CLOCK,
    DISPLAY,
    GARMENT,
    PLATEN,
    SEAM,
    SHEET,
    Bench,
    BenchJob,
    BenchPiece,
    LaidPiece,
    WorkPosition,
    bench_at,
)
from kiosk.train.practice.looks import SlipKind, SlipOutcome

SMALLER = 0.68  # of the required platen


@dataclass(frozen=True, slots=True)
class PlantedSlip:
    """One slip, at step `index` of pass `passage`, on `cut` if it concerns a piece.

    `values` are used by its change and by its messages.
    """

    slip: SlipKind
    passage: int
    index: int
    cut: BenchPiece | None = None
    values: tuple[tuple[str, str | int | float], ...] = ()

    def text(self, name: str) -> str:
        """Return one of its values as text; raises KeyError if there is none of that name."""
        return str(dict(self.values)[name])

    def number(self, name: str) -> float:
        """Return one of its values as a number; raises KeyError or ValueError if it is none."""
        return float(dict(self.values)[name])

    def found_by(self, thing: str) -> bool:
        """Return whether touching `thing` finds this slip."""
        if thing in _AROUND.get(self.slip, ()):
            return True
        if self.slip is SlipKind.PEEL:
            return thing not in AROUND  # any piece, because its carrier is being lifted
        if self.cut is None:
            return False
        whole = self.slip in _OF_ALL or thing == self.cut.element
        return thing.partition(".")[0] == self.cut.element if whole else thing == self.cut.thing

    def explains(self, thing: str) -> bool:
        """Return whether this slip makes `thing` wrong, even if touching it does not find it."""
        return self.found_by(thing) or (self.slip in _OF_EVERY_PIECE and thing not in AROUND)


_AROUND: Mapping[SlipKind, tuple[str, ...]] = {
    SlipKind.LAST_SETTING: (DISPLAY,),
    SlipKind.SHEET: (SHEET,),
    SlipKind.COLLAR: (GARMENT,),
    SlipKind.SEAM: (SEAM, GARMENT),
    SlipKind.PLATEN: (PLATEN,),
    SlipKind.CARD: (CARD,),
    SlipKind.PEEL: (CLOCK,),
}
_OF_ALL = frozenset({SlipKind.DIGIT_TOO_MANY, SlipKind.SWAPPED, SlipKind.LAYERS})
"""Slips of a whole element; touching any of its figures finds them."""
_OF_EVERY_PIECE = frozenset({SlipKind.COLLAR, SlipKind.SEAM, SlipKind.PLATEN, SlipKind.CARD})
"""Slips that put every piece in a wrong place or on the wrong garment."""
PASSING = frozenset({SlipKind.SHEET, SlipKind.PEEL})
"""Slips that end with their step; all others stay visible to the end of their pass."""
_IN_ALL_LAYERS = frozenset({SlipKind.SIX_NINE, SlipKind.FACE_DOWN})
_OF_NUMBER = frozenset(
    {
        SlipKind.SIX_NINE,
        SlipKind.WRONG_DIGIT,
        SlipKind.SWAPPED,
        SlipKind.DIGIT_TOO_MANY,
        SlipKind.FACE_DOWN,
        SlipKind.CARD,
    }
)


def can_share_garment(one: PlantedSlip, other: PlantedSlip) -> bool:
    """Return whether two slips can be on one garment and still be told apart."""
    same = one.cut is not None and other.cut is not None and one.cut.element == other.cut.element
    return one.slip is not other.slip and not same and not {one.slip, other.slip} <= _OF_NUMBER


# -- what each slip changes --------------------------------------------------------------------


def changed(bench: Bench, put: PlantedSlip) -> Bench:
    """Return the bench with the slip on it, or unchanged if the thing it changes is not there."""
    return _CHANGES[put.slip](bench, put)


def _pieces(
    change: Callable[[LaidPiece, PlantedSlip], LaidPiece],
) -> Callable[[Bench, PlantedSlip], Bench]:
    """Return a change applied to the slip's piece; in all its layers if the figure is wrong."""

    def of(bench: Bench, put: PlantedSlip) -> Bench:
        return replace(bench, pieces=tuple(_one(each, put) for each in bench.pieces))

    def _one(each: LaidPiece, put: PlantedSlip) -> LaidPiece:
        own = put.cut
        if own is None or each.cut[:2] != own[:2]:
            return each
        return change(each, put) if put.slip in _IN_ALL_LAYERS or each.cut == own else each

    return of


def _other_text(bench: Bench, put: PlantedSlip) -> Bench:
    """Return the bench with another text on the slip's element, in all its layers."""
    own, held = put.cut, put.text("held")
    if own is None or not bench.text(own.element):
        return bench
    texts = tuple((e, held if e == own.element else text) for e, text in bench.texts)
    return replace(bench, texts=texts, pieces=tuple(_with_text(bench.pieces, own.element, held)))


def _with_text(pieces: Iterable[LaidPiece], element: str, held: str) -> Iterator[LaidPiece]:
    """Yield the pieces, with those of one element replaced by the text `held`."""
    for each in pieces:
        if each.cut.element != element:
            yield each
        elif each.cut.nth < 0:
            yield replace(each, text=held)
        elif each.cut.nth == 0:
            for nth, figure in enumerate(held):
                yield replace(each, cut=each.cut._replace(nth=nth), text=figure)


def _layers(bench: Bench, put: PlantedSlip) -> Bench:
    """Return the bench with the element's two layers swapped."""
    own = put.cut
    if own is None:
        return bench
    films = dict(bench.ticket.films)[own.element]
    other = {1: 2, 2: 1}

    def swap(each: LaidPiece) -> LaidPiece:
        layer = other.get(each.cut.layer, each.cut.layer)
        if each.cut.element != own.element:
            return each
        return replace(each, cut=each.cut._replace(layer=layer), colour=films[layer - 1])

    return replace(bench, pieces=tuple(map(swap, bench.pieces)))


def _shift(bench: Bench, put: PlantedSlip) -> Bench:
    return bench if bench.garment is None else replace(bench, garment=put.number("shift"))


def _small_platen(bench: Bench, put: PlantedSlip) -> Bench:
    wide, high = bench.ticket.platen
    return replace(bench, platen=(round(wide * SMALLER), round(high * SMALLER)))


def _other_card(bench: Bench, put: PlantedSlip) -> Bench:
    own = bench.ticket
    other = replace(own, number=put.text("held"), name=put.text("name") if own.name else "")
    return replace(bench, ticket=other)


def _off(each: LaidPiece, put: PlantedSlip) -> LaidPiece:
    return replace(each, off=(put.number("right"), put.number("up")))


_CHANGES: Mapping[SlipKind, Callable[[Bench, PlantedSlip], Bench]] = {
    SlipKind.LAST_SETTING: lambda bench, put: replace(bench, degrees=round(put.number("shown"))),
    SlipKind.PLATEN: _small_platen,
    SlipKind.CARD: _other_card,
    SlipKind.COLLAR: lambda bench, put: replace(bench, toward=not bench.laid_toward),
    SlipKind.SEAM: _shift,
    SlipKind.SIX_NINE: _pieces(lambda each, put: replace(each, turned=True)),
    SlipKind.DIGIT_TOO_MANY: _other_text,
    SlipKind.WRONG_DIGIT: _other_text,
    SlipKind.SWAPPED: _other_text,
    SlipKind.FACE_DOWN: _pieces(lambda each, put: replace(each, face_down=True)),
    SlipKind.NAME: _other_text,
    SlipKind.LAYERS: _layers,
    SlipKind.COLOUR: _pieces(lambda each, put: replace(each, colour=put.text("held"))),
    SlipKind.LINER: _pieces(lambda each, put: replace(each, liner=True)),
    SlipKind.CARRIER: _pieces(lambda each, put: replace(each, carrier=True)),
    SlipKind.BORDER: _pieces(_off),
    SlipKind.SHEET: lambda bench, put: replace(bench, sheet=not bench.sheet),
    SlipKind.PEEL: lambda bench, put: replace(bench, clock=put.number("seconds")),
}


# -- what a slip leads to ----------------------------------------------------------------------


def consequence_of(wanted: BenchJob, put: PlantedSlip) -> SlipOutcome:
    """Return what a slip let through leads to, with the finished garment if it shows there."""
    word = _CAME.get(put.slip, put.slip.value.replace(" ", "_"))
    if put.slip is SlipKind.LAST_SETTING:
        word = "hot" if put.number("shown") > put.number("asked") else "cold"
    if put.slip is SlipKind.PEEL:
        word = "early" if put.number("soon") else "late"
    if put.slip is SlipKind.SHEET:
        closes = wanted.plan.passes[put.passage].steps[put.index]
        word = "no_sheet" if closes.sheet else "sheet_on"
    shown = finished(wanted, put) if put.slip in _SEEN else None
    return SlipOutcome(word, put.values, shown)


_CAME: Mapping[SlipKind, str] = {
    SlipKind.SIX_NINE: "turned",
    SlipKind.DIGIT_TOO_MANY: "digit",
    SlipKind.BORDER: "overhang",
}
_SEEN = frozenset(SlipKind) - {
    SlipKind.LAST_SETTING,
    SlipKind.PLATEN,
    SlipKind.SHEET,
    SlipKind.PEEL,
}


def finished(wanted: BenchJob, put: PlantedSlip) -> Bench:
    """Return the finished garment with a slip that was let through, as seen when worn."""
    last = len(wanted.plan.passes[put.passage].steps) - 1
    bench = changed(bench_at(wanted, WorkPosition(put.passage, last, last)), put)
    own = put.cut
    if put.slip is SlipKind.CARD and bench.text("number"):
        bench = _other_text(bench, replace(put, cut=BenchPiece("number", -1, 1)))
    kept = (each for each in bench.pieces if own is None or not _fell_off(each.cut, own, put.slip))
    bare = (replace(each, carrier=False, liner=False, lifted=False) for each in kept)
    return replace(bench, pieces=tuple(bare), sheet=False, clock=None, rack=False, worn=True)


def _fell_off(each: BenchPiece, own: BenchPiece, slip: SlipKind) -> bool:
    """Return whether a piece fell off: pressed on its liner, or laid on a carrier left on."""
    above = {SlipKind.LINER: own.layer, SlipKind.CARRIER: own.layer + 1}.get(slip)
    return above is not None and each[:2] == own[:2] and each.layer >= above


# -- a garment and its slips -------------------------------------------------------------------


class TouchOutcome(Enum):
    """The outcome of touching a thing."""

    FOUND = "found"
    KNOWN = "known"  # wrong because of a slip elsewhere or one let through before
    RIGHT = "right"  # a false alarm: nothing is wrong with it
    NOTHING = "nothing"  # neither: the thing is not there, or the clock is out of its range


@dataclass(slots=True)
class BenchRun:
    """The bench of one garment. `put` holds slips not yet met, `through` those let through."""

    wanted: BenchJob
    put: list[PlantedSlip]
    through: list[PlantedSlip] = field(default_factory=list)
    false_alarms: int = 0
    found: int = 0
    _touched: set[tuple[WorkPosition, str]] = field(default_factory=set)

    def here(self, spot: WorkPosition) -> tuple[PlantedSlip, ...]:
        """Return the slips that can be found here."""
        return tuple(p for p in self.put if p.passage == spot.passage and p.index in spot.steps)

    def bench(self, spot: WorkPosition, clock: float | None = None) -> Bench:
        """Return the bench with the slips of this spot and the lasting ones let through before."""
        bench = bench_at(self.wanted, spot, clock)
        stays = (p for p in self.through if p.slip not in PASSING and p.passage == spot.passage)
        for each in (*stays, *self.here(spot)):
            bench = changed(bench, each)
        return bench

    def touch(
        self, spot: WorkPosition, thing: str, clock: float | None = None
    ) -> tuple[TouchOutcome, PlantedSlip | None]:
        """Handle a touch; return its outcome and the slip found, which is put right, or None."""
        found = next((each for each in self.here(spot) if each.found_by(thing)), None)
        if found is not None:
            self.put.remove(found)
            self.found += 1
            return TouchOutcome.FOUND, found
        bench = self.bench(spot, clock)
        before = (p for p in self.through if p.passage == spot.passage)
        if any(p.explains(thing) for p in (*before, *self.here(spot))):
            return TouchOutcome.KNOWN, None
        if thing not in bench.things() or (thing == CLOCK and not bench.in_time):
            return TouchOutcome.NOTHING, None
        self.false_alarms += (spot, thing) not in self._touched
        self._touched.add((spot, thing))
        return TouchOutcome.RIGHT, None

    def go_on(self, spot: WorkPosition) -> tuple[PlantedSlip, ...]:
        """Let the slips of this spot through and return them."""
        missed = self.here(spot)
        self.put = [each for each in self.put if each not in missed]
        self.through += missed
        return missed
