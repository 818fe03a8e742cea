"""Figures to enter with a glove: a number that is read, or a secret one."""

from collections.abc import Callable

from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.theme import INK, WHITE
from kiosk.station.glass.type import Style
from kiosk.station.glass.widgets.buttons import PaperButton
from kiosk.station.glass.widgets.paint import Drawn, fill, frame
from kiosk.station.glass.widgets.text import Text

GAP_MM = 2.0
HIDDEN = "•"
CLEAR, ENTER = "clear", "enter"
ORDERS = {  # by columns
    3: (*"123456789", CLEAR, "0", ENTER),
    4: (*"1230", *"456", CLEAR, *"789", ENTER),
    6: (*"12345", CLEAR, *"67890", ENTER),
}


def arranged(box: Box, scale: Scale, gap: float) -> tuple[Box, Box, int]:
    """Return field, keys and columns: the tallest of three, four or six, field above or left."""
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

    `least` figures must be there before enter does anything; `unit` stands behind the field;
    `words` are the labels of the keys that clear and enter; `buttons` are the keys in order;
    `typed` keeps the figures when the pad is drawn anew.
    """

    def __init__(
        self,
        box: Box,
        scale: Scale,
        on_enter: Callable[[str], None],
        words: tuple[str, str],
        unit: str = "",
        most: int = 3,
        least: int = 1,
        hidden: bool = False,
        typed: list[str] | None = None,
    ) -> None:
        super().__init__(box)
        self.typed = [] if typed is None else typed
        self.on_enter = on_enter
        self.most = most
        self.least = least
        self.hidden = hidden
        self.unit = unit
        self.value = "".join(self.typed)
        self.buttons: list[PaperButton] = []
        gap = scale.mm(GAP_MM)
        field, keys, columns = arranged(box, scale, gap)
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
        """Show figures that were typed before the pad was drawn anew."""
        self.value = value
        self._show()

    def _keys(self, boxes: tuple[Box, ...], scale: Scale, words: tuple[str, str]) -> None:
        clear, enter = words
        for box, key in zip(boxes, ORDERS[len({box.x for box in boxes})], strict=True):
            if key == CLEAR:
                self._put(PaperButton(box, scale, clear, self.clear))
            elif key == ENTER:
                self._put(PaperButton(box, scale, enter, self.enter))
            else:
                self._figure(box, scale, key)

    def _figure(self, box: Box, scale: Scale, figure: str) -> None:
        self._put(PaperButton(box, scale, figure, lambda: self.press(figure), large=True))

    def _put(self, button: PaperButton) -> None:
        """None is filled before the pedal stands on it: that would look like a choice made."""
        self.buttons.append(button)
        self.add_widget(button)

    def press(self, figure: str) -> None:
        """Add a figure, as long as there is room for it."""
        if len(self.value) < self.most:
            self.value += figure
            self.typed.append(figure)
            self._show()

    def clear(self) -> None:
        """Take all figures back."""
        self.value = ""
        self.typed.clear()
        self._show()

    def enter(self) -> None:
        """Hand the figures over and begin anew."""
        value = self.value
        if len(value) >= self.least:
            self.clear()
            self.on_enter(value)

    def _show(self) -> None:
        shown = HIDDEN * len(self.value) if self.hidden else self.value
        self.field.say(f"{shown} {self.unit}".strip() if not self.hidden else shown)
