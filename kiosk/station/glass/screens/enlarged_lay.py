"""The lay drawing over the page, as large as possible, after it was touched."""

from kiosk.run.show import View
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.screens import plates
from kiosk.station.glass.screens.page import WorkPage
from kiosk.station.glass.screens.side import distances_of, hands_of
from kiosk.station.glass.type import CAPITAL, Style, TextBlock, column, height
from kiosk.station.glass.widgets.lay_drawing import LayDrawing

GAP_MM = 1.5


class FromAfar(Scale):
    """A scale on which captions too are 16' from where the large words are read."""

    __slots__ = ()

    @property
    def small(self) -> float:
        """Capital height of captions, px: a little over 16', so that rounding does not go below."""
        return self.capital(16.5, self.far_metres)

    @property
    def ruler(self) -> float:
        """Capital height of lengths, px: the same."""
        return self.small


def draw_closer(page: WorkPage, view: View, content: Box) -> None:
    """Draw the sheet line, the colours in order, the seconds of the closing, then the drawing.

    Hands and distances go beside it; everything is at least 16' from afar.
    """
    scale = FromAfar(page.scale.size, page.scale.screen_inches)
    plates.draw_sheet(page, view, content)
    wide, high = plates.plate_size(page) if view.sheet_word is not None else (0.0, 0.0)
    aside = wide + scale.mm(3.0) if wide and not scale.portrait else 0.0
    _, below = content.from_top(high, scale.mm(GAP_MM)) if scale.portrait else (content, content)
    style = Style(scale.small, scale.small, bold=True, rows=4)
    blocks = [TextBlock(text, style) for text in _lines(page, view)]
    fitted, _ = column(blocks, below.w - aside, 0.6 * below.h)
    tall = max(high if aside else 0.0, sum(each.height for each in fitted) + 1)
    words, rest = below.from_top(tall, scale.mm(GAP_MM))
    words = Box(words.x, words.y, words.w - aside, words.h)
    page.column(words, blocks, [page.shade.text] * len(blocks))
    lay = page.lay_of(view)
    lengths = {} if any(page.cut) else distances_of(page, lay)
    hands = hands_of(page, view, lay)
    if hands is not None and scale.portrait:
        rest, hands = _at_collar(page, rest, hands, scale, lay.toward), None
    page.add(LayDrawing(rest, scale, lay, view.pieces, hands, lengths))


def _at_collar(page: WorkPage, box: Box, hands: tuple[str, str], scale: Scale, toward: bool) -> Box:
    """Draw the hands beyond the collar's end, each on its side; return the remaining box."""
    tall = height(2, scale.small / CAPITAL) + 1
    cut = box.from_bottom if toward else box.from_top
    strip, rest = cut(tall, scale.mm(GAP_MM))
    right, left = strip.from_right((strip.w - scale.mm(3.0)) / 2, scale.mm(3.0))
    for word, place, halign in zip(hands, (left, right), ("left", "right"), strict=True):
        style = Style(scale.small, scale.small, bold=True, rows=2)
        page.text(word, place, style, halign=halign)
    return rest


def _lines(page: WorkPage, view: View) -> list[str]:
    """Return the colours in the order they are laid, and the seconds that the bar starts."""
    lines = [page.say(line) for line in view.lines if line.id.startswith(plates.LAID_LINES)]
    seconds = view.bar.label.values.get("seconds")
    return [*lines, page.word("closes", seconds=seconds)] if seconds else lines
