"""The lay drawing: the platen as the operator stands before it, to scale."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

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

    `hands` names the outer figures of a number by the hand that is on their side; `distances`
    says by element how far from the collar's seam it begins. `unsaid` are the laid ones whose
    distance has no room inside the drawing.
    """

    def __init__(
        self,
        box: Box,
        scale: Scale,
        lying: Laid,
        pieces: Sequence[PieceView],
        hands: tuple[str, str] | None = None,
        distances: Mapping[str, str] | None = None,
    ) -> None:
        super().__init__(box)
        self.scale = scale
        self.lying = lying
        self.face = read_face()
        left, bottom, wide, high = lying.extent
        self.whole = box.fitted(wide / high)
        self.px = self.whole.w / wide
        self.zero = (self.whole.x - left * self.px, self.whole.y - bottom * self.px)
        left, bottom, wide, high = lying.platen
        self.platen = Box(*self.at(left, bottom), wide * self.px, high * self.px)
        with self.canvas:
            self._ground()
            for piece in pieces:
                self._piece(piece, pieces)
            self._feet(pieces)
        if hands is not None:
            self._hands(hands)
        lie = [placed for placed in lying.boxes if placed.element in _drawn(pieces)]
        said = distances or {}
        self.unsaid = tuple(p for p in lie if not self._distance(p, said.get(p.element, "")))

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

    def _hands(self, words: tuple[str, str]) -> None:
        """Name the outer figures by the hand on their side, in the corners at the collar."""
        tall = self.lying.free_at_collar * self.px
        low = self.platen.y if self.lying.toward else self.platen.top - tall
        strip = Box(self.platen.x, low, self.platen.w, tall)
        valign = "top" if self.lying.toward else "bottom"
        halves = hand_boxes(strip, self.scale)
        for half, text, halign in zip(
            halves, _alike(words, halves, self.scale), SIDES, strict=True
        ):
            self.add_widget(Text(text, half, hand_style(self.scale), INK, halign, valign))

    def _distance(self, placed: Placed, text: str) -> bool:
        """Write where a piece begins beside it, on the side with more room, if it has enough."""
        side, room = self._beside(placed)
        style = Style(self.scale.small, self.scale.small, rows=4)
        if not text or room.w <= 0 or fit(text, style, room.w, room.h).share < 1:
            return not text
        valign = "bottom" if self.lying.toward else "top"
        clear = room.inset(0.0, self.scale.mm(0.6))  # of the line that it stands on
        words = Text(text, clear, style, INK, side, valign)
        if any(words.ink.overlaps(each.ink) for each in self.children):
            return True  # small pieces under each other: the upper one's place is enough
        pen = max(1.0, self.scale.mm(0.2))
        y = room.y if self.lying.toward else room.top
        near = self.scale.mm(NEAR_MM)
        with self.canvas:
            fill(Box(room.x - near, y - pen / 2, room.w + 2 * near, pen), INK)
        self.add_widget(words)
        return True

    def _beside(self, placed: Placed) -> tuple[str, Box]:
        """The free strip beside a piece from where it begins, and the side that it is on."""
        left, _, right, _ = placed.ink
        edge, _, wide, _ = self.lying.platen
        near = self.scale.mm(NEAR_MM)
        on_left = left - edge >= edge + wide - right
        free = (left - edge if on_left else edge + wide - right) * self.px - 2 * near
        x = self.platen.x + near if on_left else self.at(right, 0.0)[0] + near
        begins = -placed.y - math.copysign(placed.height / 2, -placed.y)
        y = self.at(0.0, begins)[1]
        words = height(2, self.scale.small / CAPITAL) + 1 + self.scale.mm(1.2)
        tall = max(placed.height * self.px, words)
        return SIDES[not on_left], Box(x, y if self.lying.toward else y - tall, free, tall)


SIDES = ("left", "right")
NEAR_MM = 1.2  # between a distance and the platen's frame or the piece


def _drawn(pieces: Sequence[PieceView]) -> set[str]:
    return {piece.element for piece in pieces if piece.ink is not Ink.AHEAD}


def _alike(words: tuple[str, str], halves: Sequence[Box], scale: Scale) -> tuple[str, ...]:
    """Break both words alike: on as many rows as the longer one needs."""
    style = hand_style(scale)
    rows = max(len(fit(w, style, b.w, b.h).rows) for w, b in zip(words, halves, strict=True))
    return tuple("\n".join(balanced(word, True, rows)[1]) for word in words)


def hand_style(scale: Scale) -> Style:
    """Return how the hands are written."""
    return Style(scale.small, scale.small * 1.25, bold=True, rows=3)


def hand_boxes(strip: Box, scale: Scale) -> tuple[Box, ...]:
    """Return where the left and the right hand are named in a strip of the platen."""
    gap = scale.mm(0.9)
    return strip.inset(gap).grid(2, 1, gap)


def hands_fit(words: Sequence[str], strip: Box, scale: Scale) -> bool:
    """Tell whether both hands can be named inside a strip of the platen."""
    style = hand_style(scale)
    boxes = hand_boxes(strip, scale)
    return not any(fit(w, style, b.w, b.h).share < 1 for w, b in zip(words, boxes, strict=True))
