"""The screens with a question: a size or number, closed or not, what the press shows."""

from collections.abc import Callable
from dataclasses import dataclass, field
from math import ceil
from typing import Any

from kiosk.catalog.base import Message
from kiosk.run.show import ChoiceView, View
from kiosk.run.state import AnswerQuestion, ReadSetting, SayClosed
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.screens.dark import seconds
from kiosk.station.glass.screens.page import WorkPage
from kiosk.station.glass.theme import INK, PAPER, WHITE
from kiosk.station.glass.type import CAPITAL, Style, TextBlock, column, fit, height
from kiosk.station.glass.widgets.buttons import GAP_MM, NumberPad, PaperButton, arrange_pad
from kiosk.station.glass.widgets.marks import Digits, Numeral
from kiosk.station.glass.widgets.paint import Drawn, fill, frame

OnChoose = Callable[[], None]


class ChoiceButton(Drawn):
    """A size or number to choose, with a foot bar if it reads as another one upside down."""

    def __init__(self, box: Box, scale: Scale, text: str, on_press: OnChoose) -> None:
        super().__init__(box)
        self.scale = scale
        self.text = text
        self.on_press = on_press
        self.fill_in(False)

    def fill_in(self, filled: bool) -> None:
        """Turn to ink as the pedal's current choice, or back to paper."""
        self.clear_widgets()
        self.canvas.clear()
        with self.canvas:
            fill(self.box, INK if filled else WHITE)
            frame(self.box, INK, self.scale.mm(0.5))
        inner = self.box.inset(self.scale.mm(2), self.scale.mm(1.5))
        capital = min(self.scale.big * 1.4, inner.h * 0.8)
        colour = PAPER if filled else INK
        self.add_widget(Numeral(inner, self.text, colour, capital, "center"))

    def on_touch_down(self, touch: Any) -> bool:
        """Choose at once."""
        if not self.box.holds(*touch.pos):
            return False
        self.on_press()
        return True


@dataclass
class Choices:
    """The choices on the screen and the one the pedal is at (-1: none).

    Once a `pad` has all its figures, the pedal moves to the key that enters them.
    """

    buttons: list[Any] = field(default_factory=list)
    at: int = -1
    pad: NumberPad | None = None
    enter: int = -1

    def step(self) -> None:
        """Go on to the next choice; after the last comes the first."""
        if self.buttons:
            self._go((self.at + 1) % len(self.buttons))

    def _go(self, at: int) -> None:
        if self.at >= 0:
            self.buttons[self.at].fill_in(False)
        self.mark(at)

    def mark(self, at: int) -> None:
        """Put the pedal at a choice, such as the one it was at before the page was redrawn."""
        if 0 <= at < len(self.buttons):
            self.at = at
            self.buttons[at].fill_in(True)

    def choose(self) -> bool:
        """Take the pedal's current choice; return False if there is none."""
        if self.at < 0:
            return False
        self.buttons[self.at].on_press()
        if self.pad is not None and self.pad.full:
            self._go(self.enter)
        return True

    def type_by(self, pad: NumberPad) -> None:
        """Let the pedal step over the keys of a pad too."""
        self.pad = pad
        self.buttons.extend(pad.buttons)
        self.enter = len(self.buttons) - 1


def draw_ask(page: WorkPage, view: View, content: Box, choices: Choices) -> None:
    """Draw a question with its choices; nothing marks the right one."""
    ask = view.ask
    if ask is None:
        return
    gap = page.scale.mm(2.5)
    count = len(ask.choices)
    columns = _columns(count, content, page.scale.portrait)
    rows = -(-count // columns)
    least = rows * page.scale.target * 1.05 + (rows - 1) * gap
    foot, room = _words(page, ask, content, least)
    tall = min(room.h, rows * page.scale.mm(40) + (rows - 1) * gap)
    below = room.top - tall - page.scale.mm(FOOT_GAP_MM) - foot.h
    page.text(page.line(ask.foot), foot._replace(y=below), _foot_style(page), page.shade.second)
    boxes = room.from_top(tall)[0].grid(columns, rows, gap)
    for box, choice in zip(boxes, ask.choices, strict=False):
        button = _choice(page, box, choice)
        page.add(button)
        choices.buttons.append(button)


def _columns(count: int, room: Box, portrait: bool) -> int:
    if count <= 4:
        return 2 if portrait else count
    return 2 if portrait and room.h > room.w * 0.7 else -(-count // 2)


def _choice(page: WorkPage, box: Box, choice: str) -> ChoiceButton:
    return ChoiceButton(box, page.scale, choice, lambda: page.act(AnswerQuestion(choice)))


FOOT_GAP_MM = 2.0  # between the choices and the words below them


def _foot_style(page: WorkPage) -> Style:
    return Style(page.scale.label, page.scale.line)


def _words(page: WorkPage, ask: ChoiceView, content: Box, least: float) -> tuple[Box, Box]:
    """Draw title and line; return the foot's box and the room between, at least `least` high."""
    scale, shade = page.scale, page.shade
    title = TextBlock(
        page.say(ask.title), Style(scale.line * 1.2, scale.big * 1.1, True), scale.mm(1)
    )
    line = TextBlock(page.line(ask.line), Style(scale.line, scale.line * 1.2))
    two_rows = height(2, scale.line / CAPITAL)
    high = fit(page.line(ask.foot), _foot_style(page), content.w, two_rows).height
    below, rest = content.from_bottom(high, scale.mm(FOOT_GAP_MM))
    most = max(0.0, min(content.h * 0.45, rest.h - least - scale.mm(2.5)))
    fitted, _ = column([title, line], content.w, most)
    top, rest = rest.from_top(sum(f.height for f in fitted) + scale.mm(1), scale.mm(2.5))
    page.column(top, [title, line], [shade.text, shade.text])
    return below, rest


def draw_closed(page: WorkPage, view: View, content: Box, choices: Choices) -> None:
    """Draw "was it closed?" with two answers and the running clock."""
    scale = page.scale
    title = TextBlock(page.say(view.move), Style(scale.big, scale.big * 1.3, True), scale.mm(1.5))
    lines = [
        TextBlock(page.line(x), Style(scale.line, scale.line * 1.2), scale.mm(0.5))
        for x in view.lines
    ]
    foot, rest = content.from_bottom(max(scale.target * 1.15, content.h * 0.26), scale.mm(3))
    if scale.portrait:
        time, words = rest.from_bottom(rest.h * 0.3, scale.mm(3))
    else:
        time, words = rest.from_right(rest.w * 0.24, scale.mm(4))
    page.column(words, [title, *lines], [page.shade.text] * (1 + len(lines)))
    if view.countdown is not None:
        _clock(page, view, time)
    answers = view.ask.answers if view.ask is not None else ()
    boxes = foot.grid(max(1, len(answers)), 1, scale.gap)
    for box, word, closed in zip(boxes, answers, (True, False), strict=False):
        button = _answer(page, box, page.say(word), closed)
        page.add(button)
        choices.buttons.append(button)


def _answer(page: WorkPage, box: Box, word: str, closed: bool) -> PaperButton:
    return PaperButton(box, page.scale, word, lambda: page.act(SayClosed(closed)), large=True)


def _clock(page: WorkPage, view: View, box: Box) -> None:
    assert view.countdown is not None  # checked by the caller
    cells = max(2, len(str(ceil(view.countdown.total))))
    digits = Digits(box, cells, page.shade.text, page.word("s"), page.scale.big * 3)
    digits.say(seconds(view.countdown, view.kind))
    page.add(digits)

    def tick(later: View) -> None:
        if later.countdown is not None:
            digits.say(seconds(later.countdown, later.kind))

    page.live.append(tick)


def draw_asked_number(page: WorkPage, view: View, content: Box) -> None:
    """Draw a pad to enter a number as read; nothing on the screen gives it away."""
    ask, scale = view.ask, page.scale
    if ask is None:
        return
    title = TextBlock(
        page.say(ask.title), Style(scale.line * 1.2, scale.big * 1.1, True), scale.mm(2)
    )
    line, foot = (_pad_line(page, each) for each in (ask.line, ask.foot))
    pad = _pad_beside(page, content, [title, line, foot])
    page.add(NumberPad(pad, scale, lambda text: page.act(AnswerQuestion(text)), _pad_words(page)))


def _pad_line(page: WorkPage, message: Message) -> TextBlock:
    return TextBlock(
        page.line(message), Style(page.scale.label, page.scale.line * 1.2), page.scale.mm(1)
    )


def _pad_words(page: WorkPage) -> tuple[str, str]:
    return page.words("page.erase"), page.word("enter")


def _pad_beside(page: WorkPage, content: Box, texts: list[TextBlock]) -> Box:
    """Draw a title, two lines and any further blocks; return the box for the pad."""
    scale = page.scale
    low = not scale.portrait and content.h < 5 * scale.target + scale.mm(8)
    pad, columns = (_setting_low if low else _setting_tall)(scale, content)
    for box, (start, end) in columns:
        blocks = texts[start:end]
        if blocks:
            page.column(box, blocks, [page.shade.text] * len(blocks))
    return pad


def draw_setting(page: WorkPage, ask: ChoiceView, content: Box, view: View) -> None:
    """Draw what to set the press to, and what to mind before reading it."""
    scale = page.scale
    title = TextBlock(
        page.say(ask.title), Style(scale.line * 1.2, scale.big * 1.6, True), scale.mm(3)
    )
    dials = len(view.lines)  # what else is set, by a dial or a wheel: as large as the temperature
    lines = [
        TextBlock(page.line(each), Style(scale.label, scale.line * 1.2, n < dials), scale.mm(1.5))
        for n, each in enumerate((*view.lines, ask.line, ask.foot))
    ]
    small = Style(scale.small, scale.label)
    warnings = [TextBlock(page.say(each), small, scale.mm(0.8)) for each in view.warnings]
    blocks = [title, *lines, *warnings]
    page.column(content, blocks, [page.shade.text] * len(blocks))


def draw_reading(page: WorkPage, ask: ChoiceView, content: Box, choices: Choices) -> None:
    """Draw a pad to enter what the press shows, also by pedal; nothing beside it to copy."""
    scale = page.scale
    title_message, line = ask.blind
    title = TextBlock(
        page.say(title_message), Style(scale.line * 1.2, scale.big * 1.2, True), scale.mm(2)
    )
    pad, enter = _pad_beside(page, content, [title, _pad_line(page, line)]), _pad_words(page)
    keys = NumberPad(pad, scale, lambda text: _enter(page, text), enter, unit=_unit(page))
    page.add(keys)
    choices.type_by(keys)


def _enter(page: WorkPage, text: str) -> None:
    page.act(ReadSetting(int(text)))


Columns = tuple[tuple[Box, tuple[int, int | None]], ...]


def _setting_tall(scale: Scale, content: Box) -> tuple[Box, Columns]:
    """Return the pad's box, with all words beside it or, in portrait, above it."""
    if scale.portrait:
        least = 4 * scale.target + scale.mm(3 * GAP_MM)
        pad, words = content.from_bottom(
            min(max(content.h * 0.6, least + scale.mm(1)), scale.mm(130)), scale.mm(3)
        )
    else:
        pad, words = content.from_right(max(content.w * 0.42, scale.mm(66)), scale.mm(5))
    return pad, ((words, (0, None)),)


def _setting_low(scale: Scale, content: Box) -> tuple[Box, Columns]:
    """Return the pad's box, keys in two rows: title above, lines below, warnings under its field.

    The title is made larger only if the two lines still keep their height.
    """
    keys_high, gap = 2 * scale.target + scale.mm(GAP_MM + 0.2), scale.mm(1.0)
    lines_high = 2 * height(1, scale.label / CAPITAL) + scale.mm(1.0)
    most = height(1, scale.line * 1.4 / CAPITAL)
    least = height(1, scale.line / CAPITAL)
    tall = min(most, max(least, content.h - keys_high - lines_high - 2 * gap))
    title, rest = content.from_top(tall, gap)
    pad, lines_below = rest.from_top(keys_high, gap)
    field, _, _ = arrange_pad(pad, scale, scale.mm(GAP_MM))
    below_field = Box(field.x, pad.y, field.w, max(0.0, field.y - pad.y - scale.mm(1.5)))
    return pad, ((title, (0, 1)), (lines_below, (1, 3)), (below_field, (3, None)))


def _unit(page: WorkPage) -> str:
    return f"°{page.plan.unit.value}" if page.plan is not None else "°"
