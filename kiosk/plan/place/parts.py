"""How a panel goes onto the platen: in one closing, or in parts where the platen is too short."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor

from kiosk.plan.sizes import CLEAR, EDGE, SEAM_RULER


@dataclass(frozen=True, slots=True)
class Span:
    """What an element may take along the centre line, inches from the seam, top above low."""

    element: str
    top: float
    low: float

    @property
    def tall(self) -> float:
        """How much of the centre line it takes."""
        return self.low - self.top


@dataclass(frozen=True, slots=True)
class Part:
    """Elements that are pressed in one closing, the garment lying as `seam_ruler` says.

    That is the number on a ruler along the centre line, 0 at the platen's edge at the collar,
    where the seam lies, inches; negative where it hangs over that edge.
    """

    elements: tuple[str, ...]
    seam_ruler: float


def parts(spans: Sequence[Span], platen_height: float) -> tuple[Part, ...]:
    """Return the fewest parts, from the collar down, whose spans fit the platen's usable height.

    A span that is longer than that stands alone, its upper end at the edge of what is usable.
    """
    usable = platen_height - 2 * EDGE
    found: list[list[Span]] = []
    for span in spans:
        if found and _ends(found[-1], span)[1] - _ends(found[-1], span)[0] <= usable:
            found[-1].append(span)
        else:
            found.append([span])
    return tuple(_part(each, platen_height) for each in found)


def cut_points(spans: Sequence[Span], platen_height: float) -> frozenset[int]:
    """Return after how many spans each part but the last ends."""
    ends, count = set(), 0
    for part in parts(spans, platen_height)[:-1]:
        count += len(part.elements)
        ends.add(count)
    return frozenset(ends)


def part_seam(held: Sequence[Span], before: Sequence[Span], platen_height: float) -> float:
    """Return where the seam lies for a part; `before` are the spans of the parts before it.

    Where it can, the garment is moved just so far that all before lies off the platen: what is
    pressed is not heated again, and no edge of the platen prints into it. Else it is moved no
    farther than the part needs, and what is before lies under the platen again. To an eighth
    of an inch where there is one.
    """
    if not before:
        return _part(held, platen_height).seam_ruler
    top, low = _ends(held)
    least, most = EDGE - top, min(SEAM_RULER, platen_height - EDGE - low)
    clear = -CLEAR - max(span.low for span in before)
    wanted = min(most, clear) if clear >= least else most
    eighth = floor(wanted * 8) / 8
    return eighth if eighth >= least else max(wanted, least)


def lies_under(span: Span, seam: float, platen_height: float) -> bool:
    """Return whether any of a span may be heated: under the platen, or within CLEAR of its edge."""
    return span.low + seam > -CLEAR and span.top + seam < platen_height + CLEAR


def _ends(held: Sequence[Span], *more: Span) -> tuple[float, float]:
    every = (*held, *more)
    return min(span.top for span in every), max(span.low for span in every)


def _part(held: Sequence[Span], platen_height: float) -> Part:
    top, low = _ends(held)
    seam = min(SEAM_RULER, platen_height - EDGE - low)
    return Part(tuple(span.element for span in held), max(seam, EDGE - top))
