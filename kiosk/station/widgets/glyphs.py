"""Letters as pieces of film: their ink stretched to its box, with a border, never mirrored."""

from __future__ import annotations

from functools import lru_cache
from math import ceil
from typing import Any

from kivy.core.text import Label as CoreLabel
from kivy.graphics import Color, Line, PopMatrix, PushMatrix, Rectangle, Rotate

from kiosk.catalog.rules import Face
from kiosk.station.boxes import Box
from kiosk.station.theme import Colour
from kiosk.station.type import BOLD, SPARE
from kiosk.station.widgets.paint import frame

# By face: its font, and the baseline's row in a texture, of the em, from the font's hhea table.
FONTS = {
    "B612 Bold": (BOLD, 0.965),
    "DejaVu Sans Condensed Bold": (SPARE, 0.9282),
}
FRAME = 0.09  # of a capital's height: the pen of a box that stands for a letter no face has
LARGEST, SMALLEST = 240, 12  # pixels of a capital as it is drawn before it is scaled to its box


@lru_cache(maxsize=512)
def _drawn(character: str, pen: int, em: int, font: str) -> Any:  # a Kivy texture has no types
    """The letter in white, grown by `pen` pixels on every side."""
    label = CoreLabel(
        text=character,
        font_name=font,
        font_size=em,
        outline_color=(1, 1, 1),
        outline_width=pen or None,
    )
    label.refresh()
    return label.texture


def letter(
    character: str,
    ink: Box,
    cut: Face,
    colour: Colour,
    growth: float = 0.0,
    turned: bool = False,
) -> None:
    """Fill `character` so that its outline's box is `ink`, grown by `growth` pixels all around.

    `turned` draws it upside down, as a reader on the other side sees it. A character that no
    face has is an empty box with a stroke through it: nobody knows how wide it is.
    """
    holder = cut.holder(character)
    if holder is None:
        _unknown(ink, colour, growth)
        return
    font, ascent = FONTS[holder.title]
    cut, glyph = holder, holder.glyph(character)
    tall = (glyph.top - glyph.bottom) or 1.0
    capital = max(SMALLEST, min(LARGEST, round(ink.h / tall)))
    em = round(capital / cut.capital)
    unit = em * cut.capital / cut.width  # pixels of the font's own width to a capital's share
    up = ink.h / (tall * em * cut.capital)
    across = ink.w / max(1e-6, (glyph.right - glyph.left) * unit)
    pen = round(growth / up)
    image = _drawn(character, pen, em, font)
    left = pen + max(0.0, glyph.left * unit)  # a glyph that begins left of its origin is moved
    base = image.height - pen - ceil(ascent * em) + glyph.bottom * em * cut.capital
    at = (ink.x - left * across, ink.y - base * up)
    size = (image.width * across, image.height * up)
    # A texture that is drawn narrower has a narrower border: two of them, moved, make it even.
    more = growth - pen * across
    shifts = (-more, more) if pen and abs(more) >= 0.25 else (0.0,)
    PushMatrix()
    if turned:
        Rotate(angle=180, origin=ink.centre)
    Color(*colour.rgba)
    for shift in shifts:
        Rectangle(texture=image, pos=(at[0] + shift, at[1]), size=size)
    PopMatrix()


def _unknown(ink: Box, colour: Colour, growth: float) -> None:
    """A box with a stroke from corner to corner, its pen grown as a letter's is."""
    pen = FRAME * ink.h + 2 * growth
    frame(ink.inset(-growth), colour, pen)
    Color(*colour.rgba)
    inner = ink.inset(pen)
    Line(points=(inner.x, inner.y, inner.right, inner.top), width=max(1.0, pen / 2), cap="none")
