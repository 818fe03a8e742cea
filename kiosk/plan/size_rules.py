"""Heights of a recipe against a league's rule."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kiosk.catalog.message import Message, say
from kiosk.catalog.number_sizes import SizeLimit, SizeRule
from kiosk.catalog.sizes import BY_CODE, SizeClass
from kiosk.plan.fitting import Cut
from kiosk.plan.phrases import panel_word
from kiosk.plan.placement import Bed, element_cuts
from kiosk.plan.placement_questions import element_word, lengths

HAIR = 1e-6  # inches: a height written as the limit itself is not below it


def size_faults(bed: Bed, sizes: Iterable[str], rule: SizeRule) -> tuple[Message, ...]:
    """Return each height that breaks `rule` on the garments of `sizes` (size codes), by class.

    Names are measured at their full height: a team with a long one gets a lower one.
    """
    known = (BY_CODE[size] for size in sizes if size in BY_CODE)
    one_of_each = {size.size_class: size.code for size in known}
    return tuple(
        fault
        for limit in rule.limits
        for own, size in sorted(one_of_each.items(), key=lambda each: each[0].value)
        for cut in element_cuts(bed, limit.panel, size)
        if cut.element == limit.element
        for fault in _broken(limit, cut, own, rule.title)
    )


def _broken(limit: SizeLimit, cut: Cut, own: SizeClass, code: str) -> Iterator[Message]:
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
