"""The ribbon, which shows the place in the procedure; the rack's chips, filled when due."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from kiosk.catalog.base import Message
from kiosk.run.facts import PeelZone
from kiosk.run.show import Chip, RibbonField, RibbonState
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.theme import AMBER, INK, Colour, Shade
from kiosk.station.glass.type import CAPITAL, Style, TextBlock, breadth, column, height
from kiosk.station.glass.widgets.heading import Progress
from kiosk.station.glass.widgets.marks import ASPECT, Shirt
from kiosk.station.glass.widgets.paint import Drawn, fill, frame
from kiosk.station.glass.widgets.text import Text, stacked

APART_MM = 1.2  # between two names of a row


def bars_height(scale: Scale) -> float:
    """Return the height of the fields without names, px."""
    return scale.mm(2.6)


def rows_of(scale: Scale, names: Sequence[str], wide: float) -> int:
    """Return the number of rows for the names: two in portrait if one is too short."""
    em, apart = scale.small / CAPITAL, scale.mm(APART_MM)
    needed = sum(breadth(name, True) * em + 2 + apart for name in names)
    return 2 if scale.portrait and needed > wide else 1


def ribbon_height(scale: Scale, one_row: bool = False, rows: int = 1) -> float:
    """Return the height of a ribbon with `rows` of names, px."""
    names_height = height(rows, scale.small / CAPITAL)
    return names_height if one_row else bars_height(scale) + scale.mm(0.6) + names_height


class Ribbon(Drawn):
    """A field for each phase with names below as far as they fit, nearest to the current one first.

    The names take two rows if the box is high enough. With `one_row` only the current phase is
    named, at the right of the fields.
    """

    def __init__(
        self,
        box: Box,
        scale: Scale,
        marks: Sequence[RibbonField],
        say: Callable[[Message], str],
        shade: Shade,
        one_row: bool = False,
    ) -> None:
        super().__init__(box)
        if not marks:
            return
        now = " · ".join(say(mark.label) for mark in marks if mark.state is RibbonState.NOW)
        if one_row:
            bars, names = self._name_at_right(box, scale, now, shade), box
        else:
            bars, names = box.from_top(bars_height(scale), scale.mm(0.6))
        fields = bars.grid(len(marks), 1, scale.mm(0.8))
        with self.canvas:
            for field, mark in zip(fields, marks, strict=True):
                self._field(field, mark, scale, shade)
        if not one_row:
            self._names(names, scale, [say(mark.label) for mark in marks], fields, marks, shade)

    def _name_at_right(self, box: Box, scale: Scale, now: str, shade: Shade) -> Box:
        """Name the current phase; return the box for the fields."""
        wide = breadth(now, True) * scale.small / CAPITAL + 2
        place, bars = box.from_right(min(wide, box.w / 2), scale.mm(2.0))
        style = Style(scale.small, scale.small, bold=True, rows=1)
        self.add_widget(Text(now, place, style, shade.text, "right"))
        return bars.inset(0, (bars.h - bars_height(scale)) / 2)

    def _field(self, field: Box, mark: RibbonField, scale: Scale, shade: Shade) -> None:
        if mark.state is RibbonState.NOW:
            fill(field, shade.text)
            return
        low = Box(field.x, field.y + scale.mm(0.6), field.w, field.h - scale.mm(1.2))
        if mark.state is RibbonState.DONE:
            fill(low, shade.text)
        else:
            frame(low, shade.text, scale.mm(0.3))

    def _names(
        self,
        room: Box,
        scale: Scale,
        names: Sequence[str],
        fields: Sequence[Box],
        marks: Sequence[RibbonField],
        shade: Shade,
    ) -> None:
        """Put the name of the current phase first, then those beside it, while they fit."""
        now = [i for i, mark in enumerate(marks) if mark.state is RibbonState.NOW]
        middle = sum(now) / len(now) if now else 0.0
        em = scale.small / CAPITAL
        tall = height(1, em)
        rows = 2 if room.h >= height(2, em) - 1 else 1
        for nth in range(rows):
            y = room.y if nth == rows - 1 else room.top - tall
            places = {
                i: Box(fields[i].centre[0], y, breadth(names[i], i in now) * em + 2, tall)
                for i in range(nth, len(names), rows)
            }
            for i, place in _in_a_row(room, places, scale, middle):
                self._name(names[i], place, scale, i in now, shade)

    def _name(self, name: str, place: Box, scale: Scale, bold: bool, shade: Shade) -> None:
        style = Style(scale.small, scale.small, bold=bold, rows=1)
        colour = shade.text if bold else shade.second
        self.add_widget(Text(name, place, style, colour, "center"))


def _in_a_row(
    room: Box, boxes: Mapping[int, Box], scale: Scale, middle: float
) -> Iterator[tuple[int, Box]]:
    """Yield the names that fit, with their places; each of `boxes` has its field's middle as x."""
    gap = scale.mm(APART_MM)
    if sum(each.w + gap for each in boxes.values()) - gap <= room.w:
        wides = [each.w for each in boxes.values()]
        lefts = room.left_edges([each.x for each in boxes.values()], wides, gap)
        for (i, each), x in zip(boxes.items(), lefts, strict=True):
            yield i, each._replace(x=x)
        return
    placed: list[Box] = []
    for i in sorted(boxes, key=lambda i: (abs(i - middle), i)):
        each = boxes[i]
        x = min(max(each.x - each.w / 2, room.x), room.right - each.w)
        place = each._replace(x=x)
        if not any(place.inset(-scale.mm(0.8), 0).overlaps(other) for other in placed):
            placed.append(place)
            yield i, place


LEAST_WIDTH_MM = 39.0
MOST_WIDTH_MM = 64.0


def chip_height(scale: Scale) -> float:
    """Return the height of the row of chips, px."""
    return scale.target + scale.mm(0.6)


def places(row: Box, scale: Scale, count: int) -> tuple[Box, ...]:
    """Return the boxes of chips in `row`: as many as fit, from the left."""
    gap = scale.mm(2.0)
    room = max(1, int((row.w + gap) // (scale.mm(LEAST_WIDTH_MM) + gap)))
    fitting = min(count, room)
    width = min(scale.mm(MOST_WIDTH_MM), (row.w - gap * (fitting - 1)) / max(1, fitting))
    return tuple(Box(row.x + i * (width + gap), row.y, width, row.h) for i in range(fitting))


class Tag(Drawn):
    """A shirt with its number, a bold word and a line; a touch looks at the garment."""

    def __init__(
        self, box: Box, scale: Scale, number: str, shade: Shade, on_touch: Callable[[], None]
    ) -> None:
        super().__init__(box)
        self.scale = scale
        self.number = number
        self.shade = shade
        self.on_touch = on_touch

    def on_touch_down(self, touch: Any) -> bool:
        """Act at once."""
        if not self.box.holds(*touch.pos):
            return False
        self.on_touch()
        return True

    def draw(self, ground: Colour, ink: Colour, word: str, line: str, foot: float) -> Box:
        """Draw everything again; return the free strip of `foot` pixels at the bottom."""
        self.clear_widgets()
        self.canvas.clear()
        scale = self.scale
        with self.canvas:
            fill(self.box, ground)
            frame(self.box, ink, scale.mm(0.4))
        inner = self.box.inset(scale.mm(0.8))
        shirt, rest = inner.from_left(min(inner.h * ASPECT, inner.w * 0.42), scale.mm(1.2))
        self.add_widget(Shirt(shirt, self.number, ink, ground, max(1.5, scale.mm(0.35))))
        free, room = rest.from_bottom(foot, scale.mm(0.5) if foot else 0.0)
        self._write(room, ink, word, line)
        return free

    def _write(self, room: Box, ink: Colour, word: str, line: str) -> None:
        scale = self.scale
        blocks = (
            TextBlock(word, Style(scale.small, scale.label, bold=True, rows=1)),
            TextBlock(line, Style(scale.small, scale.label)),
        )
        fitted, _ = column(blocks, room.w, room.h)
        top = room.centre[1] + sum(each.height for each in fitted) / 2
        places = stacked(room, top, blocks, fitted)
        for block, each, box in zip(blocks, fitted, places, strict=True):
            self.add_widget(Text(block.text, box, block.style, ink, "left", "top", fitted=each))


class ChipBox(Tag):
    """A cooling garment; empty until the first `show`."""

    def __init__(
        self,
        box: Box,
        scale: Scale,
        number: str,
        say: Callable[[Message], str],
        shade: Shade,
        on_touch: Callable[[], None],
    ) -> None:
        super().__init__(box, scale, number, shade, on_touch)
        self.say = say
        self.content: tuple[str, str, PeelZone] | None = None
        self.progress: Progress | None = None

    def show(self, chip: Chip) -> None:
        """Show how far it is, drawing only what changed."""
        word = f"{self.say(chip.word)} · {chip.set}" if chip.set else self.say(chip.word)
        content = (word, self.say(chip.line), chip.zone)
        if content != self.content:
            self.content = content
            ground, ink = self._colours(chip.zone)
            foot = self.scale.mm(1.6) if chip.zone is PeelZone.SOON else 0.0
            free = self.draw(ground, ink, content[0], content[1], foot)
            self.progress = None
            if foot:
                self.progress = Progress(free, ink, self.scale.mm(0.25))
                self.add_widget(self.progress)
        if self.progress is not None:
            self.progress.show(int(chip.share * 20) / 20)  # twentieths: to change seldom

    def _colours(self, ready: PeelZone) -> tuple[Colour, Colour]:
        if ready is PeelZone.LATE:
            return AMBER, INK
        if ready is PeelZone.NOW:
            return self.shade.text, self.shade.ground
        return self.shade.ground, self.shade.text
