"""The garment on the platen in inches, as the operator sees it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import SizeClass
from kiosk.catalog.rules import Face, read_face
from kiosk.plan import place
from kiosk.plan.model import Plan
from kiosk.plan.place import ElementBox as Placed
from kiosk.plan.sizes import Border, border
from kiosk.run.show import Ink, View

if TYPE_CHECKING:  # only for practice
    from kiosk.train.practice import Bench, LaidPiece

HEM = 0.3  # inches inside the platen where the drawing of the garment ends

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class PanelLay:
    """A panel on the platen, in inches; x to the right, y upwards, the collar seam at 0, 0.

    `texts` holds the text of each element; `left_hand` and `right_hand` are the outer figures of a
    number of two or more. `seam_ruler` is the seam's reading on a ruler that begins at the platen's
    collar edge; `parts` is in how many parts the panel is pressed; `half_body` is half of the
    garment's width. `boxes` are the elements of this part, `pressed` those of earlier parts: under
    the platen again, or over its edge at the collar.
    """

    platen: tuple[float, float, float, float]  # left, bottom, width, height
    garment: Points
    boxes: tuple[Placed, ...]
    texts: Mapping[str, str]
    toward: bool
    left_hand: str = ""
    right_hand: str = ""
    seam_ruler: float = 1.0
    parts: int = 1
    half_body: float = 10.0
    pressed: tuple[Placed, ...] = ()

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """Left, bottom, width and height of all that is drawn: platen and overhang."""
        left, bottom, wide, high = self.platen
        tops = [bottom + high, *(-box.ink[1] + HEM for box in self.pressed)]
        lows = [bottom, *(-box.ink[3] - HEM for box in self.pressed)]
        return left, min(lows), wide, max(tops) - min(lows)

    @property
    def worn(self) -> tuple[Placed, ...]:
        """The boxes as a reader sees them on the wearer."""
        return place.as_operator(self.boxes, self.toward)  # turning twice undoes it

    def from_seam(self, placed: Placed) -> float:
        """Return how far below the seam an element begins, inches along the centre line."""
        return abs(placed.y) - placed.height / 2


def panel_lay(
    plan: Plan, view: View, name: str, team: place.Team = place.NOBODY, face: Face | None = None
) -> PanelLay:
    """Return how the garment of `view` lies; `name` is the name in its roster line."""
    texts = texts_of(view, name)
    toward = plan.collar_toward_operator
    bed = place.bed_of(plan)
    whole = place.lay_out(bed, view.panel, view.size, texts, face or read_face(), team)
    closing_part = plan.passes[view.passage].part if view.passage < len(plan.passes) else None
    part = (
        _part(whole, view)
        if closing_part is None
        else place.ClosingPart(closing_part.elements, place.seam_ruler(closing_part, view.size))
    )
    boxes = tuple(box for box in whole.boxes if box.element in part.elements)
    laid_before = {p.element for p in view.pieces if p.ink is Ink.LAID} - set(part.elements)
    pressed = tuple(box for box in whole.boxes if box.element in laid_before)
    starts = min([-part.seam_ruler, *(box.ink[1] - HEM for box in pressed)])
    number = texts.get("number", "")
    outer = (number[-1:], number[:1]) if toward else (number[:1], number[-1:])
    low = -part.seam_ruler if toward else part.seam_ruler - bed.height
    return PanelLay(
        platen=(-bed.width / 2, low, bed.width, bed.height),
        garment=_garment(view, bed, part.seam_ruler, starts, toward),
        boxes=place.as_operator(boxes, toward),
        texts=texts,
        toward=toward,
        left_hand=outer[0] if len(number) > 1 else "",
        right_hand=outer[1] if len(number) > 1 else "",
        seam_ruler=part.seam_ruler,
        parts=len(whole.parts) if closing_part is None else closing_part.of,
        half_body=place.HALF_WIDTHS[place.class_of(view.size)],
        pressed=place.as_operator(pressed, toward),
    )


def widest_border(boxes: Sequence[Placed], view: View) -> Border | None:
    """Return the border of the largest stack that is laid now, None if nothing is stacked."""
    stacked = {p.element for p in view.pieces if p.ink is Ink.NEXT and p.layer > 1}
    heights = [box.height for box in boxes if box.element in stacked]
    return border(max(heights)) if heights else None


def _part(whole: place.PanelLayout, view: View) -> place.ClosingPart:
    """Return the part that the elements to be laid now belong to."""
    coming = [piece.element for piece in view.pieces if piece.ink is Ink.NEXT]
    candidates = (part for part in whole.parts if set(coming) & set(part.elements))
    return next(candidates, whole.parts[0] if whole.parts else place.ClosingPart((), 1.0))


def texts_of(view: View, name: str) -> dict[str, str]:
    """Return the text of each element of the panel, leaving out the empty ones."""
    values = {"name": name, "number": view.digits}
    elements = dict.fromkeys(piece.element for piece in view.pieces)
    texts = {element: values.get(element, element) for element in elements}
    return {element: text for element, text in texts.items() if text}


def _garment(view: View, bed: place.Bed, seam: float, starts: float, toward: bool) -> Points:
    """Return the garment's outline from `starts` inches below the seam to the platen's hem edge."""
    end = bed.height - seam - HEM
    right = place.right_side(view.panel, place.class_of(view.size), bed.width / 2 - 0.25, end)
    left = [(-x, y) for x, y in reversed(right) if x]
    sign = 1.0 if toward else -1.0
    return tuple((x * -sign, max(y, starts) * sign) for x, y in (*right, *left))


BESIDE = 6.9  # inches of bench drawn beside the platen
BEFORE, BEHIND = 2.2, 1.2  # beyond its collar edge and its hem edge
LENGTHS = {SizeClass.YOUTH: 22.0, SizeClass.ADULT: 28.0}  # of a body; common practice
# Points from a shoulder out along the sleeve to the underarm, inches.
SLEEVE = ((5.3, 4.2), (3.6, 8.6), (0.0, 6.6))
NECK_PANELS = frozenset({"back", "front", "left-chest", "right-chest"})


@dataclass(frozen=True, slots=True)
class PieceLay:
    """A piece on the bench: its letters and how far its film stands out around them, inches.

    `growth_out` is for this layer, `growth_of_one` what one layer shows around the next.
    """

    piece: LaidPiece
    letters: tuple[place.Letter, ...]
    turned: bool
    growth_out: float
    growth_of_one: float

    @property
    def ink(self) -> tuple[float, float, float, float]:
        """Left, bottom, right and top of its film."""
        growth = self.growth_out
        return (
            min(each.x - each.width / 2 for each in self.letters) - growth,
            min(-each.y - each.height / 2 for each in self.letters) - growth,
            max(each.x + each.width / 2 for each in self.letters) + growth,
            max(-each.y + each.height / 2 for each in self.letters) + growth,
        )


@dataclass(frozen=True, slots=True)
class BenchLay:
    """A bench in inches as the operator sees it, x to the right, y upwards.

    The collar seam of a garment that lies right is at 0, 0. `up` is 1 if y grows from the collar to
    the hem, else -1. `stitches` are the garment's side seams, `collar` its band.
    """

    bench: Bench
    extent: tuple[float, float, float, float]
    platen: tuple[float, float, float, float]
    garment: Points
    collar: Points
    stitches: tuple[Points, ...]
    pieces: tuple[PieceLay, ...]
    up: float


def bench_lay(bench: Bench) -> BenchLay:
    """Return how everything on a bench lies; a finished garment is shown as a reader sees it."""
    face, turn = read_face(), bench.toward != bench.laid_toward
    toward = turn if bench.worn else bench.laid_toward  # a reader sees the collar at the top
    whole = place.lay_out(bench.bed, bench.card.panel, bench.card.size, dict(bench.texts), face)
    part, size = bench.part, bench.card.size
    seam = whole.seam_ruler if part is None else place.seam_ruler(part, size)
    high = bench.bed.height
    sign = 1.0 if toward else -1.0
    low = -seam if toward else seam - high
    wide, tall = bench.platen
    bottom = low if toward else low + high - tall
    shift = (bench.garment or 0.0) * (-1 if bench.worn and bench.laid_toward else 1)
    outline, collar, stitches = _cloth(bench)

    middle = 2 * low + high

    def at(points: Points) -> Points:
        turned = [(x * -sign, y * sign) for x, y in points]
        turned = [(-x, middle - y) for x, y in turned] if turn else turned
        return tuple((x + shift, y) for x, y in turned)

    half, films = bench.bed.width / 2, dict(bench.card.films)
    before, behind = (BEFORE, BEHIND) if toward else (BEHIND, BEFORE)
    boxes = place.as_operator(whole.boxes, toward)
    return BenchLay(
        bench,
        _around(bench, high, middle if turn else 0.0)
        if bench.worn
        else (-half - BESIDE, low - before, 2 * (half + BESIDE), high + before + behind),
        (-wide / 2, bottom, wide, tall),
        at(outline),
        at(collar),
        tuple(at(each) for each in stitches),
        tuple(_piece(p, boxes, len(films[p.piece.element])) for p in bench.pieces),
        sign,
    )


def _around(bench: Bench, high: float, collar: float) -> tuple[float, float, float, float]:
    """Return what is drawn of a finished garment: its full width, and down past the platen."""
    half = place.HALF_WIDTHS[place.class_of(bench.card.size)] + 6.5
    return (-half, collar - high - 1.0, 2 * half, high + 3.0)


def _piece(piece: LaidPiece, boxes: Sequence[Placed], layers: int) -> PieceLay:
    box = next(each for each in boxes if each.element == piece.piece.element)
    nth = piece.piece.nth
    letters = box.letters if nth < 0 else box.letters[nth : nth + 1]
    own, one = (box.growth_of(layer, layers) for layer in (piece.piece.layer, layers - 1))
    return PieceLay(piece, letters, box.turned, own, one)


def _cloth(bench: Bench) -> tuple[Points, Points, tuple[Points, ...]]:
    """Return outline, collar band and side seams as worn: x to the right, y down from the seam."""
    panel, size_class = bench.card.panel, place.class_of(bench.card.size)
    long = LENGTHS[size_class] if panel in NECK_PANELS else bench.bed.height - 2.0
    right = [*place.right_side(panel, size_class, 99.0, long)]
    neck = tuple(right[:-2]) if panel in NECK_PANELS else ()
    if neck:
        (shoulder, fall), hem = right[-2], right[-1]
        sleeve = [(shoulder + x, fall + y) for x, y in SLEEVE]
        right = [*neck, (shoulder, fall), *sleeve, hem]
        seam = (sleeve[-1], hem)
    else:
        seam = (right[-2], right[-1])
    outline = (*right, *((-x, y) for x, y in reversed(right) if x))
    neckline = (*((-x, y) for x, y in reversed(neck)), *neck[1:])
    band = (*neckline, *((x * 0.8, y - 0.75) for x, y in reversed(neckline))) if neck else ()
    return outline, band, (seam, tuple((-x, y) for x, y in seam))
