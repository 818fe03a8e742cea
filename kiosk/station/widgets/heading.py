"""The header: which job, which garment of how many, which press with what setting."""

from __future__ import annotations

from kiosk.station.boxes import Box
from kiosk.station.sizes import Scale
from kiosk.station.theme import Shade
from kiosk.station.type import CAPITAL, Style, breadth, height
from kiosk.station.widgets.drawn import Drawn
from kiosk.station.widgets.text import Text


def shortened(text: str, bold: bool, em: float, width: float) -> str:
    """Return `text`, or its beginning with an ellipsis, no wider than `width`."""
    if breadth(text, bold) * em <= width:
        return text
    while text and breadth(f"{text.rstrip()}…", bold) * em > width:
        text = text[:-1]
    return f"{text.rstrip(' ,.-')}…" if text else ""


class Heading(Drawn):
    """`left` is shortened where it must be; `middle` (bold) and `right` are always whole.

    Takes one row where all three have room beside each other, else two.
    """

    def __init__(
        self, box: Box, scale: Scale, left: str, middle: str, right: str, shade: Shade
    ) -> None:
        super().__init__(box)
        self.scale = scale
        self.em = scale.small / CAPITAL
        self.shade = shade
        if heading_rows(scale, left, middle, right, box.w) == 1:
            self._one_row(box, left, middle, right)
        else:
            self._two_rows(box, left, middle, right)

    def _one_row(self, box: Box, left: str, middle: str, right: str) -> None:
        gap = self.scale.mm(4.0)
        wide = breadth(right, False) * self.em + 2
        right_box, rest = box.from_right(wide, gap)
        self._put(right, right_box, False, "right")
        wide = breadth(middle, True) * self.em + 2
        x = min(max(box.centre[0] - wide / 2, rest.x), rest.right - wide)
        self._put(middle, Box(x, box.y, wide, box.h), True, "center")
        self._put(left, Box(box.x, box.y, x - gap - box.x, box.h), False, "left")

    def _two_rows(self, box: Box, left: str, middle: str, right: str) -> None:
        upper, lower = box.grid(1, 2, 0.0)
        wide = breadth(middle, True) * self.em + 2
        middle_box, rest = upper.from_right(wide, self.scale.mm(3.0))
        self._put(middle, middle_box, True, "right")
        self._put(left, rest, False, "left")
        self._put(right, lower, False, "left")

    def _put(self, text: str, box: Box, bold: bool, halign: str) -> None:
        text = shortened(text, bold, self.em, box.w) if halign == "left" else text
        style = Style(self.scale.small, self.scale.small, bold=bold, rows=1)
        self.add_widget(Text(text, box, style, self.shade.text, halign))


def heading_rows(scale: Scale, left: str, middle: str, right: str, width: float) -> int:
    """Return how many rows a header needs: an upright one two rather than a shortened title."""
    em = scale.small / CAPITAL
    if not scale.portrait:
        return 1
    need = (0.92 * breadth(left, False) + breadth(middle, True) + breadth(right, False)) * em
    return 1 if need + scale.mm(8.0) <= width else 2


def heading_height(scale: Scale, left: str, middle: str, right: str, width: float) -> float:
    """Return the height that a header takes, px."""
    return heading_rows(scale, left, middle, right, width) * height(1, scale.small / CAPITAL) * 1.05
