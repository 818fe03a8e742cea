"""The light screen: number and wearer, the move and its lines, what the hands look at."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from kiosk.run.views import View
from kiosk.station.boxes import Box
from kiosk.station.screens.chip_row import chips_wanted, draw_chips
from kiosk.station.screens.page import Page
from kiosk.station.screens.plates import (
    draw_number,
    draw_peel,
    draw_sheet,
    draw_wearer,
    number_height,
    peel_height,
    plate_size,
)
from kiosk.station.theme import INK, PAPER, Colour
from kiosk.station.type import CAPITAL, Block, Style, breadth, column
from kiosk.station.widgets.chips import chip_height
from kiosk.station.widgets.paint import fill

NUMBER_SIZES = (2.3, 2.0, 1.75, 1.5, 1.3, 1.15)  # times the least height
Figure = Callable[[Page, View, Box], None]


@dataclass(frozen=True, slots=True)
class Parts:
    """The boxes of a light screen; the wearer stands in what the number leaves of its box."""

    number: Box
    capital: float
    text: Box
    side: Box


def draw_light(page: Page, view: View, content: Box, figure: Figure) -> None:
    """Draw a light screen; `figure` draws the right column below sheet line and peel mark."""
    draw_sheet(page, view, content)
    blocks, colours = words_of(page, view)
    cut = _portrait if page.scale.portrait else _landscape
    parts = cut(page, view, content, blocks)
    if view.number:
        beside = draw_number(page, view, parts.number, parts.capital)
        _wearer(page, view, parts, beside)
    page.column(parts.text, blocks, colours)
    side = parts.side
    if view.peel is not None:
        row, side = side.from_top(peel_height(page), page.scale.mm(1.5))
        draw_peel(page, view, row)
    figure(page, view, side)


def words_of(page: Page, view: View) -> tuple[list[Block], list[Colour]]:
    """Return the move and its lines as blocks, with their colours."""
    scale, shade = page.scale, page.shade
    move = Style(scale.big, scale.big * 1.45, bold=True)
    blocks, colours = [Block(page.say(view.move), move, scale.mm(1.6))], [shade.text]
    lines = [page.say(line) for line in view.lines]
    if view.peel is None and view.peel_line is not None:
        lines.append(page.say(view.peel_line))
    for line in lines:
        blocks.append(Block(line, Style(scale.line, scale.line * 1.35), scale.mm(0.6)))
        colours.append(shade.text if len(colours) == 1 else shade.second)
    return blocks, colours


def _landscape(page: Page, view: View, content: Box, blocks: list[Block]) -> Parts:
    """Words left, figure right with the chips below it."""
    scale = page.scale
    wide, high = plate_size(page)
    side, left = content.from_right(max(wide, content.w * 0.38), scale.mm(5.0))
    if view.sheet_word is not None:
        _, side = side.from_top(high, scale.mm(2.0))
    if chips_wanted(view):
        row, side = side.from_bottom(chip_height(scale), scale.mm(2.0))
        draw_chips(page, view, row)
    if not view.number:
        return Parts(left, 0.0, left, side)
    for size in NUMBER_SIZES:
        number, text = left.from_top(number_height(scale.big * size), scale.mm(2.2))
        if not column(blocks, text.w, text.h)[1]:
            break
    return Parts(number, scale.big * size, text, side)


def _portrait(page: Page, view: View, content: Box, blocks: list[Block]) -> Parts:
    """Drawing above, move below; number and wearer stand beside the drawing."""
    scale = page.scale
    wide, high = plate_size(page)
    if chips_wanted(view):
        row, content = content.from_bottom(chip_height(scale), scale.mm(2.0))
        draw_chips(page, view, row)
    least = _least_height(blocks, content.w)
    if not view.number:
        text, side = content.from_top(min(least * 1.25, content.h * 0.62), scale.mm(4.0))
        return Parts(text, 0.0, text, side)
    tall = min(max(least, content.h * 0.42), content.h - high * 2)
    text, upper = content.from_bottom(tall, scale.mm(3.0))
    side, left = upper.from_right(wide, scale.mm(3.0))
    if view.sheet_word is not None:
        _, side = side.from_top(high, scale.mm(2.0))
    ems = breadth(view.number, True) / CAPITAL
    return Parts(left, min(scale.big * 2.6, left.w / ems), text, side)


def _least_height(blocks: list[Block], width: float) -> float:
    """The height that blocks take at their least sizes."""
    small = [replace(b, style=replace(b.style, most=b.style.least)) for b in blocks]
    fitted, _ = column(small, width, 1e6)
    return sum(f.height for f in fitted) + sum(b.gap for b in blocks)


def _wearer(page: Page, view: View, parts: Parts, beside: Box) -> None:
    """Name, size and panel stand beside the number, in portrait below it."""
    scale = page.scale
    if scale.portrait:
        _, rest = parts.number.from_top(number_height(parts.capital), scale.mm(1.5))
        draw_wearer(page, view, rest.from_top(min(rest.h, scale.mm(24)))[0])
        return
    draw_wearer(page, view, beside)


def draw_open_first(page: Page, view: View, content: Box) -> None:
    """Draw the page after a stop in heat: a dark plate that says OPEN before all else."""
    scale = page.scale
    below = number_height(scale.big * 1.15) if view.number else 0.0
    row, plate = content.from_bottom(below, scale.mm(2.5) if below else 0.0)
    with page.root.canvas:
        fill(plate, INK)
    blocks, _ = words_of(page, view)
    blocks[0] = replace(blocks[0], style=Style(scale.big, scale.big * 1.9, bold=True))
    page.column(plate.inset(scale.mm(4), scale.mm(2.5)), blocks, [PAPER] * len(blocks), middle=True)
    if view.number:
        draw_wearer(page, view, draw_number(page, view, row, scale.big * 1.15))
