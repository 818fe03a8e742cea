"""The lay drawing: the platen as the operator stands before it, to scale."""

from __future__ import annotations

from collections.abc import Sequence

from kivy.graphics import Color, PopMatrix, PushMatrix, Rectangle, Rotate
from kivy.uix.widget import Widget

from kiosk.plan.placement import Box as Placed
from kiosk.run.views import Ink, PieceView
from kiosk.station.boxes import Box
from kiosk.station.lay import Laid
from kiosk.station.sizes import Scale
from kiosk.station.theme import CLOTH, CLOTH_EDGE, INK, WHITE, Colour, contrast, film
from kiosk.station.type import CAPITAL, Style, breadth, height
from kiosk.station.widgets.glyphs import glyphs
from kiosk.station.widgets.numeral import has_foot
from kiosk.station.widgets.paint import dashes, fill, frame, outline, polygon
from kiosk.station.widgets.text import Text


class LayDrawing(Widget):
    """Next pieces filled in their film's colour, laid ones in outline; words upright.

    `hands` are the words for the left and the right hand.
    """

    def __init__(
        self,
        box: Box,
        scale: Scale,
        lying: Laid,
        pieces: Sequence[PieceView],
        hands: tuple[str, str],
    ) -> None:
        super().__init__(pos=box.pos, size=box.size, size_hint=(None, None))
        self.scale = scale
        self.lying = lying
        left, bottom, wide, high = lying.platen
        self.platen = box.fitted(wide / high)
        self.px = self.platen.w / wide
        self.zero = (self.platen.x - left * self.px, self.platen.y - bottom * self.px)
        with self.canvas:
            self._ground()
            for piece in pieces:
                self._piece(piece, pieces)
            self._feet(pieces)
        self._hands(hands)

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
        dashes(self.zero[0], self.platen.y, self.platen.top, INK, self.scale.mm(0.25))
        frame(self.platen, INK, pen)

    def _piece(self, piece: PieceView, pieces: Sequence[PieceView]) -> None:
        if piece.ink is Ink.AHEAD:
            return
        for placed in self.lying.boxes:
            if placed.element == piece.element:
                self._cut(piece, placed, pieces)

    def _cut(self, piece: PieceView, placed: Placed, pieces: Sequence[PieceView]) -> None:
        """A top piece is cut smaller than the one below: what stays is its border."""
        box, text = self.place(placed), self.lying.texts[placed.element]
        colour = film(piece.colour)
        above = any(p.element == piece.element and p.layer > piece.layer for p in pieces)
        if piece.ink is Ink.NEXT:
            pen = box.h * 0.09 if above else max(1.0, box.h * 0.015)
            inside = colour or WHITE
            glyphs(text, box, inside, inside if above else INK, pen, placed.turned)
            return
        edge = colour if colour is not None and contrast(colour, CLOTH) >= 3 else INK
        glyphs(text, box, CLOTH, edge, max(1.5, box.h * (0.09 if above else 0.03)), placed.turned)

    def _feet(self, pieces: Sequence[PieceView]) -> None:
        """A bar under the foot of a number that reads as another one upside down."""
        drawn = {piece.element for piece in pieces if piece.ink is not Ink.AHEAD}
        for placed in self.lying.boxes:
            text = self.lying.texts[placed.element]
            if placed.element == "number" and placed.element in drawn and has_foot(text):
                self._foot(placed)

    def _foot(self, placed: Placed) -> None:
        box = self.place(placed)
        PushMatrix()
        if placed.turned:
            Rotate(angle=180, origin=box.centre)
        Color(*INK.rgba)
        Rectangle(pos=(box.x, box.y - 0.2 * box.h), size=(box.w, max(2.0, 0.06 * box.h)))
        PopMatrix()

    def _hands(self, words: tuple[str, str]) -> None:
        """Name the outer figures by the hand that is on their side, where no piece lies."""
        if not self.lying.left_hand or not any(b.element == "number" for b in self.lying.boxes):
            return
        strip = self._free_strip()
        gap = self.scale.mm(1.0)
        halves = strip.inset(gap, gap / 2).grid(2, 1, gap)
        figures = (self.lying.left_hand, self.lying.right_hand)
        for half, word, figure, halign in zip(
            halves, words, figures, ("left", "right"), strict=True
        ):
            self._hand(half, f"{figure} {word}", halign)

    def _hand(self, box: Box, text: str, halign: str) -> None:
        style = Style(self.scale.small, self.scale.small * 1.3, bold=True, rows=3)
        self.add_widget(Text(text, box, style, INK, halign))

    def _free_strip(self) -> Box:
        """The cloth beyond the last piece, away from the collar."""
        ends = [self.place(placed) for placed in self.lying.boxes]
        least = height(2, self.scale.small / CAPITAL)
        if self.lying.toward:
            free = self.platen.top - max(end.top for end in ends) - self.px * 0.4
            tall = max(free, least)
            return Box(self.platen.x, self.platen.top - tall, self.platen.w, tall)
        free = min(end.y for end in ends) - self.platen.y - self.px * 0.4
        return Box(self.platen.x, self.platen.y, self.platen.w, max(free, least))


def hands_fit(scale: Scale, words: Sequence[str], width: float) -> bool:
    """Tell whether the words for the hands have room beside each other on the platen."""
    em = scale.small / CAPITAL
    longest = max(breadth(part, True) for word in words for part in word.split())
    return 2 * longest * em + scale.mm(3.0) <= width


def swatch_row(
    parent: Widget, box: Box, scale: Scale, films: Sequence[tuple[str, Colour | None]]
) -> None:
    """Draw the colours that go down next, each with its word."""
    x, em = box.x, scale.small / CAPITAL
    for word, colour in films:
        swatch = Box(x, box.y + scale.mm(0.5), scale.mm(6.0), box.h - scale.mm(1.0))
        wide = breadth(word, True) * em + 2
        with parent.canvas:
            fill(swatch, colour or CLOTH)
            frame(swatch, INK, scale.mm(0.3))
        style = Style(scale.small, scale.small, bold=True, rows=1)
        parent.add_widget(Text(word, Box(swatch.right + scale.mm(1), box.y, wide, box.h), style, INK))
        x = swatch.right + wide + scale.mm(4.0)
