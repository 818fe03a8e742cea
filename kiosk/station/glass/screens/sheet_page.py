"""Draws a sheet, and lets a finger, a keyboard or one pedal use it."""

from collections.abc import Callable
from math import inf
from typing import Any

from kiosk.station.desk.sheet import Button, Sheet
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.screens import sheet_parts
from kiosk.station.glass.screens.page import BAR_SHARE, SIDE_SHARE
from kiosk.station.glass.screens.work import YOUNG_SECONDS
from kiosk.station.glass.theme import INK, PAPER
from kiosk.station.glass.widgets.bench_drawing import BenchDrawing, Target
from kiosk.station.glass.widgets.buttons import SIDE_FRAME_MM, SIDE_LINE_MM, PaperButton, alike
from kiosk.station.glass.widgets.charts import picture_widget
from kiosk.station.glass.widgets.figures import JobCard, line_of, words_of
from kiosk.station.glass.widgets.paint import Shown, frame, ground
from kiosk.station.glass.widgets.text import CautionBox, PracticeFrame, within_frame

MOST_BUTTON_MM = 26.0
CAUTION_SHARE = 0.5  # of the height between top and bar


class SheetPage(Shown):
    """One sheet on the whole window. The pedal marks with `step` and takes with `choose`.

    A touch on a page too new to have been read calls `too_soon`: it was meant for the one before.
    """

    def __init__(
        self,
        sheet: Sheet,
        size: tuple[int, int],
        scale: Scale,
        more: str,
        clock: Callable[[], float],
        too_soon: Callable[[], None],
        practice: str = "",
    ) -> None:
        super().__init__(pos=(0, 0), size=size, size_hint=(None, None))
        self._clock = clock
        self._too_soon = too_soon
        self._since = clock()
        self.sheet = sheet
        self.scale = scale
        self.buttons: list[PaperButton | Target] = []
        self._more = more
        self._turner: Button | None = None  # in the foot
        self._practice = practice  # the word in the practice frame
        self._first = 0
        self._marked = -1
        self._notices: tuple[str, ...] = ()
        self.bench: BenchDrawing | None = None
        self._made: dict[tuple[object, ...], PaperButton] = {}  # in this drawing
        self._before: dict[tuple[object, ...], PaperButton] = {}  # in the last drawing
        self._draw()

    def turn(self, sheet: Sheet) -> None:
        """Show another sheet; redraw only if it looks different."""
        same = sheet.visible() == self.sheet.visible()
        other = sheet.bench is not None and not sheet.same_bench(self.sheet)
        moved = (sheet.title, sheet.columns) != (self.sheet.title, self.sheet.columns)
        self.sheet = sheet
        if same and self.bench is not None and sheet.bench is not None:
            self.bench.show(sheet.bench)
        moved = moved or other
        if not same:
            self._first = 0 if moved else self._first
            self._marked = -1 if moved else self._marked
            self._since = self._clock() if moved else self._since
            self._draw()

    def step(self) -> None:
        """Move the pedal's mark to the next choice."""
        if self.buttons:
            self._marked = (self._marked + 1) % len(self.buttons)
            self._mark()

    def choose(self) -> bool:
        """Take the marked choice; return False if nothing is marked."""
        if not 0 <= self._marked < len(self.buttons):
            return False
        self.buttons[self._marked].on_press()
        return True

    def notice(self, notices: tuple[str, ...]) -> None:
        """Put notices below the title, or remove them.

        On a page for typing, keys do not move for them.
        """
        if notices == self._notices:
            return
        self._notices = notices
        before = [button.box for button in self.buttons]
        self._draw()
        if [button.box for button in self.buttons] != before:
            self._since = self._clock()

    def typed(self, text: str) -> bool:
        """Take a key from a keyboard if a button has that label."""
        for button in self.sheet.choices:
            if sheet_parts.key(button.label) == sheet_parts.key(text):
                button.act()
                return True
        return False

    def on_touch_down(self, touch: Any) -> bool:
        """Give touches to the buttons only, never to anything behind the page."""
        if self._clock() - self._since < YOUNG_SECONDS:
            self._too_soon()
        else:
            super().on_touch_down(touch)
        return True

    # -- drawing ----------------------------------------------------------

    def _draw(self) -> None:
        self.clear_widgets()
        self.canvas.before.clear()
        self.buttons, self._turner = [], None
        self._before, self._made = self._made, {}
        whole = self._within()
        ground(PAPER)
        foot, rest = whole.from_bottom(max(whole.h * BAR_SHARE, self.scale.target))
        body = rest.inset(self.scale.margin)
        keys = None
        if self.sheet.bench is None:
            body = self._cautions(body)
            if sheet_parts.key_beside_words(self.sheet, self.scale):
                keys, body = body.from_right(self.scale.mm(sheet_parts.BESIDE_MM), self.gap)
            body = sheet_parts.heading(self, self.sheet, self._notices, body, self.scale, self.gap)
        if self.sheet.picture is not None:
            self.add_widget(picture_widget(body, self.scale, self.sheet.picture))
        self._choices(keys or body)
        self._foot(foot)
        self._put_bench(body)
        if self.sheet.practice:
            self.add_widget(PracticeFrame(Box(0, 0, *self.size), self.scale, self._practice))
        if self._marked >= len(self.buttons):
            self._marked = -1
        self._mark()

    def _put_bench(self, body: Box) -> None:
        """Put the bench below the title; the pedal reaches the bar before the bench."""
        picture, touch, self.bench = self.sheet.bench, self.sheet.touch, None
        if picture is not None and touch is not None:
            self.bench = BenchDrawing(body, self.scale, picture, self._notices, self._touch)
            self.add_widget(self.bench)
            bar = [b for b in self.buttons if isinstance(b, PaperButton) and b.large]
            rest = [b for b in self.buttons if b not in bar]
            self.buttons = [*bar, *self.bench.targets, *rest]

    def _touch(self, thing: str) -> None:
        if self.sheet.touch is not None:
            self.sheet.touch(thing)

    def _within(self) -> Box:
        """Return the whole window, or what the practice frame leaves of it."""
        whole = Box(0, 0, *self.size)
        return within_frame(whole, self.scale) if self.sheet.practice else whole

    def _mark(self) -> None:
        """Mark the pedal's choice with a thick inner frame; nothing is marked at first."""
        self.canvas.after.clear()
        if self._marked < 0:
            return
        button = self.buttons[self._marked]
        with self.canvas.after:
            colour = PAPER if button.filled else INK
            frame(button.box.inset(self.scale.mm(1.2)), colour, self.scale.mm(1.2))

    def _cautions(self, body: Box) -> Box:
        """Put cautions above everything else; return what is left below them."""
        if not self.sheet.cautions:
            return body
        room = body.from_top(body.h * CAUTION_SHARE)[0]
        caution_box = CautionBox(room, self.scale, self.sheet.cautions)
        self.add_widget(caution_box)
        return body.from_top(caution_box.box.h, self.scale.mm(3.0))[1]

    def _choices(self, body: Box) -> None:
        """Put cards above and plain buttons in a row at the foot, if all fit that way."""
        choices = self.sheet.choices
        cards = tuple(button for button in choices if button.card is not None)
        plain = tuple(button for button in choices if button.card is None)
        scale, gap, most = self.scale, self.gap, self.sheet.columns
        across, rows = sheet_parts.below_cards(len(plain), len(cards), body, scale, gap, most)
        if not rows:
            self._spread(choices, body)
            return
        foot, rest = body.from_bottom(rows * (scale.target + gap) - gap, gap)
        self._spread(cards, rest)
        self._place(foot.grid(across, rows, gap), plain)

    def _spread(self, choices: tuple[Button, ...], body: Box) -> None:
        """Set choices into a grid; if not all fit, a key turns to the next ones.

        It is at the right of the bar, or in the last place if something else is there.
        """
        if not choices:
            return
        if choices[0].card is not None:
            most = self.sheet.columns
            columns, rows = sheet_parts.card_grid(len(choices), body, self.scale, self.gap, most)
        else:
            two_lines = any(button.line for button in choices)
            labels, wanted = [button.label for button in choices], self.sheet.columns
            columns, rows = sheet_parts.grid(labels, body, wanted, self.scale, self.gap, two_lines)
        visible = choices[self._first : self._first + columns * rows]
        if len(choices) > columns * rows:
            visible = visible if self.sheet.right is None else visible[: columns * rows - 1]
            next_first = (self._first + len(visible)) % len(choices)
            more = Button(self._more, lambda: self._turn_to(next_first))
            self._turner = more if self.sheet.right is None else None
            visible = visible if self._turner else (*visible, more)
        high = min(body.h, rows * self.scale.mm(MOST_BUTTON_MM))
        area, _ = body.from_top(high)
        self._place(area.grid(columns, rows, self.gap), visible)

    def _place(self, boxes: tuple[Box, ...], buttons: tuple[Button, ...]) -> None:
        """Put buttons into their boxes, with labels of one size."""
        placed = [
            (words_of(box, self.scale, b.card) if b.card else box, b.label,
             line_of(box, self.scale, b))
            for box, b in zip(boxes, buttons, strict=False)
        ]  # fmt: skip
        pad = any(len(button.label) == 1 for button in buttons)
        if pad:
            boxes = sheet_parts.widen_words(boxes, [b.label for b in buttons], self.gap)
        most = inf if pad else alike(self.scale, placed)
        for box, button in zip(boxes, buttons, strict=False):
            if button.card is None:
                self._put(box, button, most=most)
            else:
                self._add(JobCard(box, self.scale, button, button.card, most))

    @property
    def gap(self) -> float:
        """The gap between buttons, px."""
        return self.scale.mm(1.4 if self.sheet.columns else 2.0)

    def _turn_to(self, first: int) -> None:
        self._first = first
        self._marked = -1
        self._since = self._clock()
        self._draw()

    def _foot(self, foot: Box) -> None:
        right = self.sheet.right or self._turner
        beside = (self.sheet.left, right)
        needs = sheet_parts.side_needs(beside, self.scale)
        side = max(self.scale.target * 1.25, foot.w * SIDE_SHARE, needs)
        if self.sheet.left is not None:
            box, foot = foot.from_left(side, self.scale.gap)
            self._put_side(box, self.sheet.left)
        if right is not None:
            box, foot = foot.from_right(side, self.scale.gap)
            self._put_side(box, right)
        if self.sheet.main is not None:
            self._put(foot, self.sheet.main, filled=True)

    def _put_side(self, box: Box, button: Button) -> None:
        """Put a button beside the bar, with an inner frame as on the work screen."""
        self._put(box, button, filled=True, beside=True)
        after = self.buttons[-1].canvas.after
        after.clear()
        with after:
            frame(box.inset(self.scale.mm(SIDE_FRAME_MM)), PAPER, self.scale.mm(SIDE_LINE_MM))

    def _put(
        self,
        box: Box,
        button: Button,
        filled: bool = False,
        beside: bool = False,
        most: float = inf,
    ) -> None:
        """Put a button, reusing an unchanged one of the last drawing."""
        key = (box, button.label, button.line, filled, beside, most)
        widget = self._before.get(key)
        if widget is None:
            large = filled and not beside
            widget = PaperButton(
                box, self.scale, button.label, button.act, button.line,
                filled=filled, large=large, beside=beside, most=most,
            )  # fmt: skip
        widget.on_press = button.act
        self._made[key] = widget
        self._add(widget)

    def _add(self, widget: PaperButton) -> None:
        self.buttons.append(widget)
        self.add_widget(widget)
