"""Where each element is on the garment as worn, and how the panel goes onto the platen."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from enum import Enum
from functools import lru_cache
from math import cos, pi, sin

from kiosk.catalog.base import characters, dataclass
from kiosk.catalog.model import BY_CODE, RosterLine, SizeClass
from kiosk.catalog.rules import Face
from kiosk.plan.model import Piece, Plan, PlatenPart
from kiosk.plan.place.fitting import ElementBox, ElementCut, breadth, fit, letters, team_height
from kiosk.plan.sizes import (
    EDGE,
    ORDER,
    SEAM_RULER,
    ClosingPart,
    Extent,
    PanelRoom,
    SportRoom,
    end_of,
    other_height,
    parts,
    room_of,
)


class UnfitReason(Enum):
    """Why an element does not fit."""

    TOO_WIDE = "too wide"
    TOO_TALL = "too tall"


@dataclass(frozen=True, slots=True)
class Unfit:
    """An element that takes `inches` where only `most` are free, at its `height`: ask a person."""

    element: str
    why: UnfitReason
    inches: float
    most: float
    height: float


@dataclass(frozen=True, slots=True)
class PanelLayout:
    """A panel as worn: its boxes from the collar down, and how it goes onto the platen.

    Several parts mean that the platen is too short for the panel: each needs its own closing.
    """

    boxes: tuple[ElementBox, ...]
    parts: tuple[ClosingPart, ...]
    unfit: tuple[Unfit, ...] = ()

    @property
    def seam_ruler(self) -> float:
        """Inches from the platen's collar edge to the seam; negative if beyond the edge."""
        return self.parts[0].seam_ruler if self.parts else SEAM_RULER


@dataclass(frozen=True, slots=True)
class Bed:
    """The pieces to lay and the platen's size, inches; `rooms` are those that the sport changes."""

    pieces: tuple[Piece, ...]
    width: float
    height: float
    rooms: tuple[SportRoom, ...] = ()

    def room(self, panel: str, size: str) -> PanelRoom:
        """Return the room of a panel on a garment of `size`."""
        return room_of(panel, class_of(size), self.rooms)


def bed_of(plan: Plan) -> Bed:
    """Return what a plan lays on its press."""
    return Bed(plan.pieces, plan.platen_width_inches, plan.platen_height_inches, plan.rooms)


def class_of(size: str) -> SizeClass:
    """Return the class of a size; an unknown size counts as an adult's."""
    return BY_CODE[size].size_class if size in BY_CODE else SizeClass.ADULT


@dataclass(frozen=True, slots=True)
class Team:
    """The names of an order, as (size, name): all names of a size class get one height."""

    lines: tuple[tuple[str, str], ...] = ()

    def names(self, size: str) -> tuple[str, ...]:
        """Return the names on garments of the same class as `size`, each once."""
        return _names(self.lines, class_of(size))


@lru_cache(maxsize=16)
def _names(lines: tuple[tuple[str, str], ...], own: SizeClass) -> tuple[str, ...]:
    known = ((name, BY_CODE.get(each)) for each, name in lines if name)
    return tuple(dict.fromkeys(name for name, size in known if size and size.size_class is own))


NOBODY = Team()


def lay_out(
    bed: Bed, panel: str, size: str, texts: Mapping[str, str], face: Face, team: Team = NOBODY
) -> PanelLayout:
    """Return the layout of a panel on a garment of `size` with `texts` by element.

    An element without a text is left out (a roster line may have no name), and those below it keep
    their place. Names are as low as the widest one of `team` requires.
    """
    room = bed.room(panel, size)
    boxes, spans, unfit, top = [], [], [], room.top
    for own in _cuts(bed, panel, room):
        text = texts.get(own.element)
        cut = _team_cut(own, face, team.names(size), text, room)
        if text:
            box = _box(cut, text, top + own.height / 2, face, room)
            boxes.append(box)
            if not box.fitted.fits:
                unfit.append(
                    Unfit(cut.element, UnfitReason.TOO_WIDE, box.width, cut.widest, cut.height)
                )
        names = (*team.names(size), text or "")
        span, usable = _span(cut, top + own.height / 2, face, names), bed.height - 2 * EDGE
        if span.tall > usable:
            unfit.append(Unfit(cut.element, UnfitReason.TOO_TALL, span.tall, usable, cut.height))
        spans.append(span)
        top += own.height + room.gap
    return PanelLayout(tuple(boxes), parts(spans, bed.height), tuple(unfit))


def panel_spans(
    bed: Bed, panel: str, size: str, face: Face, team: Team, name_drop: float | None = None
) -> tuple[Extent, ...]:
    """Return the spans that a panel's elements may take on the centre line, from the collar down.

    `name_drop` is how far this order's names reach below the baseline, as a share of capital
    height; None for as far as any name of the face may.
    """
    room, names = bed.room(panel, size), team.names(size)
    found, top = [], room.top
    for own in _cuts(bed, panel, room):
        cut = _team_cut(own, face, names, None, room)
        found.append(_span(cut, top + own.height / 2, face, names, name_drop))
        top += own.height + room.gap
    return tuple(found)


def element_heights(plan: Plan, panel: str, size: str) -> dict[str, float]:
    """Return each element's height in inches, from the collar down, before names are fitted."""
    return {cut.element: cut.height for cut in element_cuts(bed_of(plan), panel, size)}


Heights = Mapping[tuple[str, str, SizeClass], float]
"""Inches by panel, element and size class, for names lowered to fit a team."""


def fitted_heights(plan: Plan, roster: Iterable[RosterLine], face: Face) -> Heights:
    """Return the heights of the elements lowered to fit this roster's names."""
    lines = tuple((line.size, line.name) for line in roster)
    sizes = {BY_CODE[size].size_class: size for size, _ in lines if size in BY_CODE}
    bed, team = bed_of(plan), Team(lines)
    return {
        (panel, cut.element, own): cut.height
        for own, size in sizes.items()
        for panel in dict.fromkeys(piece.panel for piece in bed.pieces)
        for cut, full in zip(
            team_cuts(bed, panel, size, face, team), element_cuts(bed, panel, size), strict=True
        )
        if cut.height < full.height
    }


def element_cuts(bed: Bed, panel: str, size: str) -> tuple[ElementCut, ...]:
    """Return how each element of a panel is cut before names are fitted, from the collar down."""
    return tuple(_cuts(bed, panel, bed.room(panel, size)))


def team_cuts(bed: Bed, panel: str, size: str, face: Face, team: Team) -> tuple[ElementCut, ...]:
    """Return how each element of a panel is cut for a team, its names all at one height."""
    room, names = bed.room(panel, size), team.names(size)
    return tuple(_team_cut(cut, face, names, None, room) for cut in _cuts(bed, panel, room))


def _cuts(bed: Bed, panel: str, room: PanelRoom) -> Iterable[ElementCut]:
    own = {p.element: p for p in bed.pieces if p.panel == panel}
    usable = max(0.0, bed.width - 2 * (EDGE + abs(room.across)))
    given = {e: p.height_inches or room.heights.get(e) for e, p in own.items()}
    known = {element: height for element, height in given.items() if height}
    other = other_height(known, len(own) - len(known), room.gap, bed.height)
    for element in sorted(own, key=lambda e: ORDER.index(e) if e in ORDER else len(ORDER)):
        height = known.get(element, other)
        yield ElementCut(element, height, own[element].layers, min(room.widest, usable))


def _team_cut(
    cut: ElementCut, face: Face, names: tuple[str, ...], text: str | None, room: PanelRoom
) -> ElementCut:
    """The cut at the team's height; only names change."""
    if cut.element != "name":
        return cut
    texts = tuple(dict.fromkeys((*names, text))) if text else names
    least = min(cut.height, room.least_name)
    return replace(cut, height=team_height(texts, face, cut, least))


def _box(cut: ElementCut, text: str, middle: float, face: Face, room: PanelRoom) -> ElementBox:
    fitted = fit(text, face, cut)
    baseline = middle + cut.figure / 2
    placed = tuple(
        replace(each, x=room.across + each.x, y=baseline - each.y)
        for each in letters(text, face, cut, fitted)
    )
    wide = breadth(text, face, cut, fitted)
    return ElementBox(
        cut.element, room.across, middle, wide, cut.height, False, placed, cut.growth, fitted
    )


def _span(
    cut: ElementCut,
    middle: float,
    face: Face,
    names: tuple[str, ...],
    name_drop: float | None = None,
) -> Extent:
    """The ink extent that any text of the element may have; only names have accents."""
    rise, drop = 0.0, 0.0
    if cut.element == "name":
        rise, drop = _rise(names, face), face.drop if name_drop is None else name_drop
    elif cut.element == "number":
        figures = [face.glyph(figure) for figure in "0123456789"]
        rise, drop = max(g.top for g in figures) - 1, -min(g.bottom for g in figures)
    top, low = middle - cut.height / 2, middle + cut.height / 2
    return Extent(cut.element, top - rise * cut.figure, low + drop * cut.figure)


@lru_cache(maxsize=16)
def _rise(names: tuple[str, ...], face: Face) -> float:
    """How far accents rise above a capital; a letter of the second face may rise higher: Ổ."""
    used = {letter for name in names for letter in characters(name)}
    return max((face.rise, *(face.glyph(letter).top - 1 for letter in used)))


HALF_WIDTHS = {SizeClass.YOUTH: 7.5, SizeClass.ADULT: 10.0}  # of the body; common practice
LEGS = {SizeClass.YOUTH: 5.5, SizeClass.ADULT: 7.0}  # half of a leg of shorts; common practice
NECK = 3.5  # half of a collar's width


def right_side(panel: str, own: SizeClass, most: float, end: float) -> list[tuple[float, float]]:
    """Return the outline right of the centre line, from the seam to `end` inches below it.

    x to the right, y away from the collar; no wider than `most` from the centre line.
    """
    seam = end_of(panel)
    if seam == "sleeve":
        return [(2.75, -0.1), (5.5, 1.4), (4.95, end * 0.6)]
    if seam == "waistband":
        half = min(LEGS[own], most)
        return [(half * 0.85, 0.0), (half, end)]
    half = min(HALF_WIDTHS[own], most)
    dip = 2.2 if panel in {"front", "left-chest", "right-chest"} else 0.0
    shoulder = -0.7 + (half - NECK) * 0.36  # it falls from the neck to the side
    return [*_neckline(dip), (half, shoulder), (half, end)]


def _neckline(dip: float) -> list[tuple[float, float]]:
    """A quarter ellipse from the seam at the centre line up to the start of the shoulder."""
    rise = dip + 0.7
    steps = [i * pi / 12 for i in range(7)]
    return [(NECK * sin(a), dip - rise * (1 - cos(a))) for a in steps]


def seam_ruler(part: PlatenPart, size: str) -> float:
    """Return where the seam of a garment of `size` lies on the ruler for a part, inches."""
    own = part.seam_rulers.get(class_of(size).value)
    return next(iter(part.seam_rulers.values()), SEAM_RULER) if own is None else own
