"""Beside the platen of a lay drawing: a ruler from the collar seam, and the hands."""

from collections.abc import Mapping, Sequence

from kiosk.catalog.base import dataclass
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.lay import PanelLay
from kiosk.station.glass.theme import INK
from kiosk.station.glass.type import CAPITAL, Style, balanced, fit, height
from kiosk.station.glass.widgets.paint import Drawn, fill
from kiosk.station.glass.widgets.text import Text

SIDES = ("left", "right")
GAP_MM = 1.0  # between the platen's frame and the ruler
KEEPS = 0.92  # of its width: the platen gives up no more for the hands
CROWDED_ROWS = 2.8  # below the first length: with fewer rows the hands go outside the lengths
TICK_MM = 2.2  # the mark of a piece; those of whole inches are shorter


@dataclass(frozen=True, slots=True)
class SeamMark:
    """How far below the seam a piece begins, in inches and in words."""

    inches: float
    text: str
    at_right: bool = False


def marks_of(lay: PanelLay, distances: Mapping[str, str]) -> tuple[SeamMark, ...]:
    """Return the ruler's marks in order from the seam; pieces at the right are measured there."""
    found = [
        SeamMark(lay.from_seam(placed), distances[placed.element], placed.x > 0)
        for placed in lay.boxes
        if distances.get(placed.element)
    ]
    return tuple(sorted(found, key=lambda mark: mark.inches))


def lengths_width(marks: Sequence[SeamMark], side: int, scale: Scale) -> float:
    """Return the width of a ruler's lengths at the left (0) or right (1), px."""
    texts = [mark.text for mark in marks if mark.at_right == bool(side)]
    em = scale.ruler / CAPITAL
    return max((balanced(text, False, 3)[0] for text in texts), default=0.0) * em + scale.mm(1.4)


def _needs(
    scale: Scale,
    hands: tuple[str, str] | None,
    marks: Sequence[SeamMark],
    right: float,
    crowded: bool,
) -> tuple[float, float]:
    """Return what ruler and hands need at the platen's left and right, px."""
    em, edge = scale.small / CAPITAL, scale.mm(TICK_MM + 1.0 + GAP_MM)
    needs = [0.0, right + scale.mm(GAP_MM) if right else 0.0]
    for nth in (0, 1):
        has_texts = hands is not None or any(mark.at_right == bool(nth) for mark in marks)
        lengths = lengths_width(marks, nth, scale)
        words = balanced(hands[nth], True, 3)[0] * em + 2 if hands is not None else 0.0
        wide = lengths + words if crowded else max(lengths, words)
        needs[nth] = max(needs[nth], wide + edge if has_texts else 0.0)
    return needs[0], needs[1]


@dataclass(frozen=True, slots=True)
class LayRoom:
    """A box for a lay drawing, and in it `platen` for the platen and what hangs over it.

    `crowded` if the hands do not fit between the collar's end and the ruler's first length: they go
    outside the lengths, or `beyond` them if the box is too narrow for that.
    """

    box: Box
    platen: Box
    hands: tuple[str, str] | None
    marks: tuple[SeamMark, ...]
    crowded: bool
    beyond: bool


def divide(
    box: Box,
    scale: Scale,
    lay: PanelLay,
    hands: tuple[str, str] | None,
    marks: tuple[SeamMark, ...],
    right: float,
    left_least: float = 0.0,
) -> LayRoom:
    """Divide a box: the platen in the middle, unless what is beside it pushes it away.

    At its right `right` px stay free, at its left at least `left_least`.
    """
    _, _, wide, high = lay.extent
    first = (marks[0].inches + lay.seam_ruler) / high if marks else 1.0
    row = height(1, scale.small / CAPITAL)
    crowded = hands is not None and first * box.h < CROWDED_ROWS * row
    needs = _needs(scale, hands, marks, right, crowded)
    beyond = crowded and box.w - sum(needs) < KEEPS * box.h * wide / high
    needs = _needs(scale, hands, marks, right, False) if beyond else needs
    needs = max(needs[0], left_least), needs[1]
    platen = max(1.0, min(box.h * wide / high, box.w - sum(needs)))
    left = min(max((box.w - platen) / 2, needs[0]), max(needs[0], box.w - platen - needs[1]))
    return LayRoom(box, Box(box.x + left, box.y, platen, box.h), hands, marks, crowded, beyond)


class LayMargin(Drawn):
    """The strips at both sides of the platen `whole`, inside `room`.

    `zero` is the seam's height and `px` the pixels of an inch. `free` are the boxes at the left and
    right that ruler and hands leave, away from the collar.
    """

    def __init__(
        self, room: LayRoom, scale: Scale, toward: bool, whole: Box, zero: float, px: float
    ) -> None:
        super().__init__(room.box)
        self.scale = scale
        self.toward = toward
        self.whole = whole
        self.zero = zero
        self.px = px
        self.crowded = room.crowded
        self.beyond = room.beyond
        gap = scale.mm(GAP_MM)
        x, right = whole.x - gap, whole.right + gap
        sides = (
            Box(room.box.x, whole.y, x - room.box.x, whole.h),
            Box(right, whole.y, room.box.right - right, whole.h),
        )
        self.taken = [0.0, 0.0]
        if room.hands is not None and not self.crowded:
            self._name(room.hands, sides, room.marks)
        for nth, side in enumerate(sides):
            side_marks = [mark for mark in room.marks if mark.at_right == bool(nth)]
            if side_marks:
                self.taken[nth] = self._ruler(side_marks, side, self.taken[nth])
        if room.hands is not None and self.crowded:
            self._name(room.hands, sides, room.marks)
        left, at_right = (self._strip(s, t, s.h) for s, t in zip(sides, self.taken, strict=True))
        self.free = left, at_right

    def _from_edge(self, inches: float) -> float:
        """Return the pixels from the drawing's collar edge to `inches` below the seam."""
        y = self._height(inches)
        return y - self.whole.y if self.toward else self.whole.top - y

    def _height(self, inches: float) -> float:
        return self.zero + (inches if self.toward else -inches) * self.px

    def _name(
        self, words: tuple[str, str], sides: Sequence[Box], marks: Sequence[SeamMark]
    ) -> None:
        reach = self._hands(words, sides, marks)
        self.taken = [max(each) for each in zip(self.taken, reach, strict=True)]

    def _strip(self, side: Box, start: float, end: float) -> Box:
        """Return the part of a side from `start` to `end` px off the collar edge."""
        y = side.y + start if self.toward else side.top - end
        return Box(side.x, y, side.w, max(0.0, end - start))

    def _hands(
        self, words: tuple[str, str], sides: Sequence[Box], marks: Sequence[SeamMark]
    ) -> list[float]:
        """Name the outer figures beside the collar's end; return how far each name reaches.

        They go before the ruler's first length; if there is no room, outside its lengths, and if
        the side is too narrow for that, beyond them.
        """
        boxes = [self._hand_box(n, side, words[n], marks) for n, side in enumerate(sides)]
        rows = words if self.crowded else _same_rows(words, boxes, self.scale)
        valign = "bottom" if self.toward else "top"
        texts = [
            Text(text, box, hand_style(self.scale), INK, halign, valign)
            for text, box, halign in zip(rows, boxes, ("right", "left"), strict=True)
        ]
        for each in texts:
            self.add_widget(each)
        return [self._reach(each.ink) + self.scale.mm(0.8) for each in texts]

    def _reach(self, ink: Box) -> float:
        """Return how far off the drawing's collar edge a text ends."""
        return ink.top - self.whole.y if self.toward else self.whole.top - ink.y

    def _hand_box(self, nth: int, side: Box, word: str, marks: Sequence[SeamMark]) -> Box:
        """Return the box for a hand's name at the left (0) or right (1)."""
        row = height(1, self.scale.small / CAPITAL)
        first = min((self._from_edge(mark.inches) for mark in marks), default=self.whole.h / 3)
        ruled = any(mark.at_right == bool(nth) for mark in marks)
        ruler_width = self.scale.mm(TICK_MM + 1.0) if ruled else 0.0
        if ruled and self.beyond:
            last = self.taken[nth] + 0.1 * row
            box = self._strip(side, last, last + 2.1 * row)
            return (
                box.from_right(box.w - ruler_width)[0]
                if nth
                else box.from_left(box.w - ruler_width)[0]
            )
        tall = min(max(2.1 * row, first - 0.6 * row), 0.45 * self.whole.h)
        if self.crowded:
            ruler_width += lengths_width(marks, nth, self.scale) if ruled else 0.0
            em = self.scale.small / CAPITAL
            tall = (2.1 if balanced(word, True, 2)[0] * em <= side.w - ruler_width else 3.2) * row
        box = self._strip(side, 0.0, tall)
        return (
            box.from_right(box.w - ruler_width)[0] if nth else box.from_left(box.w - ruler_width)[0]
        )

    def _ruler(self, marks: Sequence[SeamMark], side: Box, start: float) -> float:
        """Rule the side from the seam on, a mark every inch; return how far it is written."""
        style = Style(self.scale.ruler, self.scale.ruler, rows=3)
        right, tick = marks[0].at_right, self.scale.mm(TICK_MM)
        with self.canvas:
            self._graduations(side, right, max(mark.inches for mark in marks))
        words = side.from_right(max(1.0, side.w - tick), tick)[0] if right else side
        words = words if right else side.from_left(max(1.0, side.w - tick - 1), tick)[0]
        ends = [self._from_edge(mark.inches) for mark in marks[1:]]
        for mark, after in zip(marks, [*ends, side.h], strict=True):
            middle = self._from_edge(mark.inches)
            least = fit(mark.text, Style(style.least, style.least, rows=3), words.w, side.h).height
            tall = max(least, min(2 * (middle - start), after - middle))
            begin = max(start, middle - tall / 2)
            box = self._strip(words, begin, begin + tall)
            written = fit(mark.text, style, box.w, box.h).height
            self.add_widget(Text(mark.text, box, style, INK, SIDES[not right]))
            start = begin + (tall + written) / 2
        return start + self.scale.mm(0.6)

    def _graduations(self, side: Box, right: bool, most: float) -> None:
        """Draw the ruler's edge from the seam to `most` inches, and its marks at whole inches."""
        pen, tick = max(1.0, self.scale.mm(0.25)), self.scale.mm(TICK_MM)
        edge = side.x if right else side.right
        start, end = self._from_edge(0.0), self._from_edge(most)
        line = self._strip(Box(edge - pen / 2, side.y, pen, side.h), start, end)
        fill(line, INK)
        whole = [float(inch) for inch in range(int(most) + 1)]
        for inch in whole:
            self._tick(edge, right, inch, tick * (1.0 if inch == 0 else 0.4), pen)

    def _tick(self, edge: float, right: bool, inches: float, long: float, pen: float) -> None:
        y = self._height(inches)
        fill(Box(edge if right else edge - long, y - pen / 2, long, pen), INK)


def margin_of(room: LayRoom, scale: Scale, lay: PanelLay) -> LayMargin:
    """Return what is beside the platen of `room`."""
    _, bottom, wide, high = lay.extent
    whole = room.platen.fitted(wide / high)
    px = whole.w / wide
    return LayMargin(room, scale, lay.toward, whole, whole.y - bottom * px, px)


def _same_rows(words: tuple[str, str], halves: Sequence[Box], scale: Scale) -> tuple[str, ...]:
    """Break both words into the same number of rows, the one that gives the largest letters."""
    most = hand_style(scale).most / CAPITAL

    def em(rows: int) -> float:
        each = zip(words, halves, strict=True)
        wide = min(b.w / balanced(w, True, rows)[0] for w, b in each)
        return min(most, wide, halves[0].h / height(rows, 1.0))

    rows = max((1, 2, 3), key=em)
    return tuple("\n".join(balanced(word, True, rows)[1]) for word in words)


def hand_style(scale: Scale) -> Style:
    """Return the style of the hands: 16' from afar if it fits."""
    most = max(scale.small, scale.capital(16, scale.far_metres))
    return Style(scale.small, most, bold=True, rows=3)
