"""Small drawings: letters to scale, a shirt, a peel mark; numbers with their foot bars, a time."""

from functools import lru_cache
from math import ceil
from typing import Any

from kivy.core.text import Label as CoreLabel
from kivy.graphics import Color, Line, PopMatrix, PushMatrix, Rectangle, Rotate

from kiosk.catalog.model import Peel
from kiosk.catalog.rules import Face
from kiosk.run.facts import twin
from kiosk.station.glass.boxes import Box
from kiosk.station.glass.theme import Colour
from kiosk.station.glass.type import ASCENT, BOLD, CAPITAL, SPARE, breadth
from kiosk.station.glass.widgets.paint import Drawn, figures, frame, outline, polygon, texture

# By face: its font, and the baseline's row in a texture, in ems, from the font's hhea table.
FONTS = {"B612 Bold": (BOLD, 0.965), "DejaVu Sans Condensed Bold": (SPARE, 0.9282)}
FRAME = 0.09  # of a capital's height: the pen of the box for a letter that no face has
LARGEST, SMALLEST = 240, 12  # pixels of a capital as drawn, before it is scaled to its box


@lru_cache(maxsize=512)
def _glyph_image(
    character: str, pen: int, em: int, font: str
) -> Any:  # a Kivy texture has no types
    """Return the letter in white, grown by `pen` pixels on every side."""
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
    character: str, ink: Box, typeface: Face, colour: Colour,
    growth: float = 0.0, turned: bool = False,
) -> None:  # fmt: skip
    """Draw `character` so that its outline's box is `ink`, grown by `growth` pixels all around.

    `turned` draws it upside down, as a reader on the other side sees it. A character that no face
    has is a box with a stroke through it: its width is unknown.
    """
    holder = typeface.holder(character)
    if holder is None:
        _unknown(ink, colour, growth)
        return
    font, ascent = FONTS[holder.title]
    typeface, glyph = holder, holder.glyph(character)
    tall = (glyph.top - glyph.bottom) or 1.0
    capital = max(SMALLEST, min(LARGEST, round(ink.h / tall)))
    em = round(capital / typeface.capital)
    unit = em * typeface.capital / typeface.width  # pixels of a unit of the glyph's width
    up = ink.h / (tall * em * typeface.capital)
    across = ink.w / max(1e-6, (glyph.right - glyph.left) * unit)
    pen = round(growth / up)
    image = _glyph_image(character, pen, em, font)
    left = pen + max(0.0, glyph.left * unit)  # a glyph that begins left of its origin is moved
    base = image.height - pen - ceil(ascent * em) + glyph.bottom * em * typeface.capital
    at = (ink.x - left * across, ink.y - base * up)
    size = (image.width * across, image.height * up)
    # A texture drawn narrower has a narrower border; two of them, shifted, make it even.
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
    """Draw a box with a stroke from corner to corner, its pen grown as a letter's is."""
    pen = FRAME * ink.h + 2 * growth
    frame(ink.inset(-growth), colour, pen)
    Color(*colour.rgba)
    inner = ink.inset(pen)
    Line(points=(inner.x, inner.y, inner.right, inner.top), width=max(1.0, pen / 2), cap="none")


# Left half of the outline, 0..1 from the lower left, from the hem up to the collar.
HALF = (
    (0.20, 0.02),
    (0.20, 0.60),
    (0.12, 0.54),
    (0.01, 0.74),
    (0.26, 0.98),
    (0.38, 0.98),
    (0.44, 0.91),
)
BODY = 0.60  # the body's width, of the whole
ASPECT = 1.16
COLLAR = 0.91  # height of the collar's middle, of the whole


def shirt(box: Box) -> tuple[tuple[float, float], ...]:
    """Return the points of a shirt that fills `box`."""
    right = tuple((1 - x, y) for x, y in reversed(HALF))
    return tuple((box.x + x * box.w, box.y + y * box.h) for x, y in HALF + right)


class Shirt(Drawn):
    """A shirt in outline with `number` on its body."""

    def __init__(
        self, box: Box, number: str, ink: Colour, ground: Colour, pen: float = 2.0
    ) -> None:
        super().__init__(box)
        self.number = number
        place = box.fitted(ASPECT).inset(pen / 2)
        points = shirt(place)
        with self.canvas:
            polygon(points, ground)
            outline(points, ink, pen)
        room = place.w * (BODY - 0.06)
        high = place.h * 0.58
        body = Box(place.x + (place.w - room) / 2, place.y + place.h * 0.14, room, high)
        self.add_widget(Numeral(body, number, ink, high, "center"))


FOLD = 0.56  # of the sheet's side


class PeelMark(Drawn):
    """A sheet with a folded corner: full for hot, half for warm, empty for cold."""

    def __init__(self, box: Box, peel: Peel, colour: Colour) -> None:
        super().__init__(box)
        self.peel = peel
        square = box.fitted(1.0)
        pen = max(2.0, square.w / 20)
        inner = square.inset(pen / 2 + 1)
        x, y, right, top = inner.x, inner.y, inner.right, inner.top
        fold = inner.w * FOLD
        corner = ((right - fold, top), (right, top - fold), (right - fold, top - fold))
        with self.canvas:
            if peel is Peel.HOT:
                polygon(corner, colour)
            elif peel is Peel.WARM:
                half = fold / 2
                polygon(
                    ((right - half, top - half), (right, top - fold), (right - fold, top - fold)),
                    colour,
                )
            outline(
                ((x, y), (right, y), (right, top - fold), (right - fold, top), (x, top)),
                colour,
                pen,
            )
            outline((corner[0], corner[2], corner[1]), colour, pen, close=False)


FOOT_GAP = 0.10  # of the capital's height, below the figures
FOOT = 0.08
BELOW = FOOT_GAP + FOOT


def has_foot(number: str) -> bool:
    """Return whether `number` upside down is another number: 6, 9, 16, 68."""
    return twin(number) is not None


class Numeral(Drawn):
    """`number` with capitals of at most `capital` pixels, above the place of its foot bar.

    The foot bar's place is kept whether the bar is drawn or not.
    """

    def __init__(
        self, box: Box, number: str, colour: Colour, capital: float, halign: str = "left"
    ) -> None:
        super().__init__(box)
        self.text = number
        ems = breadth(number, True)
        self.em = int(
            min(capital / CAPITAL, box.h / ((1 + BELOW) * CAPITAL), box.w / ems if ems else box.h)
        )
        self.texture_size = (ems * self.em, self.em * CAPITAL * (1 + BELOW))
        free = box.w - self.texture_size[0]
        self.left = box.x + {"left": 0.0, "center": free / 2, "right": free}[halign]
        if number:
            self._draw(number, colour)

    @property
    def ink(self) -> Box:
        """The box that it takes, including its foot bar."""
        low = self.box.y + (self.box.h - self.texture_size[1]) / 2
        return Box(self.left, low, *self.texture_size)

    def _draw(self, number: str, colour: Colour) -> None:
        image = texture(number, True, self.em)
        capital = self.em * CAPITAL
        baseline = self.ink.y + BELOW * capital
        place = (round(self.left), round(baseline + ASCENT * self.em - image.height))
        with self.canvas:
            Color(*colour.rgba)
            Rectangle(texture=image, pos=place, size=image.size)
            if has_foot(number):
                rim = 0.06 * self.em
                Rectangle(
                    pos=(self.left + rim, baseline - BELOW * capital),
                    size=(self.texture_size[0] - 2 * rim, max(1.0, FOOT * capital)),
                )


CELL = 0.66  # of the em: figures of the face are all 0.65 wide
UNIT = 0.30  # the size of the "s" after them


class Digits(Drawn):
    """Figures as large as `box` allows up to `most` px, in fixed `cells`, with a small `unit`."""

    def __init__(self, box: Box, cells: int, colour: Colour, unit: str, most: float) -> None:
        super().__init__(box)
        self.cells = cells
        self.unit = unit
        self.text = ""
        wide = cells * CELL + (0.05 + UNIT * breadth(unit, True) if unit else 0.0)
        self.em = int(min(box.w / wide, box.h / CAPITAL, most / CAPITAL))
        self.wide = wide * self.em
        self.colour = colour
        self._draw()

    def say(self, text: str) -> None:
        """Show other figures: at most `cells` of them, aligned right."""
        if text == self.text:
            return
        self.text = text
        self._draw()

    @property
    def texture_size(self) -> tuple[float, float]:
        """The size of the figures with their unit."""
        return (self.wide, CAPITAL * self.em)

    @property
    def ink(self) -> Box:
        """The box of the figures with their unit."""
        return Box(self.box.x, self._baseline(), *self.texture_size)

    def _baseline(self) -> float:
        return self.box.y + (self.box.h - CAPITAL * self.em) / 2

    def _draw(self) -> None:
        self.canvas.clear()
        with self.canvas:
            Color(*self.colour.rgba)
            x = self.box.x + (self.cells - len(self.text)) * CELL * self.em
            for figure in self.text:
                self._put(figure, x, self.em, centred=True)
                x += CELL * self.em
            if self.text and self.unit:
                self._put(self.unit, x + 0.03 * self.em, int(UNIT * self.em), centred=False)

    def _put(self, figure: str, x: float, em: int, centred: bool) -> None:
        image, drop = figures(figure, em)
        if centred:
            x += (CELL * self.em - image.width) / 2
        y = self._baseline() + ASCENT * em - drop
        Rectangle(texture=image, pos=(round(x), round(y)), size=image.size)
