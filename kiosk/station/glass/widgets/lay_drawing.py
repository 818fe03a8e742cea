"""Garments to scale: on the platen as the operator sees them, and as worn."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from kivy.graphics import Color, PopMatrix, PushMatrix, Rectangle, Rotate

from kiosk.catalog.rules import read_face
from kiosk.plan.place import ElementBox as Placed
from kiosk.plan.place import Letter
from kiosk.run.show import Ink, PieceView
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.lay import PanelLay
from kiosk.station.glass.theme import CLOTH, CLOTH_EDGE, INK, WHITE, Colour, edge_on, film
from kiosk.station.glass.type import CAPITAL, Style, height
from kiosk.station.glass.widgets.lay_margin import divide, margin_of, marks_of
from kiosk.station.glass.widgets.marks import has_foot, letter
from kiosk.station.glass.widgets.paint import Drawn, dashes, fill, frame, outline, polygon
from kiosk.station.glass.widgets.text import Text

if TYPE_CHECKING:
    from kiosk.plan.procedure import GarmentProof, PanelProof


class LayDrawing(Drawn):
    """Next pieces filled in their film's colour, laid ones in outline; words upright.

    `distances` gives, by element, its distance from the collar seam: marks of a ruler beside the
    platen. `hands` names a number's outer figures by the hand on their side, beyond the collar's
    end. `right` and `left` are the least room in px at the platen's sides. `free` are the boxes at
    its left and right that ruler and hands leave, away from the collar.
    """

    def __init__(
        self,
        box: Box,
        scale: Scale,
        lay: PanelLay,
        pieces: Sequence[PieceView],
        hands: tuple[str, str] | None = None,
        distances: Mapping[str, str] | None = None,
        right: float = 0.0,
        left: float = 0.0,
    ) -> None:
        super().__init__(box)
        self.scale = scale
        self.lay = lay
        self.face = read_face()
        elements = _laid_elements(pieces)
        marks = marks_of(lay, {e: d for e, d in (distances or {}).items() if e in elements})
        x, bottom, wide, high = lay.extent
        room = divide(box, scale, lay, hands, marks, right, left)
        self.whole = room.platen.fitted(wide / high)
        self.px = self.whole.w / wide
        self.zero = (self.whole.x - x * self.px, self.whole.y - bottom * self.px)
        left, bottom, wide, high = lay.platen
        self.platen = Box(*self.at(left, bottom), wide * self.px, high * self.px)
        with self.canvas:
            self._ground()
            for piece in pieces:
                self._piece(piece, pieces)
            self._feet(pieces)
        margin = margin_of(room, scale, lay)
        self.add_widget(margin)
        self.free = margin.free

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
        points = tuple(self.at(*point) for point in self.lay.garment)
        polygon(points, CLOTH)
        outline(points, CLOTH_EDGE, self.scale.mm(0.35))
        dashes(self.zero[0], self.whole.y, self.whole.top, self.scale.mm(0.25))
        frame(self.platen, INK, pen)

    def _piece(self, piece: PieceView, pieces: Sequence[PieceView]) -> None:
        if piece.ink is Ink.AHEAD:
            return
        for placed in (*self.lay.boxes, *self.lay.pressed):
            if placed.element == piece.element:
                self._cut(piece, placed, pieces)

    def _cut(self, piece: PieceView, placed: Placed, pieces: Sequence[PieceView]) -> None:
        """Draw a layer, which stands out by a border around the one above it."""
        layers = max(p.layer for p in pieces if p.element == piece.element)
        growth = placed.growth_of(piece.layer, layers) * self.px
        colour = film(piece.colour)
        rim = max(1.5, 0.02 * placed.height * self.px)
        if piece.ink is Ink.NEXT:
            if not growth:
                self._letters(placed, INK, max(1.0, rim / 2))
            self._letters(placed, colour or WHITE, growth)
            return
        edge = edge_on(CLOTH, colour)
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
        """Draw a bar under the foot of a number that reads as another one upside down."""
        elements = _laid_elements(pieces)
        for placed in self.lay.boxes:
            text = self.lay.texts[placed.element]
            if placed.element == "number" and placed.element in elements and has_foot(text):
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
        """Return the pixels from a box's own lower side to the platen's frame."""
        free = self.platen.top - box.top if turned else box.y - self.platen.y
        return free - self.scale.mm(0.8)


def _laid_elements(pieces: Sequence[PieceView]) -> set[str]:
    return {piece.element for piece in pieces if piece.ink is not Ink.AHEAD}


class ProofDrawing(Drawn):
    """Garments as seen on the wearer, each with its roster line below."""

    def __init__(self, box: Box, scale: Scale, garments: Sequence[GarmentProof]) -> None:
        super().__init__(box)
        self.scale = scale
        self.face = read_face()
        count = max(1, len(garments))
        most_panels = max((len(each.panels) for each in garments), default=1)

        def panel_size(columns: int) -> float:
            return self._room(
                box.grid(columns, -(-count // columns), scale.mm(2.0))[0], most_panels
            )

        columns = max(range(1, count + 1), key=panel_size)
        cells = box.grid(columns, -(-count // columns), scale.mm(2.0))
        for cell, garment in zip(cells, garments, strict=False):
            self._garment(cell, garment)

    @property
    def _row(self) -> float:
        """The height of a line of text."""
        return height(1, self.scale.small / CAPITAL)

    def _room(self, cell: Box, panels: int) -> float:
        """Return the size of each of a garment's panels, side by side in a cell."""
        return min(cell.w / panels, cell.h - 2 * self._row)

    def _garment(self, cell: Box, garment: GarmentProof) -> None:
        line, row = garment.line, self._row
        low, above = cell.from_bottom(2 * row)
        written = line.as_written("size")
        size = line.size if written == line.size else f"{written} → {line.size}"
        rows = (line.number, line.name), (line.line, size, line.set)
        for nth, texts in enumerate(rows):
            style = Style(self.scale.small * 0.97, self.scale.small, bold=not nth, rows=1)
            place = Box(low.x, low.y + (1 - nth) * row, low.w, row)
            self.add_widget(Text(" · ".join(filter(None, texts)), place, style, INK, "center"))
        panels = above.grid(len(garment.panels), 1, self.scale.mm(1.0))
        with self.canvas:
            for place, panel in zip(panels, garment.panels, strict=True):
                self._panel(place, panel)

    def _panel(self, place: Box, panel: PanelProof) -> None:
        """Draw one panel, whose y runs down from the collar seam in inches."""
        left, top, wide, tall = panel.extent
        whole = place.fitted(wide / tall)
        px = whole.w / wide

        def at(x: float, y: float) -> tuple[float, float]:
            return whole.x + (x - left) * px, whole.top - (y - top) * px

        points = tuple(at(*point) for point in panel.outline)
        polygon(points, CLOTH)
        outline(points, CLOTH_EDGE, self.scale.mm(0.35))
        for placed in panel.boxes:
            self._element(placed, panel.films[placed.element], at, px)

    def _element(
        self,
        placed: Placed,
        films: Sequence[str],
        at: Callable[[float, float], tuple[float, float]],
        px: float,
    ) -> None:
        """Draw the layers from the lowest, each standing out around the one above it.

        A film too pale for the drawn cloth gets a dark line around it.
        """
        lowest = (film(films[0]) if films else None) or WHITE
        rim = 0.02 * placed.height * px if edge_on(CLOTH, lowest) == INK != lowest else 0.0
        layers = [(INK, placed.growth * px + max(0.7, rim / 2))] if rim else []
        for nth, colour in enumerate(films, 1):
            growth = placed.growth_of(nth, len(films)) * px
            layers.append((film(colour) or WHITE, growth))
        for shade, growth in layers:
            for each in placed.letters:
                x, y = at(each.x, each.y)
                w, h = each.width * px, each.height * px
                ink = Box(x - w / 2, y - h / 2, w, h)
                letter(each.character, ink, self.face, shade, growth, placed.turned)
