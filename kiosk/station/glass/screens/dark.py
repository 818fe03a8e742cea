"""The dark screen: the press's turn. The time is the largest thing on it."""

from collections.abc import Callable
from dataclasses import replace
from math import ceil, floor

from kiosk.run.facts import ScreenKind
from kiosk.run.show import Countdown, View
from kiosk.station.glass.boxes import Box
from kiosk.station.glass.screens import plates
from kiosk.station.glass.screens.dark_words import dark_layout, draw_words, number_width
from kiosk.station.glass.screens.page import WorkPage
from kiosk.station.glass.type import CAPITAL, NARROWEST, Style, breadth, height
from kiosk.station.glass.widgets.heading import Progress
from kiosk.station.glass.widgets.marks import Digits
from kiosk.station.glass.widgets.ribbon import chip_height

MOVE_KEEPS = 0.86  # of its least height, before it takes a second row from the time
Figure = Callable[[WorkPage, View, Box], None]


def seconds(countdown: Countdown, kind: ScreenKind) -> str:
    """Return the figures of a time: whole seconds left, past (+) or counted up."""
    if kind is ScreenKind.OVER:
        return f"+{floor(max(0.0, -countdown.left))}"
    if kind is ScreenKind.UNASKED:
        return str(floor(max(0.0, -countdown.left)))
    return str(ceil(max(0.0, countdown.left)))


def draw_dark(page: WorkPage, view: View, content: Box, figure: Figure | None) -> None:
    """Draw a dark screen; `figure`, if given, replaces the words beside the time."""
    scale = page.scale
    if view.kind is ScreenKind.UNASKED:  # an unasked closing has no right sheet
        view = replace(view, sheet_word=None)
    plates.draw_sheet(page, view, content)
    if plates.has_chips(view):
        row, content = content.from_bottom(chip_height(scale), scale.mm(2.2))
        plates.draw_chips(page, view, row)
    if view.countdown is not None and view.kind is not ScreenKind.UNASKED:
        bar, content = content.from_bottom(scale.mm(3.4), scale.mm(2.0))
        _progress(page, view, bar)
    rest, has_number = _head(page, view, content)
    unnumbered = replace(view, number="") if has_number else view
    layout = dark_layout(page, unnumbered, rest)
    _time(page, view, layout.time)
    if figure is not None:
        figure(page, view, layout.words)
    else:
        draw_words(page, unnumbered, layout)


def _head(page: WorkPage, view: View, content: Box) -> tuple[Box, bool]:
    """Draw the move beside the sheet line; return the rest, and whether the number is drawn too."""
    scale = page.scale
    wide, high = plates.plate_size(page)
    plate_width = wide + scale.mm(4.0) if view.sheet_word is not None else 0.0
    top, rest = content.from_top(high, scale.mm(2.2))
    move, style = page.say(view.move), Style(scale.big, scale.big, bold=True, rows=2)
    one_row = Style(scale.big, scale.big, bold=True, rows=1)
    needs = breadth(move, True) * scale.big / CAPITAL
    if scale.portrait:
        number, _ = top.from_left(top.w - plate_width)
        plates.draw_number(page, view, number, min(scale.big * 1.1, high / 1.2), shirted=True)
        rows = 1 if needs * NARROWEST <= content.w else 2
        top, rest = rest.from_top(height(rows, scale.big / CAPITAL), scale.mm(2.0))
        page.text(move, top, style, page.shade.accent)
        return rest, True
    if needs * NARROWEST * MOVE_KEEPS > content.w - plate_width:  # two rows
        top, rest = content.from_top(height(2, scale.big / CAPITAL), scale.mm(2.2))
        one_row = style
    place = Box(top.x, top.y, top.w - plate_width, top.h)
    page.text(move, place, one_row, page.shade.accent)
    return rest, _number_beside_move(page, view, place, needs)


def _number_beside_move(page: WorkPage, view: View, place: Box, plate_width: float) -> bool:
    """Over time, draw the number in the move's row if it fits: the lines need the room below."""
    scale = page.scale
    wide = number_width(page, view)
    late = view.kind in (ScreenKind.OVER, ScreenKind.UNASKED)
    if not late or not view.number or plate_width + wide + scale.mm(4.0) > place.w:
        return False
    box = place.from_right(wide)[0].from_top(plates.peel_height(page))[0]
    plates.draw_number(page, view, box, scale.big * 1.05, shirted=True)
    return True


def _time(page: WorkPage, view: View, box: Box) -> None:
    """Draw the time in fixed cells, as many as the whole time needs; dim until the clock starts."""
    if view.countdown is None:
        return
    text = seconds(view.countdown, view.kind)
    total = len(str(ceil(view.countdown.total)))
    cells = max(len(text), total if view.kind is ScreenKind.HEAT else 2)
    colour = page.shade.second if view.countdown.counting_in > 0 else page.shade.accent
    digits = Digits(box, cells, colour, page.word("s"), page.scale.big * 6)
    page.add(digits)
    digits.say(text)
    page.live.append(lambda later: _tick(digits, later))


def _tick(digits: Digits, later: View) -> None:
    if later.countdown is not None:
        digits.say(seconds(later.countdown, later.kind))


def _progress(page: WorkPage, view: View, box: Box) -> None:
    bar = Progress(box, page.shade.accent, page.scale.mm(0.4))
    page.add(bar)

    def show(later: View) -> None:
        time = later.countdown
        if time is not None and time.total > 0:
            bar.show(1 - ceil(max(0.0, time.left)) / time.total if time.left > 0 else 1.0)

    show(view)
    page.live.append(show)
