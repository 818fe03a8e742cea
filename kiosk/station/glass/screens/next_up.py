"""The garment to fetch next: on a dark screen in a frame of its own, on a light one as a line."""

from __future__ import annotations

from dataclasses import replace

from kiosk.run.show import Upcoming, View
from kiosk.station.glass.boxes import Box
from kiosk.station.glass.screens.page import Page
from kiosk.station.glass.screens.plates import draw_number
from kiosk.station.glass.type import CAPITAL, Style, breadth, height
from kiosk.station.glass.widgets.paint import fill

SMALLER = 0.85  # than the number under the press, so that the two are not taken for each other


def next_height(page: Page, pull: bool = True) -> float:
    """Return the height of the next garment on a dark screen, px; `pull` with its pieces."""
    scale = page.scale
    row = height(1, scale.big * SMALLER / CAPITAL) + scale.mm(1.2)
    return row + (height(1, scale.line / CAPITAL) + scale.mm(1.0) if pull else 0.0)


def draw_next(page: Page, view: View, box: Box) -> None:
    """Draw what comes next in `box`: number and size in one row, what to pull below them."""
    following, scale = view.upcoming, page.scale
    if following is None:
        return
    with page.root.canvas:
        fill(Box(box.x, box.top - scale.mm(0.4), box.w, scale.mm(0.4)), page.shade.second)
    row = Box(box.x, box.y, box.w, box.h - scale.mm(1.2))
    if box.h >= next_height(page) - 1:
        pull, row = row.from_bottom(height(1, scale.line / CAPITAL) + 1, scale.mm(0.6))
        page.text(page.say(following.pull), pull, Style(scale.label, scale.line, rows=2))
    label = page.word("next")
    wide = breadth(label, True) * scale.label / CAPITAL + 2
    style = Style(scale.label, scale.label, bold=True, rows=1)
    word, rest = row.from_left(wide, scale.mm(2.5))
    page.text(label, word, style, page.shade.second)
    number = replace(view, number=following.number, set=following.set)
    rest = draw_number(page, number, rest, scale.big * SMALLER, shirted=True)
    if following.sized is not None:
        sized = Style(scale.label, scale.big * SMALLER, bold=True, rows=2)
        page.text(page.say(following.sized), rest, sized)


def next_lines(page: Page, following: Upcoming) -> tuple[str, ...]:
    """Return what comes next as one sentence, then in fewer words."""
    number = f"{following.number} {following.set}".strip()
    pull = following.pull
    if following.sized is None:
        return (page.word("next_line_bare", number=number, pull=pull),)
    sized = following.sized
    return (
        page.word("next_line", number=number, sized=sized, pull=pull),
        page.word("next_line_short", number=number, sized=sized),
    )
