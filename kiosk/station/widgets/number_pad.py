"""Figures to enter with a glove: a number that is read, or a secret one."""

from __future__ import annotations

from collections.abc import Callable

from kivy.uix.widget import Widget

from kiosk.station.boxes import Box
from kiosk.station.sizes import Scale
from kiosk.station.theme import INK, WHITE
from kiosk.station.type import Style
from kiosk.station.widgets.paint import fill, frame
from kiosk.station.widgets.paper_button import PaperButton
from kiosk.station.widgets.text import Text

FIGURES = "123456789"
HIDDEN = "•"


class NumberPad(Widget):
    """A field and twelve keys; `on_enter` gets the figures as text when enter is touched.

    `least` figures must be there before enter does anything; `unit` stands behind the field;
    `words` are the labels of the keys that clear and enter.
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
    ) -> None:
        super().__init__(pos=box.pos, size=box.size, size_hint=(None, None))
        self.on_enter = on_enter
        self.most = most
        self.least = least
        self.hidden = hidden
        self.unit = unit
        self.value = ""
        gap = scale.mm(2.0)
        field, keys = self._parts(box, scale, gap)
        with self.canvas:
            fill(field, WHITE)
            frame(field, INK, scale.mm(0.5))
        style = Style(scale.line, scale.big * 1.2, bold=True, rows=1)
        self.field = Text("", field.inset(scale.mm(2), scale.mm(1)), style, INK, "right")
        self.add_widget(self.field)
        self._keys(keys.grid(3, 4, gap), scale, words)
        self._show()

    @staticmethod
    def _parts(box: Box, scale: Scale, gap: float) -> tuple[Box, Box]:
        """The field stands above the keys, or beside them where the box is too low for that."""
        least = 4 * scale.target + 3 * gap
        if box.h >= least + gap + scale.target:
            return (
                box.from_top(max(scale.target, box.h - least * 1.25 - gap), gap)
                if (box.h < least * 1.25 + gap + scale.target * 1.4)
                else box.from_top(scale.target * 1.4, gap)
            )
        keys, rest = box.from_right(box.w * 0.6, gap * 2)
        return rest.from_top(min(rest.h, scale.target * 1.4))[0], keys

    def _keys(self, boxes: tuple[Box, ...], scale: Scale, words: tuple[str, str]) -> None:
        clear, enter = words
        for box, figure in zip(boxes, FIGURES, strict=False):
            self._figure(box, scale, figure)
        self.add_widget(PaperButton(boxes[9], scale, clear, self.clear))
        self._figure(boxes[10], scale, "0")
        self.add_widget(PaperButton(boxes[11], scale, enter, self.enter, filled=True))

    def _figure(self, box: Box, scale: Scale, figure: str) -> None:
        self.add_widget(PaperButton(box, scale, figure, lambda: self.press(figure), large=True))

    def press(self, figure: str) -> None:
        """Add a figure, as long as there is room for it."""
        if len(self.value) < self.most:
            self.value += figure
            self._show()

    def clear(self) -> None:
        """Take all figures back."""
        self.value = ""
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


class PinPad(NumberPad):
    """A number pad that never shows its figures."""

    def __init__(
        self,
        box: Box,
        scale: Scale,
        on_enter: Callable[[str], None],
        words: tuple[str, str],
        least: int = 4,
        most: int = 12,
    ) -> None:
        super().__init__(box, scale, on_enter, words, most=most, least=least, hidden=True)
