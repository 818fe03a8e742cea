"""The garment on the platen in inches, as the operator stands before it."""

from collections.abc import Mapping, Sequence

from kiosk.catalog.base import dataclass
from kiosk.catalog.rules import Face, read_face
from kiosk.plan import place
from kiosk.plan.model import Plan
from kiosk.plan.place import Box as Placed
from kiosk.plan.sizes import Border, border
from kiosk.run.show import Ink, View

HEM = 0.3  # so far inside the platen the drawing of the garment ends

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Laid:
    """A panel on the platen. Inches; x to the right, y upwards, the collar seam at 0, 0.

    `texts` holds what each element says; `left_hand` and `right_hand` the outer figures of a
    number of two or more. `seam_ruler` is where the seam lies on a ruler that begins at the
    platen's edge at the collar; `parts` says in how many closings the panel is pressed;
    `half_body` is half of the garment's width. `boxes` are of the elements of this closing,
    `pressed` of those of earlier parts: under the platen again, or over its edge at the collar.
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
        """Left, bottom, width and height of all that is drawn: the platen and what hangs over."""
        left, bottom, wide, high = self.platen
        tops = [bottom + high, *(-box.ink[1] + HEM for box in self.pressed)]
        lows = [bottom, *(-box.ink[3] - HEM for box in self.pressed)]
        return left, min(lows), wide, max(tops) - min(lows)

    @property
    def worn(self) -> tuple[Placed, ...]:
        """The boxes as a reader sees them on who wears it."""
        return place.as_operator(self.boxes, self.toward)  # turned twice is not turned

    def from_seam(self, placed: Placed) -> float:
        """Return how far below the seam an element begins, inches along the centre line."""
        return abs(placed.y) - placed.height / 2


def laid(
    plan: Plan, view: View, name: str, team: place.Team = place.NOBODY, face: Face | None = None
) -> Laid:
    """Return how the garment of `view` lies; `name` is what the roster line wears."""
    texts = texts_of(view, name)
    toward = plan.collar_toward_operator
    bed = place.bed_of(plan)
    whole = place.lay_out(bed, view.panel, view.size, texts, face or read_face(), team)
    own = plan.passes[view.passage].part if view.passage < len(plan.passes) else None
    part = (
        _part(whole, view)
        if own is None
        else place.Part(own.elements, place.seam_ruler(own, view.size))
    )
    boxes = tuple(box for box in whole.boxes if box.element in part.elements)
    there = {p.element for p in view.pieces if p.ink is Ink.LAID} - set(part.elements)
    pressed = tuple(box for box in whole.boxes if box.element in there)
    starts = min([-part.seam_ruler, *(box.ink[1] - HEM for box in pressed)])
    number = texts.get("number", "")
    outer = (number[-1:], number[:1]) if toward else (number[:1], number[-1:])
    low = -part.seam_ruler if toward else part.seam_ruler - bed.height
    return Laid(
        platen=(-bed.width / 2, low, bed.width, bed.height),
        garment=_garment(view, bed, part.seam_ruler, starts, toward),
        boxes=place.as_operator(boxes, toward),
        texts=texts,
        toward=toward,
        left_hand=outer[0] if len(number) > 1 else "",
        right_hand=outer[1] if len(number) > 1 else "",
        seam_ruler=part.seam_ruler,
        parts=len(whole.parts) if own is None else own.of,
        half_body=place.HALF_WIDTHS[place.class_of(view.size)],
        pressed=place.as_operator(pressed, toward),
    )


def widest_border(boxes: Sequence[Placed], view: View) -> Border | None:
    """Return the border of the largest stack that is laid now, None where nothing is stacked."""
    stacked = {p.element for p in view.pieces if p.ink is Ink.NEXT and p.layer > 1}
    heights = [box.height for box in boxes if box.element in stacked]
    return border(max(heights)) if heights else None


def _part(whole: place.LayOut, view: View) -> place.Part:
    """The part that what is laid now belongs to."""
    coming = [piece.element for piece in view.pieces if piece.ink is Ink.NEXT]
    held = (part for part in whole.parts if set(coming) & set(part.elements))
    return next(held, whole.parts[0] if whole.parts else place.Part((), 1.0))


def texts_of(view: View, name: str) -> dict[str, str]:
    """Return what each element of the panel says; one with nothing to say is left out."""
    said = {"name": name, "number": view.number}
    elements = dict.fromkeys(piece.element for piece in view.pieces)
    texts = {element: said.get(element, element) for element in elements}
    return {element: text for element, text in texts.items() if text}


def _garment(view: View, bed: place.Bed, seam: float, starts: float, toward: bool) -> Points:
    """The garment on the platen, from `starts` inches below the seam to the platen's hem side."""
    end = bed.height - seam - HEM
    right = place.right_side(view.panel, place.class_of(view.size), bed.width / 2 - 0.25, end)
    left = [(-x, y) for x, y in reversed(right) if x]
    sign = 1.0 if toward else -1.0
    return tuple((x * -sign, max(y, starts) * sign) for x, y in (*right, *left))
