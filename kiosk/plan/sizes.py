"""Heights, places, gaps and borders by panel and size class, in inches: common practice, no source.

A recipe's own `height` wins over these. League rules differ by code and season: see
`kiosk.plan.place.questions`.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from math import floor

from kiosk.catalog.base import Length, dataclass
from kiosk.catalog.model import ANY, SizeClass, Sport, SportPlace


@dataclass(frozen=True, slots=True)
class PanelRoom:
    """The room that a panel gives to its elements, in inches.

    `top` is from the seam at the collar (on a sleeve the shoulder seam, on shorts the waistband) to
    the first element, `gap` between elements, `widest` the greatest width of an element, `across`
    from the centre line (on shorts, of the leg) to the middle of the elements, positive to the
    viewer's right. A name may shrink to `least_name`.
    """

    top: float
    gap: float
    widest: float
    heights: Mapping[str, float]
    across: float = 0.0
    least_name: float = 0.6


YOUTH, ADULT = SizeClass.YOUTH, SizeClass.ADULT
OTHER_HEIGHT = 3.0  # for an element that is neither name nor number; less on a short platen
LEAST_OTHER = 0.5
BEYOND = {"name": 0.3, "number": 0.03}  # share of its height, in our face: accents, round figures
ORDER = ("name", "number")  # from the collar down; others below these

SEAM_RULER = 1.0  # the seam's usual distance inside the platen's edge
EDGE = 0.5  # a platen presses less along its edges: no art there
CLEAR = 0.25  # clearance beyond the platen's edge: not heated, even if loaded a little off

_BACK = {
    ADULT: PanelRoom(4.0, 1.5, 14.0, {"name": 2.5, "number": 10.0}, least_name=1.5),
    YOUTH: PanelRoom(3.0, 1.0, 11.0, {"name": 2.0, "number": 8.0}, least_name=1.25),
}
_FRONT = {
    ADULT: PanelRoom(4.0, 1.5, 12.0, {"name": 2.0, "number": 6.0}, least_name=1.0),
    YOUTH: PanelRoom(3.0, 1.0, 10.0, {"name": 1.5, "number": 4.0}, least_name=0.8),
}
_SLEEVE = {
    ADULT: PanelRoom(2.0, 0.5, 4.0, {"name": 1.0, "number": 3.0}),
    YOUTH: PanelRoom(1.5, 0.5, 3.5, {"name": 0.8, "number": 2.5}),
}
_SHORTS = {
    ADULT: PanelRoom(11.0, 0.5, 5.0, {"name": 1.0, "number": 3.0}),
    YOUTH: PanelRoom(8.0, 0.5, 4.0, {"name": 0.8, "number": 2.5}),
}


def _chest(side: int) -> dict[SizeClass, PanelRoom]:
    return {
        ADULT: PanelRoom(4.0, 0.5, 4.0, {"name": 1.0, "number": 3.0}, side * 4.0),
        YOUTH: PanelRoom(3.0, 0.5, 3.5, {"name": 0.8, "number": 2.5}, side * 3.0),
    }


ROOMS: Mapping[str, Mapping[SizeClass, PanelRoom]] = {
    "back": _BACK,
    "front": _FRONT,
    "left-sleeve": _SLEEVE,
    "right-sleeve": _SLEEVE,
    "sleeve": _SLEEVE,
    "left-chest": _chest(+1),  # the wearer's left is the viewer's right
    "right-chest": _chest(-1),
    "shorts": _SHORTS,
}


WAISTBAND_WORDS = frozenset(
    {"leg", "short", "shorts", "pant", "pants", "trouser", "trousers", "pierna", "pantalon"}
)


def end_of(panel: str) -> str:
    """Return the seam that a panel is measured from: `waistband`, `sleeve` or `collar`.

    A shop names its panels freely: `left-leg` and `trousers` have no collar.
    """
    if "sleeve" in panel:
        return "sleeve"
    words = panel.replace("_", "-").replace(" ", "-").split("-")
    return "collar" if WAISTBAND_WORDS.isdisjoint(words) else "waistband"


@dataclass(frozen=True, slots=True)
class SportRoom:
    """The room of a panel for one size class, if the job's sport changes it."""

    panel: str
    size_class: SizeClass
    room: PanelRoom


def room_of(panel: str, size_class: SizeClass, own: tuple[SportRoom, ...] = ()) -> PanelRoom:
    """Return the room of a panel; a panel in neither the table nor `own` is treated as a front."""
    for each in own:
        if (each.panel, each.size_class) == (panel, size_class):
            return each.room
    return ROOMS.get(panel, _FRONT)[size_class]


@dataclass(frozen=True, slots=True)
class Border:
    """How far a layer extends around the one above it, and the tolerance; inches."""

    width: float
    most_off: float


_BORDERS = (  # by least height, inches
    (6.0, Border(1 / 4, 1 / 16)),
    (2.0, Border(1 / 8, 1 / 32)),
    (0.0, Border(1 / 16, 1 / 64)),
)


def border(height: float) -> Border:
    """Return the border of an element of `height` inches."""
    return next(found for least, found in _BORDERS if height >= least)


@dataclass(frozen=True, slots=True)
class Spacing:
    """How the pieces of an element are spaced side by side.

    `normal` is added between letters before fitting, as a share of capital height; each piece's
    carrier extends `carrier` inches beyond its ink on every side.
    """

    normal: float
    carrier: float


SPACINGS = {"name": Spacing(0.08, 1 / 32), "number": Spacing(0.0, 1 / 8)}
OTHER_SPACING = Spacing(0.0, 1 / 8)
NARROWEST = 0.80  # share of the face's own width


def spacing(element: str) -> Spacing:
    """Return how the pieces of an element are spaced."""
    return SPACINGS.get(element, OTHER_SPACING)


def rooms_of(
    sports: Mapping[str, Sport], sport: str, panels: Iterable[str]
) -> tuple[SportRoom, ...]:
    """Return the rooms of `panels` that differ from the usual: any sport's, then `sport`'s."""
    own: dict[tuple[str, SizeClass], PanelRoom] = {}
    names = set(panels)
    for key in (ANY, sport):
        for place in sports[key].places if key in sports else ():
            if place.panel in names:
                panel_size = place.panel, place.size_class
                own[panel_size] = _with_place(own.get(panel_size) or room_of(*panel_size), place)
    return tuple(SportRoom(panel, size_class, each) for (panel, size_class), each in own.items())


def _with_place(usual: PanelRoom, place: SportPlace) -> PanelRoom:
    heights = {"name": place.name, "number": place.number}
    given = {"top": place.top, "gap": place.gap, "widest": place.widest, "across": place.across}
    given["least_name"] = place.least_name
    return replace(usual, heights={**usual.heights, **_inches(heights)}, **_inches(given))


def _inches(lengths: Mapping[str, Length | None]) -> dict[str, float]:
    return {key: float(each.inches) for key, each in lengths.items() if each is not None}


@dataclass(frozen=True, slots=True)
class Extent:
    """The extent of an element along the centre line, inches from the seam; `top` above `low`."""

    element: str
    top: float
    low: float

    @property
    def tall(self) -> float:
        """How much of the centre line it takes."""
        return self.low - self.top


def other_height(known: Mapping[str, float], others: int, gap: float, platen: float) -> float:
    """Return the height of `others` elements without a given height, below the `known` ones.

    It is only assumed, so it alone makes no panel too long for a platen `platen` inches high.
    """
    gaps = gap * (len(known) + others - 1)
    first = next((e for e in ORDER if e in known), "")
    used = sum(known.values()) + gaps + BEYOND.get(first, 0.0) * known.get(first, 0.0)
    eighths = floor((platen - 2 * EDGE - used) / max(others, 1) * 8)
    return min(OTHER_HEIGHT, max(LEAST_OTHER, eighths / 8))


@dataclass(frozen=True, slots=True)
class ClosingPart:
    """Elements pressed in one closing, with the garment placed at `seam_ruler`.

    That is where the seam lies in inches on a ruler along the centre line: 0 at the platen's collar
    edge, negative if the seam is beyond that edge.
    """

    elements: tuple[str, ...]
    seam_ruler: float


def parts(spans: Sequence[Extent], platen_height: float) -> tuple[ClosingPart, ...]:
    """Return the fewest parts, from the collar down, whose spans fit the platen's usable height.

    A span longer than that is a part of its own, with its upper end at the usable edge.
    """
    usable = platen_height - 2 * EDGE
    found: list[list[Extent]] = []
    for span in spans:
        if found and _ends(found[-1], span)[1] - _ends(found[-1], span)[0] <= usable:
            found[-1].append(span)
        else:
            found.append([span])
    return tuple(_part(each, platen_height) for each in found)


def cut_points(spans: Sequence[Extent], platen_height: float) -> frozenset[int]:
    """Return, for each part but the last, how many spans come before its end."""
    ends, count = set(), 0
    for part in parts(spans, platen_height)[:-1]:
        count += len(part.elements)
        ends.add(count)
    return frozenset(ends)


def part_seam(spans: Sequence[Extent], before: Sequence[Extent], platen_height: float) -> float:
    """Return where the seam lies for a part; `before` are the spans of the parts before it.

    If possible, the garment is moved just far enough that everything before lies off the platen:
    what is pressed is not heated again, and no platen edge marks it. Otherwise it is moved no
    farther than the part needs, and earlier spans lie under the platen again. Rounded to an eighth
    of an inch if possible.
    """
    if not before:
        return _part(spans, platen_height).seam_ruler
    top, low = _ends(spans)
    least, most = EDGE - top, min(SEAM_RULER, platen_height - EDGE - low)
    clear = -CLEAR - max(span.low for span in before)
    aim = min(most, clear) if clear >= least else most
    eighth = floor(aim * 8) / 8
    return eighth if eighth >= least else max(aim, least)


def lies_under(span: Extent, seam: float, platen_height: float) -> bool:
    """Return whether any of a span may be heated: under the platen, or within CLEAR of its edge."""
    return span.low + seam > -CLEAR and span.top + seam < platen_height + CLEAR


def _ends(spans: Sequence[Extent], *more: Extent) -> tuple[float, float]:
    all_spans = (*spans, *more)
    return min(span.top for span in all_spans), max(span.low for span in all_spans)


def _part(spans: Sequence[Extent], platen_height: float) -> ClosingPart:
    top, low = _ends(spans)
    seam = min(SEAM_RULER, platen_height - EDGE - low)
    return ClosingPart(tuple(span.element for span in spans), max(seam, EDGE - top))
