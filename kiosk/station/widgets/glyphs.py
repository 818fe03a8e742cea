"""Words as pieces of film: filled or in outline, stretched to their box, turned, never mirrored."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from kivy.core.text import Label as CoreLabel
from kivy.graphics import Color, PopMatrix, PushMatrix, Rectangle, Rotate

from kiosk.station.boxes import Box
from kiosk.station.theme import Colour
from kiosk.station.type import ASCENT, CAPITAL, face

DRAWN_CAPITAL = 120  # the figures are drawn this high and then scaled to their box


@lru_cache(maxsize=64)
def _drawn(text: str, inside: Colour, edge: Colour, pen: int, capital: int) -> Any:
    label = CoreLabel(
        text=text,
        font_name=face(True),
        font_size=int(capital / CAPITAL),
        color=inside.rgba,
        outline_color=edge.rgba[:3],
        outline_width=pen,
    )
    label.refresh()
    return label.texture


def glyphs(
    text: str, box: Box, inside: Colour, edge: Colour, pen: float, turned: bool = False
) -> None:
    """Draw `text` so that its capitals fill `box`; `pen` is the edge's width in pixels.

    `turned` draws it upside down, as a reader on the other side sees it.
    """
    capital = max(12, min(2 * DRAWN_CAPITAL, round(box.h)))
    wide = max(1, round(pen * capital / max(1.0, box.h)))
    image = _drawn(text, inside, edge, wide, capital)
    up = box.h / capital
    across = box.w / max(1, image.width - 2 * wide)
    height = image.height * up
    below = (image.height - wide - ASCENT * capital / CAPITAL) * up  # under the baseline
    PushMatrix()
    if turned:
        Rotate(angle=180, origin=box.centre)
    Color(1, 1, 1, 1)
    Rectangle(
        texture=image,
        pos=(box.x - wide * across, box.y - below),
        size=(image.width * across, height),
    )
    PopMatrix()
