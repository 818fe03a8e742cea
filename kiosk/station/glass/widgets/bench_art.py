"""Drawing of a bench to scale: platen, garment, pieces with their carriers, cover sheet."""

from collections.abc import Iterator, Sequence

from kivy.graphics import (
    Color,
    PopMatrix,
    PushMatrix,
    Rectangle,
    RoundedRectangle,
    ScissorPop,
    ScissorPush,
)
from kivy.graphics import Scale as Mirror

from kiosk.catalog.rules import read_face
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.lay import BenchLay, PieceLay, bench_lay
from kiosk.station.glass.theme import (
    CLOTH,
    CLOTH_EDGE,
    DIM,
    INK,
    MUTED,
    SLATE,
    SNOW,
    WHITE,
    Colour,
    cloth_under,
    edge_on,
    film,
    from_hex,
)
from kiosk.station.glass.type import Style
from kiosk.station.glass.widgets.marks import letter
from kiosk.station.glass.widgets.paint import Drawn, fill, frame, outline, polygon
from kiosk.station.glass.widgets.text import Text
from kiosk.train.practice import Bench

PAD = from_hex("#5D636C")  # the platen's rubber
STEEL = from_hex("#AEB3BA")
KRAFT = from_hex("#CDB78C")  # a liner's paper
RIB = from_hex("#D2C8B2")  # the collar's band, a fold
CLEAR = from_hex("#6F93A8")  # a carrier, drawn as a thin veil
VEIL = from_hex("#FBFBF7")  # the cover sheet
ON_CARRIER, ON_LINER = 0.32, 0.55  # inches by which they stand out around a piece's film
FOOT_HIGH, FOOT_BELOW = 0.3, 0.16  # a foot bar and its distance, inches
TAB = 0.9  # a tab to pull at, inches
LIFTED = 2.2  # inches of a carrier's corner that is folded up for peeling
HANGS = 1.5  # inches by which the cover sheet hangs over the platen
PLATE_MM, PLATE_IN = 12.0, 4.2  # of the plate with the platen's size


def bounding_box(boxes: Sequence[Box]) -> Box:
    """Return the smallest box around all `boxes`."""
    left, low = min(b.x for b in boxes), min(b.y for b in boxes)
    return Box(left, low, max(b.right for b in boxes) - left, max(b.top for b in boxes) - low)


class Art(Drawn):
    """A bench in `box`, or a finished garment alone; `size` is the text on the platen's plate."""

    def __init__(self, box: Box, scale: Scale, lay: BenchLay, size: str = "") -> None:
        super().__init__(box)
        self.scale = scale
        self.lay = lay
        self.face = read_face()
        left, low, wide, high = lay.extent
        self.px = min(box.w / wide, box.h / high)
        middle = low + high / 2
        self.zero = (box.centre[0] - (left + wide / 2) * self.px, box.centre[1] - middle * self.px)
        lowest = [film(colours[0]) for _, colours in lay.bench.card.films]  # it is on the cloth
        self.cloth = next((cloth_under(f) for f in lowest if f and cloth_under(f) != CLOTH), CLOTH)
        self.platen = self.sides(lay.platen)
        with self.canvas:
            ScissorPush(x=round(box.x), y=round(box.y), width=round(box.w), height=round(box.h))
            self._draw()
            ScissorPop()
        if size and not lay.bench.rack:
            style = Style(scale.small, scale.small, bold=True, rows=3)
            self.add_widget(Text(size, self.plate.inset(scale.mm(0.8)), style, INK, "center"))

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Return the pixel of a point in inches."""
        return self.zero[0] + x * self.px, self.zero[1] + y * self.px

    def sides(self, place: tuple[float, float, float, float]) -> Box:
        """Return a box in pixels for left, bottom, width and height in inches."""
        return Box(*self.at(place[0], place[1]), place[2] * self.px, place[3] * self.px)

    def film(self, piece_lay: PieceLay) -> Box:
        """Return the pixels of a piece's film, as it lies."""
        left, low, right, top = piece_lay.ink
        x, y = self._offset(piece_lay)
        return self.sides((left + x, low + y, right - left, top - low))

    @property
    def collar(self) -> Box:
        """The touch area of the collar."""
        points = [self.at(*point) for point in self.lay.collar or self.lay.garment[:2]]
        return bounding_box([Box(x, y, 0.0, 0.0) for x, y in points])

    @property
    def seams(self) -> Iterator[Box]:
        """The touch areas of the two side seams, between sleeve and hem."""
        for (x, y), (to, end) in self.lay.stitches:
            out = 0.9 if x > 0 else -0.9  # away from the laid pieces
            points = [self.at(x + (to - x) * s + out, y + (end - y) * s) for s in (0.05, 0.3)]
            yield bounding_box([Box(*point, 0.0, 0.0) for point in points])

    @property
    def plate(self) -> Box:
        """The press's plate with the platen's size, at the left near the hem."""
        side = max(self.scale.mm(PLATE_MM), PLATE_IN * self.px)
        left, low, _, high = self.lay.extent
        x, foot = self.at(left, low)
        y = foot + high * self.px - side if self.lay.up > 0 else foot
        x, y = max(self.box.x, x), min(max(self.box.y, y), self.box.top - side)
        return Box(x, y, side, side)

    @property
    def overhang(self) -> Box:
        """The touch area of the sheet's overhang at the platen's right side."""
        side = self.platen
        return Box(side.right + 0.5 * self.px, side.y + side.h * 0.88, 2 * HANGS * self.px, 1.0)

    def _offset(self, piece_lay: PieceLay) -> tuple[float, float]:
        """Return how far a piece is off its place, inches as the operator sees it."""
        one = piece_lay.growth_of_one
        return piece_lay.piece.offset[0] * one, piece_lay.piece.offset[1] * one

    # -- drawing ----------------------------------------------------------

    def _draw(self) -> None:
        bench = self.lay.bench
        if not bench.worn:
            self._press()
        if bench.garment is not None:
            self._garment()
        if bench.garment is not None and not bench.worn and not bench.rack:
            self._edge_below()
        for piece_lay in self.lay.pieces:
            self._piece(piece_lay)
        if bench.sheet:
            self._sheet()

    def _press(self) -> None:
        """Draw the lower platen on its base, or the rack's mesh."""
        scale, box = self.scale, self.platen
        if self.lay.bench.rack:
            self._mesh()
            return
        base = box.inset(-0.9 * self.px)
        Color(*STEEL.rgba)
        RoundedRectangle(pos=base.pos, size=base.size, radius=[1.2 * self.px])
        fill(self.plate, SNOW)
        frame(self.plate, MUTED, scale.mm(0.5))
        Color(*PAD.rgba)
        RoundedRectangle(pos=box.pos, size=box.size, radius=[0.6 * self.px])
        inner = box.inset(0.35 * self.px)
        frame(inner, SLATE, scale.mm(0.3))

    def _mesh(self) -> None:
        """Draw the wires of the rack that a garment cools on."""
        box, step = self.box, max(6.0, 1.6 * self.px)
        Color(*DIM.rgba)
        wide = max(1.0, self.scale.mm(0.25))
        for n in range(int(box.w / step) + 1):
            Rectangle(pos=(box.x + n * step, box.y), size=(wide, box.h))
        for n in range(int(box.h / step) + 1):
            Rectangle(pos=(box.x, box.y + n * step), size=(box.w, wide))

    def _garment(self) -> None:
        scale, points = self.scale, tuple(self.at(*point) for point in self.lay.garment)
        polygon(points, self.cloth)
        outline(points, CLOTH_EDGE, scale.mm(0.45))
        if self.lay.collar:
            band = tuple(self.at(*point) for point in self.lay.collar)
            polygon(band, RIB)
            outline(band, CLOTH_EDGE, scale.mm(0.3))
        for (x, y), (to, end) in self.lay.stitches:
            self._stitches(self.at(x, y), self.at(to, end))

    def _stitches(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        """Draw a seam: a ridge in the cloth, and its stitches."""
        outline((start, end), CLOTH_EDGE, max(2.0, 0.3 * self.px), close=False)
        (x, y), (to, up) = start, end
        for n in range(0, 40, 2):
            points = [(x + (to - x) * s / 40, y + (up - y) * s / 40) for s in (n, n + 1)]
            outline(points, SNOW, max(1.0, 0.1 * self.px), close=False)

    def _edge_below(self) -> None:
        """Draw the platen's edge, which shows through the cloth."""
        Color(*MUTED.rgba[:3], 0.5)
        wide, box = max(1.0, self.scale.mm(0.35)), self.platen
        for side in (
            Box(box.x, box.y, box.w, wide),
            Box(box.x, box.top - wide, box.w, wide),
            Box(box.x, box.y, wide, box.h),
            Box(box.right - wide, box.y, wide, box.h),
        ):
            Rectangle(pos=side.pos, size=side.size)

    # -- pieces -----------------------------------------------------------

    def _piece(self, piece_lay: PieceLay) -> None:
        piece, box = piece_lay.piece, self.film(piece_lay)
        turned = piece_lay.turned is not piece.turned
        if piece.liner:
            self._liner(box.inset(-ON_LINER * self.px))
        PushMatrix()
        if piece.face_down:
            Mirror(-1, 1, 1, origin=(*box.centre, 0))
        self._draw_film(piece_lay, turned)
        PopMatrix()
        if piece.carrier:
            self._carrier(piece_lay, box, turned)

    def _draw_film(self, piece_lay: PieceLay, turned: bool) -> None:
        """Draw the film in its colour, with an edge that shows on what lies below."""
        colour = film(piece_lay.piece.colour) or WHITE
        dull = from_hex("#B7B2A6") if piece_lay.piece.face_down else colour
        edge = edge_on(self.cloth, dull)
        growth, rim = piece_lay.growth_out * self.px, max(1.0, self.scale.mm(0.18))
        for ink, character in self._letters(piece_lay):
            letter(character, ink, self.face, edge, growth + rim, turned)
        for ink, character in self._letters(piece_lay):
            letter(character, ink, self.face, dull, growth, turned)

    def _letters(self, piece_lay: PieceLay) -> Iterator[tuple[Box, str]]:
        """Yield each letter's ink in pixels, with its character."""
        x, y = self._offset(piece_lay)
        for each in piece_lay.letters:
            place = (each.x - each.width / 2 + x, -each.y - each.height / 2 + y)
            yield self.sides((*place, each.width, each.height)), each.character

    def _carrier(self, piece_lay: PieceLay, box: Box, turned: bool) -> None:
        """Draw clear film over the piece, with a tab and any foot bar."""
        sheet = box.inset(-ON_CARRIER * self.px)
        foot = (FOOT_BELOW + FOOT_HIGH + ON_CARRIER) * self.px if piece_lay.piece.foot else 0.0
        if foot:
            y = sheet.y if turned else sheet.y - foot + ON_CARRIER * self.px
            sheet = Box(sheet.x, y, sheet.w, sheet.h + foot - ON_CARRIER * self.px)
        self._veil(sheet, CLEAR, 0.2)
        frame(sheet, CLEAR, max(1.0, self.scale.mm(0.3)))
        tab, nth = TAB * self.px, piece_lay.piece.piece.layer  # each layer's tab has its own place
        corner = Box(sheet.right - tab * 0.4, sheet.top - tab * (0.1 + 1.5 * nth), tab, tab * 1.2)
        self._veil(corner, CLEAR, 0.75)
        if piece_lay.piece.foot:
            self._foot(box, turned)
        if piece_lay.piece.lifted:
            self._fold(sheet)

    def _foot(self, box: Box, turned: bool) -> None:
        """Draw the bar at a figure's foot, wherever the foot is."""
        high, below = FOOT_HIGH * self.px, FOOT_BELOW * self.px
        y = box.top + below if turned else box.y - below - high
        Color(*INK.rgba)
        Rectangle(pos=(box.x + box.w * 0.12, y), size=(box.w * 0.76, max(2.0, high)))

    def _fold(self, sheet: Box) -> None:
        """Draw a corner that a hand has folded up to peel."""
        side = min(LIFTED * self.px, sheet.w * 0.6, sheet.h * 0.6)
        x, y = sheet.x, sheet.top
        polygon(((x, y - side), (x + side, y), (x + side, y - side)), SNOW)
        outline(((x, y - side), (x + side, y), (x + side, y - side)), CLEAR, self.scale.mm(0.35))

    def _liner(self, paper: Box) -> None:
        """Draw the liner, which should have come off before laying."""
        fill(paper, KRAFT)
        frame(paper, MUTED, max(1.0, self.scale.mm(0.3)))
        step, x = max(4.0, 0.9 * self.px), paper.x
        while x < paper.right:
            outline(((x, paper.y), (x, paper.top)), CLOTH_EDGE, 1.0, close=False)
            x += step

    # -- the sheet --------------------------------------------------------

    def _sheet(self) -> None:
        """Draw the cover sheet over the platen; what lies below shows through."""
        box, px = self.platen.inset(-HANGS * self.px), self.px
        self._veil(box, VEIL, 0.58)
        frame(box, CLOTH_EDGE, max(1.0, self.scale.mm(0.35)))
        for share in (0.34, 0.67):  # folds
            y = box.y + box.h * share
            outline(((box.x, y), (box.right, y)), STEEL, 1.0, close=False)
        curl = 2.2 * px
        corner = ((box.right - curl, box.y), (box.right, box.y + curl))
        polygon((*corner, (box.right - curl, box.y + curl)), SNOW)
        outline((*corner, (box.right - curl, box.y + curl)), CLOTH_EDGE, self.scale.mm(0.3))

    def _veil(self, box: Box, colour: Colour, share: float) -> None:
        """Lay a translucent colour over a box."""
        Color(*colour.rgba[:3], share)
        Rectangle(pos=box.pos, size=box.size)


def garment_art(box: Box, scale: Scale, bench: Bench) -> Art:
    """Return the drawing of a finished garment."""
    return Art(box, scale, bench_lay(bench))
