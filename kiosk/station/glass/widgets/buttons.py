"""What can be pressed: a paper button, the forward bar, a side button, a number pad."""

from collections.abc import Callable, Sequence
from functools import partial
from math import inf
from typing import Any

from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.theme import INK, MUTED, PAPER, WHITE, Colour
from kiosk.station.glass.type import CAPITAL, FittedText, Style, TextBlock, column, fit
from kiosk.station.glass.widgets.paint import Drawn, fill, frame
from kiosk.station.glass.widgets.text import Text, stacked

Placed = tuple[Box, str, str]  # a button's box, label and line
INSET_MM = 1.6  # between its side and its words


def _fitted(
    scale: Scale, room: Box, label: str, line: str, sizes: tuple[float, float]
) -> tuple[list[TextBlock], tuple[FittedText, ...]]:
    """Fit a label of `sizes` (least, most) and its line; a long word ends up in small letters."""
    least, most = sizes
    tries = []
    for low in (*([] if most == inf else [most]), least, scale.small):
        style = Style(min(low, most), min(least * 1.9, most), bold=True)
        blocks = [TextBlock(label, style, scale.mm(0.8))]
        if line:
            below = Style(min(scale.small, most), min(scale.label, most))  # not above the label's
            blocks.append(TextBlock(line, below))
        fitted, share = column(blocks, room.w, room.h)
        if share == 1:
            return blocks, fitted
        tries.append((share, blocks, fitted))
    return max(tries, key=lambda each: each[0])[1:]


ALIKE_KEEPS = 0.8  # share of its least height, if a longer label is beside it


def alike(scale: Scale, buttons: Sequence[Placed], keeps: float = ALIKE_KEEPS) -> float:
    """Return the largest common capital for the labels of buttons side by side, px.

    Single characters do not count; no label falls below the share it `keeps` of its least height.
    """
    capitals = [inf]
    for box, label, line in buttons:
        room = box.inset(scale.mm(INSET_MM), scale.mm(1.0))
        if len(label) > 1:
            _, fitted = _fitted(scale, room, label, line, (scale.label, inf))
            capitals.append(fitted[0].em * CAPITAL)
    return max(scale.label * keeps, min(capitals))


class PaperButton(Drawn):
    """A white box with an ink frame, a bold label and perhaps a line below it.

    `on_press` is called on touch down, so that a finger can drift off. `filled` turns it to ink, as
    the pedal's current choice; `large` letters are those of the bar, smaller ones those of what is
    `beside` it; `most` is the largest capital of the label, px.
    """

    def __init__(
        self,
        box: Box,
        scale: Scale,
        label: str,
        on_press: Callable[[], None],
        line: str = "",
        halign: str = "center",
        filled: bool = False,
        large: bool = False,
        beside: bool = False,
        most: float = inf,
    ) -> None:
        super().__init__(box)
        self.scale = scale
        self.label = label
        self.line = line
        self.halign = halign
        self.filled = filled
        self.large = large
        self.beside = beside
        self.most = most
        self.on_press = on_press
        self._draw()

    def fill_in(self, filled: bool) -> None:
        """Turn to ink, or back to paper."""
        if filled != self.filled:
            self.filled = filled
            self._draw()

    def on_touch_down(self, touch: Any) -> bool:
        """Act at once, and keep the touch from everything below."""
        if not self.box.holds(*touch.pos):
            return False
        self.on_press()
        return True

    def _draw(self) -> None:
        self.clear_widgets()
        self.canvas.clear()
        ground, label, line = (INK, PAPER, PAPER) if self.filled else (WHITE, INK, MUTED)
        with self.canvas:
            fill(self.box, ground)
            frame(self.box, INK, self.scale.mm(0.5))
        self._write(label, line)

    def _room(self) -> Box:
        """Return the box for its words, inside the inner frame of a button beside the bar."""
        framed = SIDE_FRAME_MM + SIDE_LINE_MM
        wide, high = (framed + 0.9, framed + 0.7) if self.beside else (INSET_MM, 1.0)
        return self.box.inset(self.scale.mm(wide), self.scale.mm(high))

    def _write(self, label: Colour, line: Colour) -> None:
        scale, room = self.scale, self._room()
        least = scale.line if self.large else scale.label
        most = min(self.most, scale.label * SIDE_MOST) if self.beside else self.most
        blocks, fitted = _fitted(scale, room, self.label, self.line, (least, most))
        if not self.line:
            one_row = self.large and len(fitted[0].rows) == 1
            valign = "capitals" if one_row else "middle"
            self._put(blocks[0], fitted[0], room, label, valign)
            return
        height = sum(f.height for f in fitted) + blocks[0].gap
        top = room.y + (room.h + height) / 2
        places = stacked(room, top, blocks, fitted)
        for block, each, colour, place in zip(blocks, fitted, (label, line), places, strict=True):
            self._put(block, each, place, colour)

    def _put(
        self, block: TextBlock, fitted: FittedText, box: Box, colour: Colour, valign: str = "top"
    ) -> None:
        self.add_widget(
            Text(block.text, box, block.style, colour, self.halign, valign, fitted=fitted)
        )


SIDE_FRAME_MM, SIDE_LINE_MM = 0.7, 0.4  # a side button's inner frame: its inset, its thickness
SIDE_INSET_MM = 1.4  # between a side button's word and its frame
SIDE_MOST = 1.2  # times the least height of its word


class ForwardBar(Drawn):
    """A filled field with a bold label and a smaller line below. The screen handles its touches."""

    def __init__(
        self,
        box: Box,
        scale: Scale,
        label: str,
        below: str,
        ground: Colour,
        ink: Colour,
        second: Colour,
    ) -> None:
        super().__init__(box)
        with self.canvas:
            fill(box, ground)
        room = box.inset(scale.mm(3.0), scale.mm(1.2))
        big = Style(scale.label, scale.line * 1.5, bold=True)
        gap = scale.mm(1.0)
        blocks = [TextBlock(label, big, gap), TextBlock(below, Style(scale.small, scale.label))]
        fitted, share = column(blocks, room.w, room.h)
        if share < 1 or not below:  # the label is what counts
            blocks, gap = [TextBlock(label, big)], 0.0
            fitted, _ = column(blocks, room.w, room.h)
        top = room.centre[1] + (sum(f.height for f in fitted) + gap) / 2
        places = stacked(room, top, blocks, fitted)
        for block, each, colour, place in zip(blocks, fitted, (ink, second), places, strict=False):
            self.add_widget(
                Text(block.text, place, block.style, colour, "center", "top", fitted=each)
            )


class SideButton(Drawn):
    """Back, hold or opened: a field with an inner frame, beside the bar."""

    def __init__(self, box: Box, scale: Scale, label: str, ground: Colour, ink: Colour) -> None:
        super().__init__(box)
        self.label = label
        inner = box.inset(scale.mm(SIDE_FRAME_MM))
        with self.canvas:
            fill(box, ground)
            frame(inner, ink, scale.mm(SIDE_LINE_MM))
        room = inner.inset(scale.mm(SIDE_INSET_MM), scale.mm(0.7))
        style = Style(scale.label, scale.label * SIDE_MOST, bold=True, rows=3)
        if fit(label, style, *room.size).share < 1.0:
            style = style._replace(least=scale.small)
        self.add_widget(Text(label, room, style, ink, "center"))


GAP_MM = 2.0
MOST_FIGURES = 3
ERASE, ENTER = "erase", "enter"
ORDERS = {  # by columns
    3: (*"123456789", ERASE, "0", ENTER),
    4: (*"1230", *"456", ERASE, *"789", ENTER),
    6: (*"12345", ERASE, *"67890", ENTER),
}


def arrange_pad(box: Box, scale: Scale, gap: float) -> tuple[Box, Box, int]:
    """Return field, keys, columns (3, 4 or 6): the tallest pad below its field, else beside it."""
    for columns in ORDERS:
        rows = 12 // columns
        least = rows * scale.target + (rows - 1) * gap
        if box.h >= least + gap + scale.target and box.w >= _across(columns, scale, gap):
            field, keys = box.from_top(min(scale.target * 1.5, box.h - gap - least), gap)
            return field, keys.from_top(min(keys.h, least * 1.4))[0], columns
    columns = next((c for c in (6, 4, 3) if _across(c, scale, gap) <= box.w * 0.8), 3)
    keys, rest = box.from_right(max(_across(columns, scale, gap), box.w * 0.66), gap * 2)
    return rest.from_top(min(rest.h, scale.target * 1.1))[0], keys, columns


def _across(columns: int, scale: Scale, gap: float) -> float:
    return columns * scale.target + (columns - 1) * gap


class NumberPad(Drawn):
    """A field and twelve keys; `on_enter` gets the figures as text when enter is touched.

    `unit` follows the figures; `words` are the labels of the erase and enter keys; `buttons` are
    the keys in order; `typed` keeps the figures when the pad is drawn again.
    """

    def __init__(
        self,
        box: Box,
        scale: Scale,
        on_enter: Callable[[str], None],
        words: tuple[str, str],
        unit: str = "",
        typed: list[str] | None = None,
    ) -> None:
        super().__init__(box)
        self.typed = [] if typed is None else typed
        self.on_enter = on_enter
        self.unit = unit
        self.value = "".join(self.typed)
        self.buttons: list[PaperButton] = []
        gap = scale.mm(GAP_MM)
        field, keys, columns = arrange_pad(box, scale, gap)
        with self.canvas:
            fill(field, WHITE)
            frame(field, INK, scale.mm(0.5))
        style = Style(scale.line, scale.big * 1.2, bold=True, rows=1)
        inner = field.inset(scale.mm(2), scale.mm(1))
        self.field = Text("", inner, style, INK, "right", "capitals")
        self.add_widget(self.field)
        self._keys(keys.grid(columns, 12 // columns, gap), scale, words)
        self._show()

    def type_again(self, value: str) -> None:
        """Show figures that were typed before the pad was drawn again."""
        self.value = value
        self._show()

    def _keys(self, boxes: tuple[Box, ...], scale: Scale, words: tuple[str, str]) -> None:
        erase, enter = words
        for box, key in zip(boxes, ORDERS[len({box.x for box in boxes})], strict=True):
            if key == ERASE:
                self._put(PaperButton(box, scale, erase, self.erase))
            elif key == ENTER:
                self._put(PaperButton(box, scale, enter, self.enter))
            else:
                self._put(PaperButton(box, scale, key, partial(self.press, key), large=True))

    def _put(self, button: PaperButton) -> None:
        """Add a key, unfilled: a filled one would look like a choice made."""
        self.buttons.append(button)
        self.add_widget(button)

    @property
    def full(self) -> bool:
        """Whether no further figure fits."""
        return len(self.value) >= MOST_FIGURES

    def press(self, figure: str) -> None:
        """Add a figure, if it fits."""
        if not self.full:
            self.value += figure
            self.typed.append(figure)
            self._show()

    def erase(self) -> None:
        """Erase the last figure."""
        self.value = self.value[:-1]
        del self.typed[-1:]
        self._show()

    def enter(self) -> None:
        """Pass on the figures and start over."""
        if value := self.value:
            self.typed.clear()
            self.type_again("")
            self.on_enter(value)

    def _show(self) -> None:
        self.field.say(f"{self.value} {self.unit}".strip())
