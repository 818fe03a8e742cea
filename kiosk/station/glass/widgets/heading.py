"""Across the top: which job, garment and press; OPEN with its seconds; notices."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kivy.graphics import Color, Rectangle

from kiosk.catalog.base import dataclass
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.theme import INK, WHITE, Colour, Shade
from kiosk.station.glass.type import (
    CAPITAL,
    NARROWEST,
    Style,
    TextBlock,
    breadth,
    column,
    fit,
    height,
)
from kiosk.station.glass.widgets.paint import Drawn, fill, frame
from kiosk.station.glass.widgets.text import Text, stacked

if TYPE_CHECKING:  # only for practice
    from kiosk.train.practice import Sides


def shortened(text: str, bold: bool, em: float, width: float) -> str:
    """Return `text`, or its beginning with an ellipsis, no wider than `width`."""
    if breadth(text, bold) * em <= width:
        return text
    while text and breadth(f"{text.rstrip()}…", bold) * em > width:
        text = text[:-1]
    return f"{text.rstrip(' ,.-')}…" if text else ""


LEAST_TITLE_MM = 18.0
GAP_MM = 2.4


@dataclass(frozen=True, slots=True)
class HeaderWords:
    """The words of a header: job, garment (`brief` beside `done`), press, when all is done.

    `setting` is the press's setting alone, for when its name does not fit.
    """

    title: str
    garment: str = ""
    press: str = ""
    done: str = ""
    brief: str = ""
    setting: str = ""

    @property
    def counts(self) -> tuple[str, ...]:
        """Which garment it is, the longest wording first."""
        return tuple(dict.fromkeys((self.garment, self.brief or self.garment)))

    @property
    def middles(self) -> tuple[str, ...]:
        """The wordings of the bold middle part, the longest first."""
        longer = [f"{each} · {self.done}" for each in self.counts if each]
        return (*longer, *self.counts) if self.done else self.counts

    @property
    def presses(self) -> tuple[str, ...]:
        """The press with its setting, then the setting alone."""
        return tuple(dict.fromkeys((self.press, self.setting or self.press)))


class Heading(Drawn):
    """The job comes first: the press's name and the time all is done give way to its title.

    A title that is still too long is shortened; everything else is shown whole. Takes one row if it
    fits, otherwise two.
    """

    def __init__(self, box: Box, scale: Scale, words: HeaderWords, shade: Shade) -> None:
        super().__init__(box)
        self.scale = scale
        self.em = scale.small / CAPITAL
        self.gap = scale.mm(GAP_MM)
        self.shade = shade
        if heading_rows(scale, words, box.w) == 1:
            self._one_row(box, words)
        else:
            self._two_rows(box, words)

    def _one_row(self, box: Box, words: HeaderWords) -> None:
        title_width, gap = self._wide(words.title, False) + self.gap, self.gap
        whole = (
            (middle, press)
            for middle in words.middles
            for press in words.presses
            if title_width + self._wide(middle, True) + gap + self._wide(press, False) <= box.w
        )
        middle, press = next(whole, ("", words.presses[-1]))
        right_box, rest = box.from_right(self._wide(press, False), gap)
        self._put(press, right_box, False, "right")
        middle = middle or self._middle(words, words.middles, rest.w)
        wide = self._wide(middle, True)
        x = min(max(box.centre[0] - wide / 2, rest.x + title_width), rest.right - wide)
        self._put(middle, Box(x, box.y, wide, box.h), True, "center")
        self._put(words.title, Box(box.x, box.y, x - gap - box.x, box.h), False, "left")

    def _two_rows(self, box: Box, words: HeaderWords) -> None:
        upper, lower = box.grid(1, 2, 0.0)
        done, presses, middles = self._wide(words.done, True), words.presses, words.middles
        if words.done:
            room = lower.w - self.gap - done
            presses = tuple(each for each in words.presses if self._wide(each, False) <= room)
        if words.done and presses:
            place, lower = lower.from_right(done, self.gap)
            self._put(words.done, place, True, "right")
            middles = words.counts
        middle = self._middle(words, middles, upper.w)
        middle_box, rest = upper.from_right(self._wide(middle, True), self.gap)
        self._put(middle, middle_box, True, "right")
        self._put(words.title, rest, False, "left")
        fitting = (each for each in words.presses if self._wide(each, False) <= lower.w)
        self._put(next(fitting, words.presses[-1]), lower, False, "left", NARROWEST)

    def _middle(self, words: HeaderWords, middles: tuple[str, ...], width: float) -> str:
        """Return the longest wording that leaves the title whole, or else recognisable."""
        title, least = self._wide(words.title, False), self.scale.mm(LEAST_TITLE_MM)
        for enough in (title, min(title, least)):
            for each in middles:
                if self._wide(each, True) + self.gap + enough <= width:
                    return each
        return middles[-1]

    def _wide(self, text: str, bold: bool) -> float:
        return breadth(text, bold) * self.em + 2

    def _put(self, text: str, box: Box, bold: bool, halign: str, narrow: float = 1.0) -> None:
        """Put a text; one at the left is shortened if it does not fit even at `narrow`."""
        text = shortened(text, bold, self.em * narrow, box.w) if halign == "left" else text
        style = Style(self.scale.small, self.scale.small, bold=bold, rows=1)
        self.add_widget(Text(text, box, style, self.shade.text, halign))


def heading_rows(scale: Scale, header: HeaderWords, width: float) -> int:
    """Return the rows that a header needs: in portrait two, before a title is shortened."""
    em = scale.small / CAPITAL
    if not scale.portrait:
        return 1
    words = 0.92 * breadth(header.title, False) + breadth(header.press, False)
    return 1 if (words + breadth(header.middles[0], True)) * em + scale.mm(8.0) <= width else 2


def heading_height(scale: Scale, header: HeaderWords, width: float) -> float:
    """Return the height that a header takes, px."""
    return heading_rows(scale, header, width) * height(1, scale.small / CAPITAL) * 1.05


BORDER_SHARE = 0.15  # of the figure, so that a border can be judged by eye


class LookPicture(Drawn):
    """Words on a plate, or an upper piece on a lower one with the border enlarged."""

    def __init__(self, box: Box, scale: Scale, shown: str | Sides) -> None:
        super().__init__(box)
        if not isinstance(shown, str):
            self._border(box.fitted(1.0), shown)
            return
        with self.canvas:
            fill(box, WHITE)
            frame(box, INK, scale.mm(0.8))
        style = Style(scale.small, scale.line * 2.2, bold=True, rows=1)
        self.add_widget(Text(shown, box.inset(scale.mm(2.0)), style, INK, "center"))

    def _border(self, square: Box, sides: Sides) -> None:
        wide = square.w * BORDER_SHARE
        inner = Box(
            square.x + sides.left * wide,
            square.y + sides.below * wide,
            square.w - (sides.left + sides.right) * wide,
            square.h - (sides.above + sides.below) * wide,
        )
        with self.canvas:
            fill(square, INK)
            fill(inner, WHITE)


LETTERS_KEEP = 0.8  # share of their least height
OFF_EDGE_MM = 0.6  # gap between the letters below OPEN and the edge of its strip
UPRIGHT_ROWS = 1  # small letters below OPEN, if they do not fit beside it


NARROW_BELOW_INCHES = 12.0  # diagonal of a portrait screen


def is_narrow(scale: Scale) -> bool:
    """Return whether nothing fits beside OPEN and its seconds."""
    return scale.portrait and scale.screen_inches < NARROW_BELOW_INCHES


def open_height(scale: Scale) -> float:
    """Return the height of the OPEN strip, px."""
    row = height(1, scale.big / CAPITAL) + scale.mm(0.6)
    return row + (height(UPRIGHT_ROWS, scale.small / CAPITAL) if is_narrow(scale) else 0.0)


class OpenStrip(Drawn):
    """OPEN, the seconds since the tone, and how to open; a notice can cover `free`."""

    def __init__(
        self, box: Box, scale: Scale, words: Sequence[str], ground: Colour, ink: Colour
    ) -> None:
        super().__init__(box)
        self.scale = scale
        with self.canvas:
            fill(box, ground)
        room, below = box.inset(scale.margin, 0), None
        if is_narrow(scale):
            below, room = room.from_bottom(height(UPRIGHT_ROWS, scale.small / CAPITAL))
            below = below._replace(y=below.y + scale.mm(OFF_EDGE_MM))  # OPEN has no descenders
            room = room._replace(y=room.y + scale.mm(OFF_EDGE_MM / 2))
        em = scale.big / CAPITAL
        style = Style(scale.big * 0.8, scale.big, bold=True, rows=1)
        first = min(room.w * 0.5, breadth(words[0], True) * em + 2)
        self.first, rest = room.from_left(first, em * 0.6)
        widest = min(rest.w, max(breadth(words[1], True), breadth("00 s", True)) * em)
        seconds, rest = rest.from_left(widest, em * 0.6)
        self.free = below or rest
        self.parts = [Text(words[0], self.first, style, ink), Text(words[1], seconds, style, ink)]
        if len(words) > 2:
            place = self.free if below else self.free.inset(0, scale.mm(0.8))
            large = Style(scale.line * 0.8, scale.line, rows=4)  # in more rows, but larger
            large_fits = fit(words[2], large, place.w, place.h).share == 1
            style = large if large_fits else Style(scale.small, scale.line, rows=4)
            how = Text(words[2], place, style, ink, "left" if below else "right")
            if how.fitted.share >= LETTERS_KEEP:  # smaller letters could not be read
                self.parts.append(how)
        for part in self.parts:
            self.add_widget(part)

    def show(self, words: Sequence[str]) -> None:
        """Show other words (the seconds)."""
        for part, word in zip(self.parts, words, strict=False):
            part.say(word)


class Notice(Drawn):
    """Sentences over the header while they last; nothing below them moves."""

    def __init__(
        self, box: Box, scale: Scale, words: Sequence[str], ground: Colour, ink: Colour
    ) -> None:
        super().__init__(box)
        self.words = tuple(words)
        with self.canvas:
            fill(box, ground)
        room = box.inset(min(scale.margin, scale.mm(2.5)), scale.mm(0.3))
        style, gap = Style(scale.small, scale.line, bold=True), scale.mm(0.4)
        blocks = [TextBlock(word, style, gap) for word in words]
        fitted, _ = column(blocks, room.w, room.h)
        tall = sum(each.height for each in fitted) + gap * (len(blocks) - 1)
        top = room.centre[1] + tall / 2
        places = stacked(room, top, blocks, fitted)
        for block, each, place in zip(blocks, fitted, places, strict=True):
            self.add_widget(Text(block.text, place, style, ink, "center", "top", fitted=each))


class Progress(Drawn):
    """A framed bar, filled to `share` (0..1)."""

    def __init__(self, box: Box, colour: Colour, rim: float, share: float = 0.0) -> None:
        super().__init__(box)
        self.share = -1.0
        with self.canvas:
            frame(box, colour, rim)
            Color(*colour.rgba)
            self._full = Rectangle(pos=box.pos, size=(0, box.h))
        self.show(share)

    def show(self, share: float) -> None:
        """Fill to another share."""
        share = min(1.0, max(0.0, share))
        if share != self.share:
            self.share = share
            self._full.size = (round(self.box.w * share), self.box.h)
