"""Where things stand on the work screen: the same places always."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.station.boxes import Box
from kiosk.station.sizes import NEAR_BELOW_INCHES, Scale

BAR_SHARE = 0.2  # the forward bar fills the bottom fifth
SIDE_MM = 18.0
SIDE_SHARE = 0.135  # of the width, for the buttons beside it


@dataclass(frozen=True, slots=True)
class Areas:
    """`content` lies between the ribbon and the bar; `left` and `right` stand beside the bar."""

    whole: Box
    header: Box
    ribbon: Box
    content: Box
    left: Box
    bar: Box
    right: Box


def areas(whole: Box, scale: Scale, header: float, ribbon: float, bar_to_edge: bool) -> Areas:
    """Divide the screen; `header` and `ribbon` are heights in px (0 for none).

    `bar_to_edge` lets the bar run to the left edge, where nothing can be taken back.
    """
    tight = 0.6 if scale.screen_inches < NEAR_BELOW_INCHES else 1.0
    foot, rest = whole.from_bottom(whole.h * BAR_SHARE, scale.mm(2.2 * tight))
    side = max(scale.mm(SIDE_MM), whole.w * SIDE_SHARE)
    left, middle = foot.from_left(side, scale.gap)
    right, bar = middle.from_right(side, scale.gap)
    if bar_to_edge:
        bar = Box(whole.x, bar.y, bar.right - whole.x, bar.h)
    page = Box(rest.x + scale.margin, rest.y, rest.w - 2 * scale.margin, rest.h)
    head, page = page.from_top(
        header + scale.mm(1.6 * tight), scale.mm(0.8 * tight) if ribbon else 0.0
    )
    head = Box(head.x, head.y, head.w, header)
    marks, content = page.from_top(ribbon, scale.mm(2.2 * tight))
    return Areas(whole, head, marks, content, left, bar, right)
