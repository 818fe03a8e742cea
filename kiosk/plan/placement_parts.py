"""How a panel goes onto the platen: in one closing, or in parts where the platen is too short."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kiosk.plan.placement_sizes import EDGE, SEAM_RULER


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


def _ends(held: Sequence[Span], *more: Span) -> tuple[float, float]:
    every = (*held, *more)
    return min(span.top for span in every), max(span.low for span in every)


def _part(held: Sequence[Span], platen_height: float) -> Part:
    top, low = _ends(held)
    seam = min(SEAM_RULER, platen_height - EDGE - low)
    return Part(tuple(span.element for span in held), max(seam, EDGE - top))
