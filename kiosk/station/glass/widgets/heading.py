"""The header: which job, which garment of how many, which press with what setting."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.station.glass.boxes import Box
from kiosk.station.glass.sizes import Scale
from kiosk.station.glass.theme import INK, WHITE, Shade
from kiosk.station.glass.type import CAPITAL, Style, breadth, height
from kiosk.station.glass.widgets.paint import Drawn, fill, frame
from kiosk.station.glass.widgets.text import Text
from kiosk.train.practice import Sides


def shortened(text: str, bold: bool, em: float, width: float) -> str:
    """Return `text`, or its beginning with an ellipsis, no wider than `width`."""
    if breadth(text, bold) * em <= width:
        return text
    while text and breadth(f"{text.rstrip()}…", bold) * em > width:
        text = text[:-1]
    return f"{text.rstrip(' ,.-')}…" if text else ""


LEAST_TITLE_MM = 18.0


@dataclass(frozen=True, slots=True)
class Heads:
    """What a header says: the job's title, which garment, the press, when all is done.

    `brief` is a shorter way to say which garment, where `done` would have no room otherwise.
    """

    title: str
    garment: str = ""
    press: str = ""
    done: str = ""
    brief: str = ""

    @property
    def middles(self) -> tuple[str, ...]:
        """What may stand in bold, the most first."""
        longer = [f"{each} · {self.done}" for each in (self.garment, self.brief) if each]
        return (*longer, self.garment) if self.done else (self.garment,)


class Heading(Drawn):
    """The title is shortened where it must be; what else is shown is always whole.

    When all is done is left out where it has no room. Takes one row where the rest has room
    beside each other, else two.
    """

    def __init__(self, box: Box, scale: Scale, said: Heads, shade: Shade) -> None:
        super().__init__(box)
        self.scale = scale
        self.em = scale.small / CAPITAL
        self.shade = shade
        if heading_rows(scale, said, box.w) == 1:
            self._one_row(box, said)
        else:
            self._two_rows(box, said)

    def _one_row(self, box: Box, said: Heads) -> None:
        gap = self.scale.mm(4.0)
        right_box, rest = box.from_right(self._wide(said.press, False), gap)
        self._put(said.press, right_box, False, "right")
        middle = self._middle(said, said.middles, rest.w, gap)
        wide = self._wide(middle, True)
        x = min(max(box.centre[0] - wide / 2, rest.x), rest.right - wide)
        self._put(middle, Box(x, box.y, wide, box.h), True, "center")
        self._put(said.title, Box(box.x, box.y, x - gap - box.x, box.h), False, "left")

    def _two_rows(self, box: Box, said: Heads) -> None:
        upper, lower = box.grid(1, 2, 0.0)
        gap, done = self.scale.mm(3.0), self._wide(said.done, True)
        middles = said.middles
        if said.done and self._wide(said.press, False) + gap + done <= lower.w:
            place, lower = lower.from_right(done, gap)
            self._put(said.done, place, True, "right")
            middles = middles[-1:]
        middle = self._middle(said, middles, upper.w, gap)
        middle_box, rest = upper.from_right(self._wide(middle, True), gap)
        self._put(middle, middle_box, True, "right")
        self._put(said.title, rest, False, "left")
        self._put(said.press, lower, False, "left")

    def _middle(self, said: Heads, middles: tuple[str, ...], width: float, gap: float) -> str:
        """The most that leaves the title enough to be known by."""
        title = min(self._wide(said.title, False), self.scale.mm(LEAST_TITLE_MM))
        fitting = (each for each in middles if self._wide(each, True) + gap + title <= width)
        return next(fitting, middles[-1])

    def _wide(self, text: str, bold: bool) -> float:
        return breadth(text, bold) * self.em + 2

    def _put(self, text: str, box: Box, bold: bool, halign: str) -> None:
        text = shortened(text, bold, self.em, box.w) if halign == "left" else text
        style = Style(self.scale.small, self.scale.small, bold=bold, rows=1)
        self.add_widget(Text(text, box, style, self.shade.text, halign))


def heading_rows(scale: Scale, said: Heads, width: float) -> int:
    """Return how many rows a header needs: an upright one two rather than a shortened title."""
    em = scale.small / CAPITAL
    if not scale.portrait:
        return 1
    words = 0.92 * breadth(said.title, False) + breadth(said.press, False)
    return 1 if (words + breadth(said.middles[0], True)) * em + scale.mm(8.0) <= width else 2


def heading_height(scale: Scale, said: Heads, width: float) -> float:
    """Return the height that a header takes, px."""
    return heading_rows(scale, said, width) * height(1, scale.small / CAPITAL) * 1.05


BORDER_SHARE = 0.15  # of the figure, so that a border can be judged by eye


class LookedAt(Drawn):
    """Words on a plate, or the upper piece on the lower one, its border broader than true."""

    def __init__(self, box: Box, scale: Scale, shown: str | Sides) -> None:
        super().__init__(box)
        if isinstance(shown, Sides):
            self._border(box.fitted(1.0), shown)
            return
        with self.canvas:
            fill(box, WHITE)
            frame(box, INK, scale.mm(0.8))
        style = Style(scale.small, scale.line * 2.2, bold=True, rows=1)
        self.add_widget(Text(shown, box.inset(scale.mm(2.0)), style, INK, "center"))

    def _border(self, square: Box, sides: Sides) -> None:
        wide = square.w * BORDER_SHARE
        inner = Box(
            square.x + sides.left * wide,
            square.y + sides.below * wide,
            square.w - (sides.left + sides.right) * wide,
            square.h - (sides.above + sides.below) * wide,
        )
        with self.canvas:
            fill(square, INK)
            fill(inner, WHITE)
