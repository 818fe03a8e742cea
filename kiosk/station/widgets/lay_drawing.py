"""The lay drawing: the platen as the operator stands before it, to scale."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kivy.graphics import Color, PopMatrix, PushMatrix, Rectangle, Rotate

from kiosk.catalog.faces import read_face
from kiosk.plan.fitting import Letter
from kiosk.plan.placement_box import Box as Placed
from kiosk.run.views import Ink, PieceView
from kiosk.station.boxes import Box
from kiosk.station.lay import Laid
from kiosk.station.sizes import Scale
from kiosk.station.theme import CLOTH, CLOTH_EDGE, INK, WHITE, Colour, contrast, film
from kiosk.station.type import CAPITAL, Style, balanced, fit, height
from kiosk.station.widgets.drawn import Drawn
from kiosk.station.widgets.glyphs import letter
from kiosk.station.widgets.numeral import has_foot
from kiosk.station.widgets.paint import dashes, fill, frame, outline, polygon
from kiosk.station.widgets.text import Text


class LayDrawing(Drawn):
    """Next pieces filled in their film's colour, laid ones in outline; words upright.

    `distances` says by element how far from the collar's seam it begins: marks of a ruler beside
    the platen. `hands` names the outer figures of a number by the hand on their side, outside
    the collar's end. `right` is the least room in px at the platen's right. `free` are the
    boxes at its left and right that ruler and hands leave, away from the collar.
    """

    def __init__(
        self,
        box: Box,
        scale: Scale,
        lying: Laid,
        pieces: Sequence[PieceView],
        hands: tuple[str, str] | None = None,
        distances: Mapping[str, str] | None = None,
        right: float = 0.0,
    ) -> None:
        super().__init__(box)
        self.scale = scale
        self.lying = lying
        self.face = read_face()
        drawn = _drawn(pieces)
        marks = marks_of(lying, {e: d for e, d in (distances or {}).items() if e in drawn})
        left, bottom, wide, high = lying.extent
        first = (marks[0].inches + lying.seam_ruler) / high if marks else 1.0
        row = height(1, scale.small / CAPITAL)
        self.crowded = hands is not None and first * box.h < CROWDED_ROWS * row
        needs = _needs(scale, hands, marks, right, self.crowded)
        self.beyond = self.crowded and box.w - sum(needs) < KEEPS * box.h * wide / high
        needs = _needs(scale, hands, marks, right, False) if self.beyond else needs
        room = between(box, needs, wide / high)
        self.whole = room.fitted(wide / high)
        self.px = self.whole.w / wide
        self.zero = (self.whole.x - left * self.px, self.whole.y - bottom * self.px)
        left, bottom, wide, high = lying.platen
        self.platen = Box(*self.at(left, bottom), wide * self.px, high * self.px)
        with self.canvas:
            self._ground()
            for piece in pieces:
                self._piece(piece, pieces)
            self._feet(pieces)
        self.free = self._beside(hands, marks)

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Return the pixel of a point in inches."""
        return (self.zero[0] + x * self.px, self.zero[1] + y * self.px)

    def place(self, placed: Placed) -> Box:
        """Return the pixels of an element's box."""
        x, y = self.at(placed.x, -placed.y)
        w, h = placed.width * self.px, placed.height * self.px
        return Box(x - w / 2, y - h / 2, w, h)

    def _ground(self) -> None:
        pen = self.scale.mm(0.5)
        fill(self.platen, WHITE)
        points = tuple(self.at(*point) for point in self.lying.garment)
        polygon(points, CLOTH)
        outline(points, CLOTH_EDGE, self.scale.mm(0.35))
        dashes(self.zero[0], self.whole.y, self.whole.top, INK, self.scale.mm(0.25))
        frame(self.platen, INK, pen)

    def _piece(self, piece: PieceView, pieces: Sequence[PieceView]) -> None:
        if piece.ink is Ink.AHEAD:
            return
        for placed in (*self.lying.boxes, *self.lying.pressed):
            if placed.element == piece.element:
                self._cut(piece, placed, pieces)

    def _cut(self, piece: PieceView, placed: Placed, pieces: Sequence[PieceView]) -> None:
        """A layer stands out by a border around the one above it."""
        layers = max(p.layer for p in pieces if p.element == piece.element)
        growth = placed.growth * (layers - piece.layer) / max(1, layers - 1) * self.px
        colour = film(piece.colour)
        rim = max(1.5, 0.02 * placed.height * self.px)
        if piece.ink is Ink.NEXT:
            if not growth:
                self._letters(placed, INK, max(1.0, rim / 2))
            self._letters(placed, colour or WHITE, growth)
            return
        edge = colour if colour is not None and contrast(colour, CLOTH) >= 3 else INK
        self._letters(placed, edge, max(growth, rim))
        self._letters(placed, CLOTH, 0.0)

    def _letters(self, placed: Placed, colour: Colour, growth: float) -> None:
        for each in placed.letters:
            letter(each.character, self.ink(each), self.face, colour, growth, placed.turned)

    def ink(self, each: Letter) -> Box:
        """Return the pixels of a letter's ink."""
        x, y = self.at(each.x, -each.y)
        w, h = each.width * self.px, each.height * self.px
        return Box(x - w / 2, y - h / 2, w, h)

    def _feet(self, pieces: Sequence[PieceView]) -> None:
        """A bar under the foot of a number that reads as another one upside down."""
        drawn = _drawn(pieces)
        for placed in self.lying.boxes:
            text = self.lying.texts[placed.element]
            if placed.element == "number" and placed.element in drawn and has_foot(text):
                self._foot(placed)

    def _foot(self, placed: Placed) -> None:
        left, top, right, low = placed.ink
        x, y = self.at(left, -low)
        box = Box(x, y, (right - left) * self.px, (low - top) * self.px)
        PushMatrix()
        if placed.turned:
            Rotate(angle=180, origin=box.centre)
        Color(*INK.rgba)
        gap, high = 0.035 * box.h, 0.04 * box.h
        share = min(1.0, self._below(box, placed.turned) / (gap + high))
        Rectangle(pos=(box.x, box.y - (gap + high) * share), size=(box.w, max(2.0, high * share)))
        PopMatrix()

    def _below(self, box: Box, turned: bool) -> float:
        """Pixels from a box's own lower side to the platen's frame."""
        free = self.platen.top - box.top if turned else box.y - self.platen.y
        return free - self.scale.mm(0.8)

    def _beside(self, hands: tuple[str, str] | None, marks: Sequence[Mark]) -> tuple[Box, Box]:
        """Put hands and ruler at both sides; return what they leave there."""
        gap = self.scale.mm(GAP_MM)
        x, right = self.whole.x - gap, self.whole.right + gap
        sides = (
            Box(self.box.x, self.whole.y, x - self.box.x, self.whole.h),
            Box(right, self.whole.y, self.box.right - right, self.whole.h),
        )
        taken = [0.0, 0.0]
        if hands is not None:
            taken = self._hands(hands, sides, marks)
        for nth, side in enumerate(sides):
            own = [mark for mark in marks if mark.at_right == bool(nth)]
            if own:
                end = self._ruler(own, side, 0.0 if self.crowded else taken[nth])
                taken[nth] = max(taken[nth], end)
        left, right_side = (self._strip(s, t, s.h) for s, t in zip(sides, taken, strict=True))
        return left, right_side

    def _strip(self, side: Box, start: float, end: float) -> Box:
        """The part of a side from `start` to `end` px off the edge at the collar."""
        y = side.y + start if self.lying.toward else side.top - end
        return Box(side.x, y, side.w, max(0.0, end - start))

    def _hands(
        self, words: tuple[str, str], sides: Sequence[Box], marks: Sequence[Mark]
    ) -> list[float]:
        """Name the outer figures beside the end at the collar; return how far each name reaches.

        They stand below the ruler's first length; where that is too low outside its lengths, and
        where the side is too narrow for both beyond them.
        """
        boxes = [self._hand_box(n, side, words[n], marks) for n, side in enumerate(sides)]
        rows = words if self.crowded else _alike(words, boxes, self.scale)
        valign = "bottom" if self.lying.toward else "top"
        shown = [
            Text(text, box, hand_style(self.scale), INK, halign, valign)
            for text, box, halign in zip(rows, boxes, ("right", "left"), strict=True)
        ]
        for each in shown:
            self.add_widget(each)
        return [self._reach(each.ink) + self.scale.mm(0.8) for each in shown]

    def _reach(self, ink: Box) -> float:
        """How far off the drawing's edge at the collar a text ends."""
        return ink.top - self.whole.y if self.lying.toward else self.whole.top - ink.y

    def _hand_box(self, nth: int, side: Box, word: str, marks: Sequence[Mark]) -> Box:
        """Where a hand is named at the left (0) or right (1)."""
        row = height(1, self.scale.small / CAPITAL)
        first = min((self._off(mark.inches) for mark in marks), default=self.whole.h / 3)
        ruled = any(mark.at_right == bool(nth) for mark in marks)
        taken = self.scale.mm(TICK_MM + 1.0) if ruled else 0.0
        if ruled and self.beyond:
            last = max(self._off(mark.inches) for mark in marks) + 0.7 * row
            box = self._strip(side, last, last + 2.1 * row)
            return box.from_right(box.w - taken)[0] if nth else box.from_left(box.w - taken)[0]
        tall = min(max(2.1 * row, first - 0.6 * row), 0.45 * self.whole.h)
        if self.crowded:
            taken += lengths_width(marks, nth, self.scale) if ruled else 0.0
            em = self.scale.small / CAPITAL
            tall = (2.1 if balanced(word, True, 2)[0] * em <= side.w - taken else 3.2) * row
        box = self._strip(side, 0.0, tall)
        return box.from_right(box.w - taken)[0] if nth else box.from_left(box.w - taken)[0]

    def _off(self, inches: float) -> float:
        """Pixels from the drawing's edge at the collar to so many inches below the seam."""
        y = self.at(0.0, inches if self.lying.toward else -inches)[1]
        return y - self.whole.y if self.lying.toward else self.whole.top - y

    def _ruler(self, marks: Sequence[Mark], side: Box, start: float) -> float:
        """Rule the side from the seam on, an inch a graduation; return how far it is written."""
        style = Style(self.scale.small, self.scale.small, rows=3)
        right, tick = marks[0].at_right, self.scale.mm(TICK_MM)
        with self.canvas:
            self._graduations(side, right, max(mark.inches for mark in marks))
        words = side.from_right(max(1.0, side.w - tick), tick)[0] if right else side
        words = words if right else side.from_left(max(1.0, side.w - tick - 1), tick)[0]
        ends = [self._off(mark.inches) for mark in marks[1:]]
        for mark, after in zip(marks, [*ends, side.h], strict=True):
            own = self._off(mark.inches)
            least = fit(mark.text, Style(style.least, style.least, rows=3), words.w, side.h).height
            tall = max(least, min(2 * (own - start), after - own))
            begin = max(start, own - tall / 2)
            box = self._strip(words, begin, begin + tall)
            written = fit(mark.text, style, box.w, box.h).height
            self.add_widget(Text(mark.text, box, style, INK, SIDES[not right]))
            start = begin + (tall + written) / 2
        return start + self.scale.mm(0.6)

    def _graduations(self, side: Box, right: bool, most: float) -> None:
        """The ruler's edge from the seam to `most` inches, and its marks at whole inches."""
        pen, tick = max(1.0, self.scale.mm(0.25)), self.scale.mm(TICK_MM)
        edge = side.x if right else side.right
        start, end = self._off(0.0), self._off(most)
        line = self._strip(Box(edge - pen / 2, side.y, pen, side.h), start, end)
        fill(line, INK)
        whole = [float(inch) for inch in range(int(most) + 1)]
        for inch in whole:
            self._tick(edge, right, inch, tick * (1.0 if inch == 0 else 0.4), pen)

    def _tick(self, edge: float, right: bool, inches: float, long: float, pen: float) -> None:
        y = self.at(0.0, inches if self.lying.toward else -inches)[1]
        fill(Box(edge if right else edge - long, y - pen / 2, long, pen), INK)


SIDES = ("left", "right")
GAP_MM = 1.0  # between the platen's frame and the ruler
KEEPS = 0.8  # of its width: less the platen does not give up for the sake of the hands' place
CROWDED_ROWS = 2.8  # below the first length: with less the hands stand outside the lengths
TICK_MM = 2.2  # the mark of a piece; those of whole inches are shorter


@dataclass(frozen=True, slots=True)
class Mark:
    """How far below the seam a piece begins, in inches and in words."""

    inches: float
    text: str
    at_right: bool = False


def marks_of(lying: Laid, distances: Mapping[str, str]) -> tuple[Mark, ...]:
    """Return the ruler's marks from the seam on; pieces at the right are measured there."""
    found = [
        Mark(lying.from_seam(placed), distances[placed.element], placed.x > 0)
        for placed in lying.boxes
        if distances.get(placed.element)
    ]
    return tuple(sorted(found, key=lambda mark: mark.inches))


def lengths_width(marks: Sequence[Mark], side: int, scale: Scale) -> float:
    """Return the width of a ruler's lengths at the left (0) or right (1), px."""
    texts = [mark.text for mark in marks if mark.at_right == bool(side)]
    em = scale.small / CAPITAL
    return max((balanced(text, False, 3)[0] for text in texts), default=0.0) * em + scale.mm(1.4)


def _needs(
    scale: Scale,
    hands: tuple[str, str] | None,
    marks: Sequence[Mark],
    right: float,
    crowded: bool,
) -> tuple[float, float]:
    """What ruler and hands need at the platen's left and right, px."""
    em, edge = scale.small / CAPITAL, scale.mm(TICK_MM + 1.0 + GAP_MM)
    needs = [0.0, right + scale.mm(GAP_MM) if right else 0.0]
    for nth in (0, 1):
        texts = hands is not None or any(mark.at_right == bool(nth) for mark in marks)
        lengths = lengths_width(marks, nth, scale)
        words = balanced(hands[nth], True, 3)[0] * em + 2 if hands is not None else 0.0
        wide = lengths + words if crowded else max(lengths, words)
        needs[nth] = max(needs[nth], wide + edge if texts else 0.0)
    return needs[0], needs[1]


def between(box: Box, needs: tuple[float, float], aspect: float) -> Box:
    """Return the room for the platen between what its sides need, in the middle if it can be."""
    platen = max(1.0, min(box.h * aspect, box.w - sum(needs)))
    left = min(max((box.w - platen) / 2, needs[0]), max(needs[0], box.w - platen - needs[1]))
    return Box(box.x + left, box.y, platen, box.h)


def _drawn(pieces: Sequence[PieceView]) -> set[str]:
    return {piece.element for piece in pieces if piece.ink is not Ink.AHEAD}


def _alike(words: tuple[str, str], halves: Sequence[Box], scale: Scale) -> tuple[str, ...]:
    """Break both words alike: on as many rows as let their letters be largest."""
    most = hand_style(scale).most / CAPITAL

    def em(rows: int) -> float:
        each = zip(words, halves, strict=True)
        wide = min(b.w / balanced(w, True, rows)[0] for w, b in each)
        return min(most, wide, halves[0].h / height(rows, 1.0))

    rows = max((1, 2, 3), key=em)
    return tuple("\n".join(balanced(word, True, rows)[1]) for word in words)


def hand_style(scale: Scale) -> Style:
    """Return how the hands are written: at 16' from afar where there is room."""
    return Style(scale.small, scale.capital(16, scale.far_metres), bold=True, rows=3)
