"""The dark screen: the press's turn. The time is the largest thing on it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import ceil, floor

from kiosk.run.views import Countdown, Kind, View
from kiosk.station.boxes import Box
from kiosk.station.screens.chip_row import chips_wanted, draw_chips
from kiosk.station.screens.page import Page
from kiosk.station.screens.plates import (
    draw_number,
    draw_peel,
    draw_sheet,
    peel_height,
    peel_width,
    plate_size,
)
from kiosk.station.type import CAPITAL, Block, Style, breadth, column, height
from kiosk.station.widgets.chips import chip_height
from kiosk.station.widgets.digits import Digits
from kiosk.station.widgets.progress import Progress
from kiosk.station.widgets.stack import Stack, stack_size

TIME_SHARES = (0.56, 0.5, 0.45, 0.4, 0.34, 0.28)
Figure = Callable[[Page, View, Box], None]


@dataclass(frozen=True, slots=True)
class Beside:
    """What stands beside the time: how it is divided, and whether the cross-section has room."""

    time: Box
    words: Box
    one_row: bool
    stack: Box | None
    lines: tuple[str, ...]


def seconds(countdown: Countdown, kind: Kind) -> str:
    """Return the figures of a time: whole seconds left, past (+) or counted up."""
    if kind is Kind.OVER:
        return f"+{floor(max(0.0, -countdown.left))}"
    if kind is Kind.UNASKED:
        return str(floor(max(0.0, -countdown.left)))
    return str(ceil(max(0.0, countdown.left)))


def draw_dark(page: Page, view: View, content: Box, figure: Figure | None) -> None:
    """Draw a dark screen; `figure` takes the place of the words beside the time, if given."""
    scale = page.scale
    view = _with_its_sheet(view)
    draw_sheet(page, view, content)
    if chips_wanted(view):
        row, content = content.from_bottom(chip_height(scale), scale.mm(2.2))
        draw_chips(page, view, row)
    if view.countdown is not None and view.kind is not Kind.UNASKED:
        bar, content = content.from_bottom(scale.mm(3.4), scale.mm(2.0))
        _progress(page, view, bar)
    rest = _head(page, view, content)
    beside = _upright(page, view, rest) if scale.portrait else _wide(page, view, rest)
    _time(page, view, beside.time)
    if figure is not None:
        figure(page, view, beside.words)
        return
    _words(page, view, beside)


def _with_its_sheet(view: View) -> View:
    """Heat that nobody asked for has no sheet to be right about."""
    return replace(view, sheet_word=None) if view.kind is Kind.UNASKED else view


def _head(page: Page, view: View, content: Box) -> Box:
    """The move at the upper left, beside the sheet line; returns what is below."""
    scale = page.scale
    wide, high = plate_size(page)
    taken = wide + scale.mm(4.0) if view.sheet_word is not None else 0.0
    top, rest = content.from_top(high, scale.mm(2.2))
    move, style = page.say(view.move), Style(scale.big, scale.big, bold=True, rows=2)
    needs = breadth(move, True) * scale.big / CAPITAL
    if scale.portrait:
        draw_number(page, view, top, min(scale.big * 1.1, high / 1.2), shirted=True)
        rows = 1 if needs <= content.w else 2
        top, rest = rest.from_top(height(rows, scale.big / CAPITAL), scale.mm(2.0))
        page.text(move, top, style, page.shade.accent)
        return rest
    if needs > content.w - taken:  # two rows
        top, rest = content.from_top(height(2, scale.big / CAPITAL), scale.mm(2.2))
    page.text(move, Box(top.x, top.y, top.w - taken, top.h), style, page.shade.accent)
    return rest


def _wide(page: Page, view: View, box: Box) -> Beside:
    """Time left, as large as it leaves room for the words beside it and the cross-section."""
    found = [_beside(page, view, box, share) for share in TIME_SHARES]
    whole = [each for each in found if each is not None]
    best = max(whole, key=lambda b: (len(b.lines), b.stack is not None), default=None)
    if best is not None:
        return best
    time, words = box.from_left(box.w * TIME_SHARES[-1], page.scale.mm(5.0))
    return Beside(time, words, True, None, _lines(page, view)[:2])


def _beside(page: Page, view: View, box: Box, share: float) -> Beside | None:
    scale = page.scale
    time, words = box.from_left(box.w * share, scale.mm(5.0))
    one_row = _number_width(page, view) + peel_width(page, view) + scale.mm(5.0) <= words.w
    top = peel_height(page) + scale.mm(1.5)
    rows = 1 if one_row or view.peel is None or not view.number else 2
    free = words.h - rows * top
    lines = _lines(page, view)
    for count in range(len(lines), min(len(lines), 1) - 1, -1):
        fitted, squeezed = column(_blocks(page, lines[:count]), words.w, free)
        if squeezed:
            continue
        left = free - sum(f.height for f in fitted) - count * scale.mm(0.8)
        return Beside(time, words, one_row, _stack(page, view, words, left), lines[:count])
    return None


def _stack(page: Page, view: View, words: Box, free: float) -> Box | None:
    if not view.stack:
        return None
    wide, tall = stack_size(view.stack, page.scale, page.say)
    if tall > free or wide > words.w:
        return None
    return Box(words.x, words.y, wide, tall)


def _upright(page: Page, view: View, box: Box) -> Beside:
    """Portrait: time above, words below it."""
    scale, lines = page.scale, _lines(page, view)
    fitted, _ = column(_blocks(page, lines, grow=False), box.w, 1e6)
    peel = peel_height(page) + scale.mm(1.5) if view.peel is not None else 0.0
    needs = sum(f.height for f in fitted) + len(lines) * scale.mm(0.8) + peel
    words, time = box.from_bottom(min(max(needs, box.h * 0.36), box.h * 0.7), scale.mm(2.0))
    stack = None
    if view.stack:
        wide, tall = stack_size(view.stack, scale, page.say)
        if tall <= time.h and wide <= time.w * 0.45:
            stack, time = time.from_right(wide, scale.mm(3.0))
    return Beside(time, words, True, stack, lines)


def _lines(page: Page, view: View) -> tuple[str, ...]:
    """The lines beside the time; how it is peeled comes after how it is opened."""
    lines = [page.say(line) for line in view.lines]
    if view.peel_line is not None:
        lines.insert(1, page.say(view.peel_line))
    return tuple(lines)


def _blocks(page: Page, lines: tuple[str, ...], grow: bool = True) -> list[Block]:
    scale = page.scale
    style = Style(scale.line, scale.line * (1.35 if grow else 1.0))
    return [Block(line, style, scale.mm(0.8)) for line in lines]


def _number_width(page: Page, view: View) -> float:
    if not view.number:
        return 0.0
    capital = page.scale.big * 1.05
    return breadth(view.number, True) * capital / CAPITAL + peel_height(page) + page.scale.mm(4.0)


def _words(page: Page, view: View, beside: Beside) -> None:
    scale, rest = page.scale, beside.words
    high = peel_height(page)
    if view.number and not scale.portrait:
        row, below = rest.from_top(high, scale.mm(1.5))
        after = draw_number(page, view, row, min(scale.big * 1.05, high / 1.19), shirted=True)
        if beside.one_row and view.peel is not None:
            draw_peel(page, view, Box(after.x + scale.mm(2), after.y, after.w - scale.mm(2), high), False)
        rest = below
    if view.peel is not None and (scale.portrait or not beside.one_row or not view.number):
        row, rest = rest.from_top(high, scale.mm(1.5))
        draw_peel(page, view, row, line=False)
    if beside.stack is not None:
        page.add(Stack(beside.stack, scale, view.stack, page.say, page.shade))
        if not scale.portrait:
            rest = Box(rest.x, beside.stack.top + scale.mm(1), rest.w, rest.top - beside.stack.top - scale.mm(1))
    blocks = _blocks(page, beside.lines)
    colours = [page.shade.text if i == 0 else page.shade.second for i in range(len(blocks))]
    shown = page.column(rest, blocks, colours)
    index = {line: i for i, line in enumerate(_lines(page, view))}
    for line, text in zip(beside.lines, shown, strict=True):
        page.live.append(_say(page, text, index[line]))


def _say(page: Page, text: object, index: int) -> Callable[[View], None]:
    return lambda later: text.say(_lines(page, later)[index])  # type: ignore[attr-defined]


def _time(page: Page, view: View, box: Box) -> None:
    """Figures in fixed places, as many as the whole time needs; dimmer until the clock starts."""
    if view.countdown is None:
        return
    text = seconds(view.countdown, view.kind)
    total = len(str(ceil(view.countdown.total)))
    cells = max(len(text), total if view.kind is Kind.HEAT else 2)
    colour = page.shade.second if view.countdown.counting_in > 0 else page.shade.accent
    digits = Digits(box, cells, colour, page.word("s"), page.scale.big * 6)
    page.add(digits)
    digits.say(text)
    page.live.append(lambda later: _tick(digits, later))


def _tick(digits: Digits, later: View) -> None:
    if later.countdown is not None:
        digits.say(seconds(later.countdown, later.kind))


def _progress(page: Page, view: View, box: Box) -> None:
    bar = Progress(box, page.shade.accent, page.scale.mm(0.4))
    page.add(bar)

    def show(later: View) -> None:
        time = later.countdown
        if time is not None and time.total > 0:
            bar.show(1 - ceil(max(0.0, time.left)) / time.total if time.left > 0 else 1.0)

    show(view)
    page.live.append(show)

