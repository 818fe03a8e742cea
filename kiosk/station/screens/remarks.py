"""Lines that ask for nothing, beside the wearer."""

from __future__ import annotations

from kiosk.station.boxes import Box
from kiosk.station.screens.page import Page
from kiosk.station.type import Style


def remark(page: Page, text: str, box: Box) -> Box:
    """A line that asks for nothing stands at the right of the wearer; returns the rest."""
    place, rest = box.from_right(box.w * 0.5, page.scale.mm(3.0))
    style = Style(page.scale.small, page.scale.line, rows=4)
    page.text(text, place, style, page.shade.second)
    return rest
