"""Questions about sizes and places for a person; the parts of a panel too long for the platen."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from kiosk.catalog.base import MM_PER_INCH, Message, characters, dataclass, say
from kiosk.catalog.model import BY_CODE, RosterLine, SizeClass, SizeLimit, SizeRule
from kiosk.catalog.rules import Face
from kiosk.plan.model import PlatenPart
from kiosk.plan.phrases import element_word, panel_word
from kiosk.plan.place import placement
from kiosk.plan.place.fitting import TIGHTEST, ElementCut, breadth, can_fit
from kiosk.plan.sizes import Extent, cut_points, lies_under, part_seam

Spans = tuple[Extent, ...]
PlatenParts = Mapping[str, tuple[PlatenPart, ...]]
"""The parts of each panel that needs more than one."""


def platen_parts(bed: placement.Bed, roster: Iterable[RosterLine], face: Face) -> PlatenParts:
    """Return the parts of panels that are too long for the platen, from the collar down.

    One procedure serves a whole order: a panel is parted if any of its size classes needs it.
    Unknown sizes count as an adult's.
    """
    lines = tuple(roster)
    panels = dict.fromkeys(piece.panel for piece in bed.pieces)
    found = {panel: _panel_parts(bed, panel, lines, face) for panel in panels}
    return {panel: several for panel, several in found.items() if len(several) > 1}


@dataclass(frozen=True, slots=True)
class _ClassSpans:
    """The spans of one size class: for any text, and for this order's own names."""

    own: SizeClass
    any_text: Spans
    own_text: Spans


def _panel_parts(
    bed: placement.Bed, panel: str, lines: Sequence[RosterLine], face: Face
) -> tuple[PlatenPart, ...]:
    classes = _classes(bed, panel, lines, face)
    ends = {0}.union(*(cut_points(each.any_text, bed.height) for each in classes))
    if len(ends) == 1:
        return ()
    cuts = [*sorted(ends), len(classes[0].any_text)]
    return tuple(_part(nth, cuts, classes, bed.height) for nth in range(1, len(cuts)))


def _classes(
    bed: placement.Bed, panel: str, lines: Sequence[RosterLine], face: Face
) -> tuple[_ClassSpans, ...]:
    team = placement.Team(tuple((line.size, line.name) for line in lines))
    sizes = {placement.class_of(line.size): line.size for line in lines} or {SizeClass.ADULT: ""}
    found = []
    for own, size in sizes.items():
        names = [line.name for line in lines if placement.class_of(line.size) is own]
        any_text = placement.panel_spans(bed, panel, size, face, team)
        own_text = placement.panel_spans(bed, panel, size, face, team, _drop(names, face))
        found.append(_ClassSpans(own, any_text, own_text))
    return tuple(found)


def _drop(names: Iterable[str], face: Face) -> float:
    """How far the lowest letter of `names` reaches below the baseline: few have a Q or a comma."""
    used = {letter for name in names for letter in characters(name)}
    return max((-face.glyph(letter).bottom for letter in used), default=0.0)


def _part(
    nth: int, cuts: Sequence[int], classes: Sequence[_ClassSpans], platen_height: float
) -> PlatenPart:
    start, end = cuts[nth - 1], cuts[nth]
    seams, under_platen = {}, set()
    for each in classes:
        before = each.own_text[:start]
        seam = part_seam(each.any_text[start:end], before, platen_height)
        seams[each.own.value] = seam
        under_platen |= {s.element for s in before if lies_under(s, seam, platen_height)}
    names = [span.element for span in classes[0].any_text]
    return PlatenPart(
        nth,
        len(cuts) - 1,
        tuple(names[start:end]),
        seams,
        tuple(n for n in names if n in under_platen),
    )


def place_questions(
    bed: placement.Bed, roster: Iterable[RosterLine], face: Face
) -> tuple[Message, ...]:
    """Return what is too wide or tall, by class, panel and line, for lines of a known size.

    A question that is the same in both classes is asked once.
    """
    lines = tuple(line for line in roster if line.size in BY_CODE)
    team = placement.Team(tuple((line.size, line.name) for line in lines))
    found: list[Message] = []
    for own in SizeClass:
        of_class = [line for line in lines if placement.class_of(line.size) is own]
        for panel in dict.fromkeys(piece.panel for piece in bed.pieces):
            questions = _class_questions(bed, panel, of_class, face, team)
            found += [each for each in questions if each not in found]
    return tuple(found)


def _class_questions(
    bed: placement.Bed, panel: str, lines: list[RosterLine], face: Face, team: placement.Team
) -> Iterator[Message]:
    if not lines:
        return
    size = lines[0].size
    layout = placement.lay_out(bed, panel, size, {}, face, team)
    yield from (_unfit(panel, None, each) for each in layout.unfit)
    for cut in placement.team_cuts(bed, panel, size, face, team):
        for line in lines:
            text = line.text_of(cut.element)  # None for a crest: its width is unknown
            if text is not None and not can_fit(text, face, cut):
                wide = breadth(text, face, cut, TIGHTEST)
                unfit = placement.Unfit(
                    cut.element, placement.UnfitReason.TOO_WIDE, wide, cut.widest, cut.height
                )
                yield _unfit(panel, line, unfit)


def part_lines(bed: placement.Bed, roster: Iterable[RosterLine], face: Face) -> tuple[Message, ...]:
    """Return which panels are pressed in several parts, and where the seam lies for each part."""
    found = []
    for panel, parts in platen_parts(bed, roster, face).items():
        panel_name = panel_word(panel)
        found.append(say("plan.place.parts", panel=panel_name, count=len(parts)))
        for part in parts:
            for own, ruler in part.seam_rulers.items():
                found.append(
                    say(
                        "plan.place.part_over" if ruler < 0 else "plan.place.part",
                        panel=panel_name,
                        size=say(f"size_class.{own}"),
                        nth=part.nth,
                        count=part.of,
                        elements=tuple(element_word(each) for each in part.elements),
                        **lengths(ruler=abs(ruler)),
                    )
                )
    return tuple(found)


def text_on(line: RosterLine, element: str) -> str:
    """Return an element's text on a garment; the element's name if it is not on the roster."""
    text = line.text_of(element)
    return element if text is None else text


def lengths(**inches: float) -> dict[str, float]:
    """Return rounded lengths by name in inches, and as `<name>_mm` in millimetres."""
    rounded = {key: round(value, 2) for key, value in inches.items()}
    return rounded | {f"{key}_mm": round(value * MM_PER_INCH) for key, value in inches.items()}


def _unfit(panel: str, line: RosterLine | None, each: placement.Unfit) -> Message:
    values = lengths(inches=each.inches, most=each.most, height=each.height)
    element, panel_name = element_word(each.element), panel_word(panel)
    if each.why is placement.UnfitReason.TOO_TALL:
        return say("plan.place.too_tall", panel=panel_name, element=element, **values)
    id_ = "plan.place.name_too_wide" if each.element == "name" else "plan.place.too_wide"
    row = {} if line is None else {"line": line.line, "row": line.row or line.line}
    return say(id_, panel=panel_name, element=element, **row, **values)


HAIR = 1e-6  # inches: tolerance, so that a height equal to the limit passes


def size_faults(bed: placement.Bed, sizes: Iterable[str], rule: SizeRule) -> tuple[Message, ...]:
    """Return each height that breaks `rule` on the garments of `sizes` (size codes), by class.

    Names are measured at their full height: a team with a long name gets a lower one.
    """
    known = (BY_CODE[size] for size in sizes if size in BY_CODE)
    one_of_each = {size.size_class: size.code for size in known}
    return tuple(
        fault
        for limit in rule.limits
        for own, size in sorted(one_of_each.items(), key=lambda each: each[0].value)
        for cut in placement.element_cuts(bed, limit.panel, size)
        if cut.element == limit.element
        for fault in _broken_limits(limit, cut, own, rule.title)
    )


def _broken_limits(
    limit: SizeLimit, cut: ElementCut, own: SizeClass, code: str
) -> Iterator[Message]:
    height = cut.height if limit.border_counted else cut.figure
    border = say(f"plan.size.border_{'counted' if limit.border_counted else 'left_out'}")
    for end, bound in (("low", limit.low), ("high", limit.high)):
        if bound is None:
            continue
        over = height - float(bound.inches)
        if (over < -HAIR) if end == "low" else (over > HAIR):
            yield say(
                f"plan.size.{end}",
                panel=panel_word(limit.panel),
                size=say(f"size_class.{own.value}"),
                element=element_word(cut.element),
                counted=border,
                code=code,
                source=limit.source,
                **lengths(inches=height, limit=float(bound.inches)),
            )
