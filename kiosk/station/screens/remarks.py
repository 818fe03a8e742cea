"""Lines that ask for nothing: beside the wearer, or in portrait above them."""

from __future__ import annotations

from kiosk.station.boxes import Box
from kiosk.station.screens.page import Page
from kiosk.station.screens.plates import wearer_height
from kiosk.station.type import CAPITAL, Style, fit, height, wrap


def remark(page: Page, text: str, box: Box) -> Box:
    """A line that asks for nothing stands at the right of the wearer; returns the rest."""
    place, rest = box.from_right(box.w * 0.5, page.scale.mm(3.0))
    style = Style(page.scale.small, page.scale.line, rows=4)
    page.text(text, place, style, page.shade.second)
    return rest


def remark_above(page: Page, text: str, box: Box) -> Box:
    """In portrait such a line stands between number and wearer; returns the wearer's room."""
    em = page.scale.small / CAPITAL
    style = Style(page.scale.small, page.scale.small, rows=5)
    rows = len(wrap(text, False, box.w / em))
    place, rest = box.from_top(height(rows, em) + 1, page.scale.mm(1.5))
    short = rest.h < wearer_height(page) or rows > style.rows
    if not text or short or fit(text, style, place.w, place.h).share < 1:
        return box
    page.text(text, place, style, page.shade.second)
    return rest
