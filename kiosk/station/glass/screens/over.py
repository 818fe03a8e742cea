"""Laid over the work screen: OPEN after a stop in heat, the rack as it is read from afar."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from kiosk.run.show import Chip, View
from kiosk.station.glass.boxes import Box
from kiosk.station.glass.screens.light import words_of
from kiosk.station.glass.screens.page import Page
from kiosk.station.glass.screens.plates import draw_number, draw_wearer, number_height
from kiosk.station.glass.screens.side import FromAfar
from kiosk.station.glass.theme import INK, PAPER
from kiosk.station.glass.type import Block, Style, column
from kiosk.station.glass.widgets.paint import fill
from kiosk.station.glass.widgets.text import Text


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


GAP_MM = 1.5


def draw_rack(page: Page, view: View, box: Box) -> None:
    """Draw when each garment on the rack is due, the one that is served next first.

    All at 16' from afar at the least; how many have no room is counted.
    """
    scale = FromAfar(page.scale.size, page.scale.screen_inches)
    style = Style(scale.small, scale.small * 1.3, bold=True, rows=2)
    order = sorted(range(len(view.chips)), key=lambda i: not view.chips[i].following)
    gap = scale.mm(GAP_MM)
    blocks: list[Block] = []
    for count in range(len(order), 0, -1):
        told = [_told(page, view.chips[i]) for i in order[:count]]
        more = [f"+{len(order) - count}"] if count < len(order) else []
        blocks = [Block(text, style, gap) for text in (*told, *more)]
        if column(blocks, box.w, box.h)[1] == 1.0:
            break
    shown = page.column(box, blocks, [page.shade.text] * len(blocks))
    for index, text in zip(order, shown, strict=False):
        if text.text.startswith("+"):
            continue
        page.live.append(_tell(page, text, index))


def _told(page: Page, chip: Chip) -> str:
    """The garment's number and when it is due."""
    return f"{chip.number} · {page.say(chip.line)}"


def _tell(page: Page, text: Text, index: int) -> Callable[[View], None]:
    """Bring the seconds of a row up to date."""
    return lambda later: text.say(_told(page, later.chips[index]))
