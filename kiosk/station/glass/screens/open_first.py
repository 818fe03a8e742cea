"""The page after a stop in heat: OPEN before all else."""

from __future__ import annotations

from dataclasses import replace

from kiosk.run.show import View
from kiosk.station.glass.boxes import Box
from kiosk.station.glass.screens.light import words_of
from kiosk.station.glass.screens.page import Page
from kiosk.station.glass.screens.plates import draw_number, draw_wearer, number_height
from kiosk.station.glass.theme import INK, PAPER
from kiosk.station.glass.type import Style
from kiosk.station.glass.widgets.paint import fill


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
