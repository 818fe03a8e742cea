"""Slips planted on the bench: what each changes, which touch finds it, and what it leads to."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace

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
    """One slip, at step `index` of pass `passage`, on `piece` if it concerns a piece.

    `values` are used by its change and by its messages.
    """

    kind: SlipKind
    passage: int
    index: int
    piece: BenchPiece | None = None
    values: tuple[tuple[str, str | int | float], ...] = ()

    def text(self, name: str) -> str:
        """Return one of its values as text; raises KeyError if there is none of that name."""
        return str(dict(self.values)[name])

    def number(self, name: str) -> float:
        """Return one of its values as a number; raises KeyError or ValueError if it is none."""
        return float(dict(self.values)[name])

    def found_by(self, thing: str) -> bool:
        """Return whether touching `thing` finds this slip."""
        if thing in _AROUND.get(self.kind, ()):
            return True
        if self.kind is SlipKind.PEEL:
            return thing not in AROUND  # any piece, because its carrier is being lifted
        if self.piece is None:
            return False
        whole = self.kind in _OF_ALL or thing == self.piece.element
        return thing.partition(".")[0] == self.piece.element if whole else thing == self.piece.thing

    def explains(self, thing: str) -> bool:
        """Return whether this slip makes `thing` wrong, even if touching it does not find it."""
        return self.found_by(thing) or (self.kind in _OF_EVERY_PIECE and thing not in AROUND)


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
    same = (
        one.piece is not None
        and other.piece is not None
        and one.piece.element == other.piece.element
    )
    return one.kind is not other.kind and not same and not {one.kind, other.kind} <= _OF_NUMBER


# -- what each slip changes --------------------------------------------------------------------


def with_slip(bench: Bench, slip: PlantedSlip) -> Bench:
    """Return the bench with the slip on it, or unchanged if the thing it changes is not there."""
    return _CHANGES[slip.kind](bench, slip)


def _pieces(
    change: Callable[[LaidPiece, PlantedSlip], LaidPiece],
) -> Callable[[Bench, PlantedSlip], Bench]:
    """Return a change applied to the slip's piece; in all its layers if the figure is wrong."""

    def change_bench(bench: Bench, slip: PlantedSlip) -> Bench:
        return replace(bench, pieces=tuple(change_piece(each, slip) for each in bench.pieces))

    def change_piece(each: LaidPiece, slip: PlantedSlip) -> LaidPiece:
        own = slip.piece
        if own is None or each.piece[:2] != own[:2]:
            return each
        return change(each, slip) if slip.kind in _IN_ALL_LAYERS or each.piece == own else each

    return change_bench


def _other_text(bench: Bench, slip: PlantedSlip) -> Bench:
    """Return the bench with another text on the slip's element, in all its layers."""
    own, held = slip.piece, slip.text("held")
    if own is None or not bench.text(own.element):
        return bench
    texts = tuple((e, held if e == own.element else text) for e, text in bench.texts)
    return replace(bench, texts=texts, pieces=tuple(_with_text(bench.pieces, own.element, held)))


def _with_text(pieces: Iterable[LaidPiece], element: str, held: str) -> Iterator[LaidPiece]:
    """Yield the pieces, with those of one element replaced by the text `held`."""
    for each in pieces:
        if each.piece.element != element:
            yield each
        elif each.piece.nth < 0:
            yield replace(each, text=held)
        elif each.piece.nth == 0:
            for nth, figure in enumerate(held):
                yield replace(each, piece=each.piece._replace(nth=nth), text=figure)


def _layers(bench: Bench, slip: PlantedSlip) -> Bench:
    """Return the bench with the element's two layers swapped."""
    own = slip.piece
    if own is None:
        return bench
    films = dict(bench.card.films)[own.element]
    other = {1: 2, 2: 1}

    def swap(each: LaidPiece) -> LaidPiece:
        layer = other.get(each.piece.layer, each.piece.layer)
        if each.piece.element != own.element:
            return each
        return replace(each, piece=each.piece._replace(layer=layer), colour=films[layer - 1])

    return replace(bench, pieces=tuple(map(swap, bench.pieces)))


def _shift(bench: Bench, slip: PlantedSlip) -> Bench:
    return bench if bench.garment is None else replace(bench, garment=slip.number("shift"))


def _small_platen(bench: Bench, slip: PlantedSlip) -> Bench:
    wide, high = bench.card.platen
    return replace(bench, platen=(round(wide * SMALLER), round(high * SMALLER)))


def _other_card(bench: Bench, slip: PlantedSlip) -> Bench:
    own = bench.card
    other = replace(own, number=slip.text("held"), name=slip.text("name") if own.name else "")
    return replace(bench, card=other)


def _offset(each: LaidPiece, slip: PlantedSlip) -> LaidPiece:
    return replace(each, offset=(slip.number("right"), slip.number("up")))


_CHANGES: Mapping[SlipKind, Callable[[Bench, PlantedSlip], Bench]] = {
    SlipKind.LAST_SETTING: lambda bench, slip: replace(bench, degrees=round(slip.number("shown"))),
    SlipKind.PLATEN: _small_platen,
    SlipKind.CARD: _other_card,
    SlipKind.COLLAR: lambda bench, slip: replace(bench, toward=not bench.laid_toward),
    SlipKind.SEAM: _shift,
    SlipKind.SIX_NINE: _pieces(lambda each, slip: replace(each, turned=True)),
    SlipKind.DIGIT_TOO_MANY: _other_text,
    SlipKind.WRONG_DIGIT: _other_text,
    SlipKind.SWAPPED: _other_text,
    SlipKind.FACE_DOWN: _pieces(lambda each, slip: replace(each, face_down=True)),
    SlipKind.NAME: _other_text,
    SlipKind.LAYERS: _layers,
    SlipKind.COLOUR: _pieces(lambda each, slip: replace(each, colour=slip.text("held"))),
    SlipKind.LINER: _pieces(lambda each, slip: replace(each, liner=True)),
    SlipKind.CARRIER: _pieces(lambda each, slip: replace(each, carrier=True)),
    SlipKind.BORDER: _pieces(_offset),
    SlipKind.SHEET: lambda bench, slip: replace(bench, sheet=not bench.sheet),
    SlipKind.PEEL: lambda bench, slip: replace(bench, clock=slip.number("seconds")),
}


# -- what a slip leads to ----------------------------------------------------------------------


def consequence_of(job: BenchJob, slip: PlantedSlip) -> SlipOutcome:
    """Return what a slip let through leads to, with the finished garment if it shows there."""
    word = _OUTCOME_WORDS.get(slip.kind, slip.kind.value.replace(" ", "_"))
    if slip.kind is SlipKind.LAST_SETTING:
        word = "hot" if slip.number("shown") > slip.number("asked") else "cold"
    if slip.kind is SlipKind.PEEL:
        word = "early" if slip.number("soon") else "late"
    if slip.kind is SlipKind.SHEET:
        closing = job.plan.passes[slip.passage].steps[slip.index]
        word = "no_sheet" if closing.sheet else "sheet_on"
    shown = finished_bench(job, slip) if slip.kind in _VISIBLE else None
    return SlipOutcome(word, slip.values, shown)


_OUTCOME_WORDS: Mapping[SlipKind, str] = {
    SlipKind.SIX_NINE: "turned",
    SlipKind.DIGIT_TOO_MANY: "digit",
    SlipKind.BORDER: "overhang",
}
_VISIBLE = frozenset(SlipKind) - {
    SlipKind.LAST_SETTING,
    SlipKind.PLATEN,
    SlipKind.SHEET,
    SlipKind.PEEL,
}


def finished_bench(job: BenchJob, slip: PlantedSlip) -> Bench:
    """Return the finished garment with a slip that was let through, as seen when worn."""
    last = len(job.plan.passes[slip.passage].steps) - 1
    bench = with_slip(bench_at(job, WorkPosition(slip.passage, last, last)), slip)
    own = slip.piece
    if slip.kind is SlipKind.CARD:
        bench = _pieces_of_card(bench, slip)
    pieces = (
        each for each in bench.pieces if own is None or not _fell_off(each.piece, own, slip.kind)
    )
    bare = (replace(each, carrier=False, liner=False, lifted=False) for each in pieces)
    return replace(bench, pieces=tuple(bare), sheet=False, clock=None, rack=False, worn=True)


def _pieces_of_card(bench: Bench, slip: PlantedSlip) -> Bench:
    """Return the bench with the pieces of the garment whose card was read."""
    for element, text in (("name", bench.card.name), ("number", bench.card.number)):
        piece = BenchPiece(element, -1, 1)
        bench = _other_text(bench, replace(slip, piece=piece, values=(("held", text),)))
    return bench


def _fell_off(each: BenchPiece, own: BenchPiece, kind: SlipKind) -> bool:
    """Return whether a piece fell off: pressed on its liner, or laid on a carrier left on."""
    from_layer = {SlipKind.LINER: own.layer, SlipKind.CARRIER: own.layer + 1}.get(kind)
    return from_layer is not None and each[:2] == own[:2] and each.layer >= from_layer
