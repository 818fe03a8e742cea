"""A panel that is too long for the platen, as the parts that an order's garments go on it in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from kiosk.catalog.base import characters
from kiosk.catalog.model import RosterLine, SizeClass
from kiosk.catalog.rules import Face
from kiosk.plan.model import PlatenPart
from kiosk.plan.place.parts import Span, cut_points, lies_under, part_seam
from kiosk.plan.place.placement import Bed, Team, class_of, panel_spans
from kiosk.plan.sizes import SEAM_RULER

Spans = tuple[Span, ...]
PlatenParts = Mapping[str, tuple[PlatenPart, ...]]
"""The parts of each panel that needs more than one."""


def platen_parts(bed: Bed, roster: Iterable[RosterLine], face: Face) -> PlatenParts:
    """Return the parts of the panels that are too long for the platen, from the collar down.

    One procedure serves a whole order: a panel is parted wherever any class of its sizes has
    to be. Sizes that nobody knows are laid as an adult's.
    """
    lines = tuple(roster)
    panels = dict.fromkeys(piece.panel for piece in bed.pieces)
    found = {panel: _of_panel(bed, panel, lines, face) for panel in panels}
    return {panel: several for panel, several in found.items() if len(several) > 1}


@dataclass(frozen=True, slots=True)
class _ClassSpans:
    """The spans of one class of sizes: of any text, and with this order's own names."""

    own: SizeClass
    any_text: Spans
    own_text: Spans


def seam_ruler(part: PlatenPart, size: str) -> float:
    """Return where the seam of a garment of `size` lies on the ruler for a part, inches."""
    own = part.seam_rulers.get(class_of(size).value)
    return next(iter(part.seam_rulers.values()), SEAM_RULER) if own is None else own


def _of_panel(
    bed: Bed, panel: str, lines: Sequence[RosterLine], face: Face
) -> tuple[PlatenPart, ...]:
    classes = _classes(bed, panel, lines, face)
    ends = {0}.union(*(cut_points(each.any_text, bed.height) for each in classes))
    if len(ends) == 1:
        return ()
    cuts = [*sorted(ends), len(classes[0].any_text)]
    return tuple(_part(nth, cuts, classes, bed.height) for nth in range(1, len(cuts)))


def _classes(
    bed: Bed, panel: str, lines: Sequence[RosterLine], face: Face
) -> tuple[_ClassSpans, ...]:
    team = Team(tuple((line.size, line.name) for line in lines))
    sizes = {class_of(line.size): line.size for line in lines} or {SizeClass.ADULT: ""}
    found = []
    for own, size in sizes.items():
        names = [line.name for line in lines if class_of(line.size) is own]
        every = panel_spans(bed, panel, size, face, team)
        inked = panel_spans(bed, panel, size, face, team, _drop(names, face))
        found.append(_ClassSpans(own, every, inked))
    return tuple(found)


def _drop(names: Iterable[str], face: Face) -> float:
    """How far the lowest letter of `names` hangs below the baseline: few have a Q or a comma."""
    used = {letter for name in names for letter in characters(name)}
    return max((-face.glyph(letter).bottom for letter in used), default=0.0)


def _part(
    nth: int, cuts: Sequence[int], classes: Sequence[_ClassSpans], platen_height: float
) -> PlatenPart:
    start, end = cuts[nth - 1], cuts[nth]
    seams, under = {}, set()
    for each in classes:
        before = each.own_text[:start]
        seam = part_seam(each.any_text[start:end], before, platen_height)
        seams[each.own.value] = seam
        under |= {s.element for s in before if lies_under(s, seam, platen_height)}
    names = [span.element for span in classes[0].any_text]
    return PlatenPart(
        nth, len(cuts) - 1, tuple(names[start:end]), seams, tuple(n for n in names if n in under)
    )
