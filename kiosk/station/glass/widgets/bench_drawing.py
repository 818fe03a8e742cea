"""The bench in front of a trainee and what can be touched: also card, display, rail and clock."""

from collections.abc import Callable, Iterator
from typing import Any

from kivy.graphics import Color, Ellipse, Line, Rectangle, RoundedRectangle

from kiosk.station.desk.sheet import BenchPicture
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.lay import bench_lay
from kiosk.station.glass.theme import CLOTH_EDGE, INK, MUTED, PAPER, SLATE, SNOW, WHITE
from kiosk.station.glass.type import CAPITAL, Style, TextBlock, breadth, column, height
from kiosk.station.glass.widgets.bench_art import PAD, RIB, STEEL, VEIL, Art, bounding_box
from kiosk.station.glass.widgets.heading import Notice
from kiosk.station.glass.widgets.paint import Drawn, fill, frame, outline
from kiosk.station.glass.widgets.text import Text, stacked
from kiosk.train.practice import CARD, CLOCK, DISPLAY, GARMENT, PLATEN, SEAM, SHEET

GLOVE_MM = 12.0  # if neighbours leave no more; otherwise a target's 15
NOTICE_ROWS = 3
SIDE_SHARE, SIDE_MM = 0.34, 46.0  # beside the bench, in landscape
HEAD_SHARE, HEAD_UPRIGHT = 0.18, 0.1  # of the height, for the question and notices
FOOT_SHARE = 0.33  # below the bench, in portrait


class Target(Drawn):
    """Something on the bench to touch, or to reach with the pedal."""

    filled = False

    def __init__(self, box: Box, thing: str, touch: Callable[[str], None]) -> None:
        super().__init__(box)
        self.thing = thing
        self.label = thing
        self._touch = touch

    def on_press(self) -> None:
        """Report that this thing was chosen."""
        self._touch(self.thing)


class BenchDrawing(Drawn):
    """The bench in `box`; `touch` is called with the thing that a finger touched.

    `targets` are what can be touched, the topmost first; pieces too small for a glove are touched
    as a whole element.
    """

    def __init__(
        self,
        box: Box,
        scale: Scale,
        picture: BenchPicture,
        notices: tuple[str, ...],
        touch: Callable[[str], None],
    ) -> None:
        super().__init__(box)
        self.scale = scale
        self.picture = picture
        self.touch = touch
        self.targets: list[Target] = []
        if scale.portrait:
            head, room = box.from_top(max(box.h * HEAD_UPRIGHT, scale.mm(11.0)), scale.mm(1.5))
            beside, room = room.from_bottom(box.h * FOOT_SHARE, scale.mm(2.0))
        else:
            wide = max(box.w * SIDE_SHARE, scale.mm(SIDE_MM))
            beside, room = box.from_right(wide, scale.mm(2.0))
            head, beside = beside.from_top(box.h * HEAD_SHARE, scale.mm(1.5))
        self._head(head)
        self.lay = bench_lay(picture.bench)
        self.art = Art(room, scale, self.lay, picture.platen)
        self.add_widget(self.art)
        self._things()
        self._beside(beside)
        self._grow()
        self._mark()
        if notices:
            self._notice(room, notices)

    def show(self, picture: BenchPicture) -> None:
        """Show another time on the clock; nothing else changes."""
        self.picture = picture
        clock = getattr(self, "clock", None)
        if clock is not None:
            clock.say(picture.clock)

    def at(self, x: float, y: float) -> str:
        """Return what is at these pixels, "" for nothing."""
        for each in self.targets:
            if each.box.holds(x, y):
                return each.thing
        bench = self.picture.bench
        if bench.rack or not self.art.platen.holds(x, y):
            return ""
        return SHEET if bench.sheet else PLATEN if bench.garment is None else GARMENT

    def on_touch_down(self, touch: Any) -> bool:
        """Report the uppermost thing under the finger."""
        thing = self.at(*touch.pos)
        if thing:
            self.touch(thing)
        return bool(thing)

    # -- what can be touched ----------------------------------------------

    def _aim(self, box: Box, thing: str) -> None:
        """Add a target at least as large as a gloved finger, inside the drawing."""
        least = self.scale.mm(GLOVE_MM)
        wide, high = max(box.w, least), max(box.h, least)
        x, y = box.centre[0] - wide / 2, box.centre[1] - high / 2
        x = min(max(x, self.box.x), self.box.right - wide)
        y = min(max(y, self.box.y), self.box.top - high)
        self.targets.append(Target(Box(x, y, wide, high), thing, self.touch))

    def _things(self) -> None:
        """Add targets for pieces, then for what is around them."""
        art, bench = self.art, self.picture.bench
        found: dict[str, Box] = {}
        for piece_lay in self.lay.pieces:
            found[piece_lay.piece.piece.thing] = art.film(piece_lay)
        small = {t for t, box in found.items() if box.w < self.scale.mm(GLOVE_MM)}
        whole = {thing.partition(".")[0] for thing in small}
        for element in whole:
            boxes = [found.pop(t) for t in list(found) if t.partition(".")[0] == element]
            found[element] = bounding_box(boxes)
        for thing, box in found.items():
            self._aim(box, thing)
        if bench.garment is not None:
            self._aim(art.collar, GARMENT)
            for side in art.seams:
                self._aim(side, SEAM)
        if not bench.rack:
            self._aim(art.plate, PLATEN)
            if bench.sheet:
                self._aim(art.overhang, SHEET)

    def _grow(self) -> None:
        """Grow targets that are too small into the room that their neighbours leave."""
        for each in self.targets:
            others = [other.box for other in self.targets if other.thing != each.thing]
            for box in _grown_boxes(each.box, self.scale.target):
                free = not any(box.overlaps(other, slack=1.0) for other in others)
                if free and self.box.holds(*box.pos) and self.box.holds(box.right - 1, box.top - 1):
                    each.box = box
                    break

    def _mark(self) -> None:
        """Draw a thick frame around the chosen thing."""
        for each in self.targets:
            if each.thing == self.picture.marked:
                with self.canvas.after:
                    frame(each.box.inset(-self.scale.mm(0.6)), INK, self.scale.mm(1.0))

    # -- beside the bench -------------------------------------------------

    def _beside(self, box: Box) -> None:
        """Draw the card, and with it the press's display, the sheet's rail and the clock."""
        bench, gap = self.picture.bench, self.scale.mm(2.0)
        parts = [] if bench.rack else [self._display, self._rail]
        parts += [] if bench.clock is None else [self._watch]
        if self.scale.portrait:
            card, rest = box.from_left(box.w * 0.56, gap)
            upper, lower = rest.grid(1, 2, gap) if len(parts) > 1 else (rest, rest)
            cells = (upper, *lower.grid(max(1, len(parts) - 1), 1, gap))
        else:
            low, card = box.from_bottom(max(box.h * 0.3, self.scale.mm(14.0)), gap)
            cells = low.grid(len(parts), 1, gap)
        self._card(card)
        for part, cell in zip(parts, cells, strict=False):
            part(cell)

    def _head(self, box: Box) -> None:
        """Draw the station's question."""
        scale = self.scale
        large = Style(scale.small, scale.line * 1.4, bold=True, rows=2)
        blocks = [TextBlock(self.picture.title, large, scale.mm(0.8))]
        self._column(box, blocks)

    def _notice(self, room: Box, notices: tuple[str, ...]) -> None:
        """Show a notice, large, over the part farthest from the operator; it does not stay long."""
        tall = height(NOTICE_ROWS, self.scale.label / CAPITAL)
        self.add_widget(
            Notice(room.from_top(min(room.h * 0.3, tall))[0], self.scale, notices, INK, PAPER)
        )

    def _column(self, box: Box, blocks: list[TextBlock]) -> None:
        fitted, _ = column(blocks, box.w, box.h)
        places = stacked(box, box.top, blocks, fitted)
        for block, each, place in zip(blocks, fitted, places, strict=True):
            self.add_widget(Text(block.text, place, block.style, INK, "left", "top", each))

    def _card(self, box: Box) -> None:
        """Draw the garment's card, with a hole to hang it by and a large number."""
        scale, lines = self.scale, self.picture.card
        with self.canvas:
            fill(box, WHITE)
            frame(box, INK, scale.mm(0.35))
            Color(*MUTED.rgba)
            hole = scale.mm(2.6)
            place = (box.right - hole - scale.mm(1.8), box.y + scale.mm(1.8))
            Line(ellipse=(*place, hole, hole), width=max(1.0, scale.mm(0.2)))
        room = box.inset(scale.mm(2.2), scale.mm(1.4))
        first = Style(scale.line, scale.line * 1.9, bold=True, rows=1)
        rest = Style(scale.small, scale.line * 1.1)
        blocks = [TextBlock(lines[0], first, scale.mm(0.8))]
        blocks += [TextBlock(line, rest, scale.mm(0.5)) for line in lines[1:]]
        self._column(room, blocks)
        self._aim(box, CARD)

    def _display(self, box: Box) -> None:
        """Draw the press's display with its probe: figures on a lit field."""
        scale = self.scale
        with self.canvas:
            Color(*SLATE.rgba)
            RoundedRectangle(pos=box.pos, size=box.size, radius=[scale.mm(1.6)])
            Color(*STEEL.rgba)
            Line(
                points=(box.x, box.centre[1], box.x - scale.mm(2.0), box.centre[1]),
                width=scale.mm(0.5),
            )
        screen = box.inset(scale.mm(1.4), max(scale.mm(1.4), box.h * 0.2))
        with self.canvas:
            fill(screen, SNOW)
        style = Style(scale.small, scale.line * 1.8, bold=True, rows=1)
        self.add_widget(
            Text(self.picture.display, screen.inset(scale.mm(0.8), 0), style, INK, "center")
        )
        self._aim(box, DISPLAY)

    def _rail(self, box: Box) -> None:
        """Draw the rail where the cover sheet hangs while it is not on."""
        scale, off = self.scale, not self.picture.bench.sheet
        em = scale.small / CAPITAL
        rows = 1 + (breadth(self.picture.rail, False) * em > box.w)
        word, place = box.from_bottom(height(rows, em), scale.mm(0.6))
        rail = Box(place.x, place.top - scale.mm(1.6), place.w, scale.mm(1.6))
        with self.canvas:
            fill(rail, PAD)
            if off:
                sheet = Box(place.x + place.w * 0.1, place.y, place.w * 0.8, rail.y - place.y)
                fill(sheet, VEIL)
                frame(sheet, CLOTH_EDGE, scale.mm(0.3))
                folds = [sheet.x + sheet.w * share for share in (0.27, 0.52, 0.78)]
                for x in folds:
                    outline(((x, sheet.y), (x, sheet.top)), RIB, scale.mm(0.3), close=False)
        style = Style(scale.small, scale.small, rows=rows)
        self.add_widget(Text(self.picture.rail, word, style, MUTED, "center"))
        self._aim(box, SHEET)

    def _watch(self, box: Box) -> None:
        """Draw a stop watch: the time since the press opened."""
        scale = self.scale
        face = box.inset(scale.mm(0.4)).fitted(1.0)
        knob = Box(face.centre[0] - scale.mm(1.2), face.top - scale.mm(1.2), scale.mm(2.4), 0)
        with self.canvas:
            Color(*PAD.rgba)
            Rectangle(pos=(knob.x, face.top - scale.mm(1.6)), size=(knob.w, scale.mm(1.8)))
            Ellipse(pos=face.pos, size=face.size)
            inner = face.inset(scale.mm(1.2))
            Color(*WHITE.rgba)
            Ellipse(pos=inner.pos, size=inner.size)
        style = Style(scale.small, scale.line * 1.6, bold=True, rows=1)
        room = inner.inset(inner.w * 0.1, inner.h * 0.28)
        self.clock = Text(self.picture.clock, room, style, INK, "center")
        self.add_widget(self.clock)
        self._aim(box, CLOCK)


def _grown_boxes(box: Box, least: float) -> Iterator[Box]:
    """Yield boxes no smaller than `least`, grown to each side; then in height or width alone."""
    more_w, more_h = max(0.0, least - box.w), max(0.0, least - box.h)
    if not more_w and not more_h:
        return
    for wide, high in ((more_w, more_h), (0.0, more_h), (more_w, 0.0)):
        for across in (0.5, 0.0, 1.0):
            for down in (0.5, 0.0, 1.0):
                x, y = box.x - wide * across, box.y - high * down
                yield Box(x, y, box.w + wide, box.h + high)
