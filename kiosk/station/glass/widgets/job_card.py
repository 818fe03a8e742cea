"""A job's button: its shirt drawn, its title, how many are done and left, a bar for both."""

from __future__ import annotations

from kiosk.station.desk.sheet import Button, Card
from kiosk.station.glass.boxes import Box
from kiosk.station.glass.sizes import Scale
from kiosk.station.glass.theme import CLOTH, CLOTH_EDGE, INK, MUTED, Colour, contrast, film
from kiosk.station.glass.type import CAPITAL, Style, height
from kiosk.station.glass.widgets.buttons import PaperButton
from kiosk.station.glass.widgets.marks import ASPECT, BODY, shirt
from kiosk.station.glass.widgets.numerals import Numeral
from kiosk.station.glass.widgets.paint import outline, polygon
from kiosk.station.glass.widgets.strip import Progress
from kiosk.station.glass.widgets.text import Text

WITH_FIGURES_MM = 68.0  # narrower cards say in their line alone what is done and left
FIGURES_SHARE = 0.26  # of a card's width
BAR_MM = 2.2
READABLE = 2.0  # contrast of a number with the cloth drawn behind it


def words_of(box: Box, scale: Scale) -> Box:
    """Return where title and line stand: between the shirt and the figures, over the bar."""
    _, rest = _parts(box, scale)
    if box.w >= scale.mm(WITH_FIGURES_MM):
        rest = rest.from_right(box.w * FIGURES_SHARE, scale.mm(1.5))[1]
    return rest


def _parts(box: Box, scale: Scale) -> tuple[Box, Box]:
    """The shirt's place with its word, and all that is right of it above the bar."""
    inner = box.inset(scale.mm(1.2))
    worn, rest = inner.from_left(min(inner.h * 1.1, box.w * 0.26), scale.mm(1.5))
    return worn, rest.from_bottom(scale.mm(BAR_MM), scale.mm(0.6))[1]


class JobCard(PaperButton):
    """A job: touched like any button."""

    def __init__(self, box: Box, scale: Scale, button: Button, card: Card, most: float) -> None:
        self.card = card
        super().__init__(box, scale, button.label, button.act, button.line, "left", most=most)

    def _room(self) -> Box:
        return words_of(self.box, self.scale)

    def _write(self, label: Colour, line: Colour) -> None:
        super()._write(label, line)
        worn, rest = _parts(self.box, self.scale)
        self._shirt(worn)
        if not self.card.left:
            return
        low = self.box.y + self.scale.mm(1.2)
        bar = Box(rest.x, low, rest.w, self.scale.mm(BAR_MM))
        self.add_widget(Progress(bar, INK, self.scale.mm(0.4), self.card.share))
        if self.box.w >= self.scale.mm(WITH_FIGURES_MM):
            self._figures(rest.from_right(self.box.w * FIGURES_SHARE)[0])

    def _figures(self, box: Box) -> None:
        """What is left large over what is done."""
        style = Style(self.scale.small, self.scale.line * 1.4, bold=True, rows=1)
        less = Style(self.scale.small, self.scale.line, rows=1)
        done, left = box.from_bottom(box.h * 0.42)
        self.add_widget(Text(self.card.left, left, style, INK, "right"))
        self.add_widget(Text(self.card.done, done, less, MUTED, "right"))

    def _shirt(self, box: Box) -> None:
        """The shirt with a number of the roster in its film's colour, and that colour's word."""
        colour = film(self.card.colour)
        if self.card.colour:
            em = self.scale.small / CAPITAL
            foot, box = box.from_bottom(height(1, em), 0)
            style = Style(self.scale.small, self.scale.small, rows=1)
            self.add_widget(Text(self.card.colour, foot, style, MUTED, "center"))
        place = box.fitted(ASPECT).inset(1)
        ink = INK if colour is None else colour
        cloth = CLOTH if contrast(ink, CLOTH) >= READABLE else MUTED
        with self.canvas:
            polygon(shirt(place), cloth)
            outline(shirt(place), CLOTH_EDGE, self.scale.mm(0.35))
        room, high = place.w * (BODY - 0.06), place.h * 0.62
        body = Box(place.x + (place.w - room) / 2, place.y + place.h * 0.12, room, high)
        self.add_widget(Numeral(body, self.card.number, ink, high, "center"))
