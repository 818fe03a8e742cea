"""Small figures: the garment as worn, an even border, film colours, a cross-section, a job card."""

from collections.abc import Callable, Sequence

from kiosk.catalog.base import Message
from kiosk.catalog.rules import read_face
from kiosk.plan.place import ElementBox as Placed
from kiosk.plan.sizes import Border
from kiosk.run.show import SlabKind, StackSlab
from kiosk.station.desk.sheet import Button, Card
from kiosk.station.glass import theme
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.type import CAPITAL, Style, breadth, fit, height, wrap
from kiosk.station.glass.widgets.buttons import PaperButton
from kiosk.station.glass.widgets.heading import Progress
from kiosk.station.glass.widgets.marks import ASPECT, BODY, COLLAR, Numeral, letter, shirt
from kiosk.station.glass.widgets.paint import Drawn, fill, frame, outline, polygon
from kiosk.station.glass.widgets.text import Text

LEAST_FIGURE_MM = 13.0
Inked = tuple[str, theme.Colour | None]  # a text and its film, None if the colour is unknown


def caption_height(scale: Scale) -> float:
    """Return the height of a small figure's caption, px."""
    return height(1, scale.small / CAPITAL)


class AsWorn(Drawn):
    """The shirt as seen on the player: name above number, upright."""

    def __init__(
        self, box: Box, scale: Scale, name: Inked, number: Inked, caption: str, shade: theme.Shade
    ) -> None:
        super().__init__(box)
        ink = number[1] or theme.INK
        cloth = theme.cloth_under(ink)
        of_name = theme.ink_on(cloth, name[1] or ink)
        place = box.from_bottom(caption_height(scale))[1].fitted(ASPECT).inset(1)
        words = Box(box.x, place.y - caption_height(scale), box.w, caption_height(scale))
        with self.canvas:
            polygon(shirt(place), cloth)
            outline(shirt(place), theme.CLOTH_EDGE, scale.mm(0.35))
        body = Box(
            place.x + place.w * 0.23, place.y + place.h * 0.08, place.w * 0.54, place.h * 0.76
        )
        head, rest = body.from_top(body.h * 0.26 if name[0] else 0.0)
        if name[0]:  # drawn like the number, in a film's colour: to be recognised, not read
            self.add_widget(Numeral(head, name[0], of_name, head.h, "center"))
        self.add_widget(Numeral(rest, number[0], ink, rest.h, "center"))
        style = Style(scale.small, scale.small, rows=1)
        self.add_widget(Text(caption, words, style, shade.second, "center"))


class PlaceWorn(Drawn):
    """The shirt as seen on the player, with `boxes` to scale; `half` is half a body in inches."""

    def __init__(
        self, box: Box, scale: Scale, boxes: Sequence[Placed], half: float,
        film: theme.Colour | None, caption: str, shade: theme.Shade,
    ) -> None:  # fmt: skip
        super().__init__(box)
        words, room = box.from_bottom(caption_height(scale))
        place = room.fitted(ASPECT).inset(1)
        px = BODY * place.w / (2 * half)
        x, y = place.centre[0], place.y + COLLAR * place.h
        ink = film or theme.INK
        with self.canvas:
            polygon(shirt(place), theme.cloth_under(ink))
            outline(shirt(place), theme.CLOTH_EDGE, scale.mm(0.35))
            for each in (each for placed in boxes for each in placed.letters):
                w, h = each.width * px, each.height * px
                room_of = Box(x + each.x * px - w / 2, y - each.y * px - h / 2, w, h)
                letter(each.character, room_of, read_face(), ink)
        style = Style(scale.small, scale.small, rows=1)
        self.add_widget(Text(caption, words, style, shade.second, "center"))


class BorderCheck(Drawn):
    """Two pieces on pieces: one even on all four sides, one to be moved.

    The second is twice as far off as `border` allows, to scale; `measures` gives both lengths in
    words and is left out if it does not fit.
    """

    def __init__(
        self,
        box: Box,
        scale: Scale,
        words: tuple[str, str],
        shade: theme.Shade,
        border: Border,
        measures: str,
    ) -> None:
        super().__init__(box)
        figures = self._measured(box, scale, measures, shade)
        share = 2 * border.most_off / border.width
        for half, word, off in zip(
            figures.grid(2, 1, scale.mm(3)), words, (0.0, share), strict=True
        ):
            foot, room = half.from_bottom(caption_height(scale), scale.mm(0.8))
            square = room.fitted(1.0)
            self._pieces(square, off)
            style = Style(scale.small, scale.small, bold=not off, rows=1)
            self.add_widget(Text(word, foot, style, shade.text, "center"))

    def _measured(self, box: Box, scale: Scale, measures: str, shade: theme.Shade) -> Box:
        """Write the measures at the foot if the figures keep enough room; return what is left."""
        em = scale.small / CAPITAL
        rows = len(wrap(measures, False, box.w / em))
        foot, rest = box.from_bottom(height(rows, em) + 1, scale.mm(0.8))
        style = Style(scale.small, scale.small, rows=rows)
        if rest.h < scale.mm(LEAST_FIGURE_MM) or fit(measures, style, foot.w, foot.h).share < 1:
            return box
        self.add_widget(Text(measures, foot, style, shade.second, "center"))
        return rest

    def _pieces(self, square: Box, off: float) -> None:
        """Draw a piece on a piece with a border of a sixth; `off` is in borders."""
        wide = square.w / 6
        top = square.inset(wide)
        moved = Box(top.x + off * wide, top.y - 0.7 * off * wide, top.w, top.h)
        with self.canvas:
            fill(square, theme.INK)
            fill(moved, theme.WHITE)
            frame(moved, theme.INK, 1)


class Swatches(Drawn):
    """Film colours one below the other, each with its word."""

    def __init__(
        self,
        box: Box,
        scale: Scale,
        films: Sequence[tuple[str, theme.Colour | None]],
        shade: theme.Shade,
    ) -> None:
        super().__init__(box)
        style = Style(scale.small, scale.small, bold=True, rows=1)
        for row, (word, colour) in zip(box.grid(1, len(films), 0), films, strict=True):
            swatch, words = row.from_left(scale.mm(6.0), scale.mm(1.5))
            swatch = swatch.inset(0, scale.mm(0.3))
            with self.canvas:
                if colour is not None:
                    fill(swatch, colour)
                frame(swatch, shade.text, scale.mm(0.3))
            self.add_widget(Text(word, words, style, shade.text))


SWATCH_MM = 13.0
LIFT_MM = 1.2  # layers about to be laid float above the rest
GROUNDS: dict[SlabKind, theme.Colour | None] = {
    SlabKind.PLATEN: theme.DIM,
    SlabKind.SHEET: theme.WHITE,
    SlabKind.CARRIER: None,
    SlabKind.CLOTH: theme.CLOTH,
    SlabKind.PAD: theme.MUTED,
}


def stack_size(
    slabs: Sequence[StackSlab], scale: Scale, say: Callable[[Message], str]
) -> tuple[float, float]:
    """Return the width and height of a cross-section in px."""
    em = scale.small / CAPITAL
    words = max((breadth(say(slab.label), slab.coming) for slab in slabs), default=0.0) * em
    lifted = scale.mm(LIFT_MM) * any(slab.coming for slab in slabs)
    return scale.mm(SWATCH_MM + 2.5) + words, len(slabs) * height(1, em) * 1.04 + lifted


class Stack(Drawn):
    """The layers from the top, each a block of its colour with its word beside it."""

    def __init__(
        self,
        box: Box,
        scale: Scale,
        slabs: Sequence[StackSlab],
        say: Callable[[Message], str],
        shade: theme.Shade,
    ) -> None:
        super().__init__(box)
        self.shade = shade
        self.scale = scale
        row = height(1, scale.small / CAPITAL) * 1.04
        wide, tall = stack_size(slabs, scale, say)
        left, top = box.x + (box.w - wide) / 2, box.centre[1] + tall / 2
        last_coming = max((i for i, slab in enumerate(slabs) if slab.coming), default=-1)
        for i, slab in enumerate(slabs):
            self._slab(Box(left, top - row, wide, row), slab, say(slab.label))
            top -= row + (scale.mm(LIFT_MM) if i == last_coming else 0.0)

    def _slab(self, box: Box, slab: StackSlab, word: str) -> None:
        swatch, words = box.from_left(self.scale.mm(SWATCH_MM), self.scale.mm(1.8))
        swatch = swatch.inset(0, self.scale.mm(0.25))
        ground = theme.film(slab.colour) if slab.kind is SlabKind.FILM else GROUNDS[slab.kind]
        with self.canvas:
            if ground is not None:
                fill(swatch, ground)
            frame(swatch, self.shade.text, self.scale.mm(0.6 if slab.coming else 0.3))
        style = Style(self.scale.small, self.scale.small, bold=slab.coming, rows=1)
        self.add_widget(Text(word, words, style, self.shade.text))


WITH_FIGURES_MM = 68.0  # narrower cards show what is done and left only in their line
FIGURES_SHARE = 0.26  # of a card's width
BAR_MM = 2.2


def words_of(box: Box, scale: Scale, card: Card) -> Box:
    """Return the box for title and line: between shirt and figures, above the bar."""
    rest, wide = _parts(box, scale)[1], _wide(box, scale) and card.remaining
    return rest.from_right(box.w * FIGURES_SHARE, scale.mm(1.5))[1] if wide else rest


def line_of(box: Box, scale: Scale, button: Button) -> str:
    """Return the line below a card's title, without what its figures or its foot show."""
    card = button.card
    if card is None or (_wide(box, scale) and card.remaining):
        return button.line
    return "" if scale.near else " · ".join(filter(None, (button.line, card.state)))


def _wide(box: Box, scale: Scale) -> bool:
    """Return whether figures go at the right; on a small screen they go beside the bar."""
    return not scale.near and box.w >= scale.mm(WITH_FIGURES_MM)


def _parts(box: Box, scale: Scale) -> tuple[Box, Box, Box]:
    """Return the boxes of the shirt with its word, of the words, and of the foot below them."""
    inner = box.inset(scale.mm(1.6), scale.mm(0.9)) if scale.near else box.inset(scale.mm(1.2))
    shirt_box, rest = inner.from_left(min(inner.h * 1.1, box.w * 0.26), scale.mm(1.5))
    foot = height(1, scale.small / CAPITAL) if scale.near else scale.mm(BAR_MM)
    foot_box, rest = rest.from_bottom(foot, scale.mm(0.0 if scale.near else 0.6))
    return shirt_box, rest, foot_box


class JobCard(PaperButton):
    """A job, touched like any button."""

    def __init__(self, box: Box, scale: Scale, button: Button, card: Card, most: float) -> None:
        self.card = card
        self.note = button.line or card.done
        line = line_of(box, scale, button)
        super().__init__(box, scale, button.label, button.act, line, "left", most=most)

    def _room(self) -> Box:
        return words_of(self.box, self.scale, self.card)

    def _write(self, label: theme.Colour, line: theme.Colour) -> None:
        super()._write(label, line)
        shirt_box, rest, foot = _parts(self.box, self.scale)
        self._shirt(shirt_box)
        if self.scale.near:
            foot = self._foot(foot)
        if not self.card.remaining:
            return
        bar = Box(foot.x, foot.y, foot.w, self.scale.mm(BAR_MM))
        self.add_widget(Progress(bar, theme.INK, self.scale.mm(0.4), self.card.share))
        if _wide(self.box, self.scale):
            self._figures(rest.from_right(self.box.w * FIGURES_SHARE)[0])

    def _foot(self, foot: Box) -> Box:
        """Write what is done or when it is due, and what is left; return the bar's box."""
        style = Style(self.scale.small, self.scale.small, rows=1)
        text = " · ".join(filter(None, (self.note, self.card.remaining))) or self.card.state
        wide = breadth(text, False) * self.scale.small / CAPITAL + 1
        words, rest = foot.from_right(min(wide, foot.w), self.scale.mm(1.5))
        self.add_widget(
            Text(text, words, style, theme.INK, "right" if self.card.remaining else "left")
        )
        return rest

    def _figures(self, box: Box) -> None:
        """Write what is left, large, above what is done."""
        style = Style(self.scale.small, self.scale.line * 1.4, bold=True, rows=1)
        less = Style(self.scale.small, self.scale.line, rows=1)
        done, left = box.from_bottom(box.h * 0.42)
        self.add_widget(Text(self.card.remaining, left, style, theme.INK, "right"))
        self.add_widget(Text(self.card.done, done, less, theme.MUTED, "right"))

    def _shirt(self, box: Box) -> None:
        """Draw the shirt with a roster number in its film's colour, and the colour's word."""
        colour = theme.film(self.card.colour)
        if self.card.colour:
            foot, box = box.from_bottom(height(1, self.scale.small / CAPITAL), 0)
            style = Style(self.scale.small, self.scale.small, rows=1)
            self.add_widget(Text(self.card.colour, foot, style, theme.MUTED, "center"))
        place = box.fitted(ASPECT).inset(1)
        ink = theme.INK if colour is None else colour
        with self.canvas:
            polygon(shirt(place), theme.cloth_under(ink))
            outline(shirt(place), theme.CLOTH_EDGE, self.scale.mm(0.35))
        room, high = place.w * (BODY - 0.06), place.h * 0.62
        body = Box(place.x + (place.w - room) / 2, place.y + place.h * 0.12, room, high)
        if self.card.name:
            top, body = body.from_top(high * 0.24, self.scale.mm(0.4))
            self.add_widget(Numeral(top, self.card.name, ink, top.h, "center"))  # as in `AsWorn`
        self.add_widget(Numeral(body, self.card.number, ink, high, "center"))
