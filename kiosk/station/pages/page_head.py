"""The head of a plain page: its title, notices and lines, and the field of what is typed."""

from __future__ import annotations

from kivy.uix.widget import Widget

from kiosk.station.boxes import Box
from kiosk.station.pages.sheet import Sheet
from kiosk.station.sizes import Scale
from kiosk.station.theme import INK, MUTED, PAPER, WHITE
from kiosk.station.type import CAPITAL, Block, Style, column, height
from kiosk.station.widgets.paint import fill, frame
from kiosk.station.widgets.text import Text


def write(page: Widget, sheet: Sheet, said: tuple[str, ...], head: Box, scale: Scale) -> float:
    """Write title, notices `said` and lines into `head`; return how far down they go, px."""
    small, loud = Style(scale.small, scale.line), Style(scale.small, scale.line, True)
    low = scale.near and not scale.portrait  # three rows of buttons before larger letters
    large = Style(scale.line, scale.line * (1.05 if low else 1.4), True)
    plain = scale.line * 1.6
    caption = Style(scale.small, scale.small * 1.25, True)
    title = caption if sheet.headline else Style(scale.line, plain, True)
    lines = (" · ".join(sheet.lines),) if _is_crowded(sheet, scale) else sheet.lines
    headline = (Block(sheet.headline, large, scale.mm(1.2)),) if sheet.headline else ()
    next_to_it = Style(scale.small * 1.2, scale.line, True)
    second = (Block(sheet.second, next_to_it, scale.mm(1.2)),) if sheet.second else ()
    first = 1 + len(said) + len(headline) + len(second)  # the first line, in ink as all above it
    blocks = [
        Block(sheet.title, title, scale.mm(0.8 if sheet.headline else 1.5)),
        *(Block(notice, loud, scale.mm(1.2)) for notice in said),
        *headline,
        *second,
        *(Block(line, small, scale.mm(1.0)) for line in lines),
    ]
    pad = scale.mm(1.5) if said else 0.0
    fitted, _ = column(blocks, head.w - 2 * pad, head.h)
    top = head.top
    for index, (block, each) in enumerate(zip(blocks, fitted, strict=True)):
        notice = 0 < index <= len(said)
        box = Box(head.x + notice * pad, top - each.height, head.w, each.height)
        colour = PAPER if notice else MUTED if index > first else INK
        if notice:
            with page.canvas.before:
                fill(Box(head.x, box.y, head.w, box.h).inset(0, -scale.mm(0.3)), INK)
        page.add_widget(Text(block.text, box, block.style, colour, "left", "top", fitted=each))
        top -= each.height + block.gap
    return top


def _is_crowded(sheet: Sheet, scale: Scale) -> bool:
    """Whether cautions leave the lines no rows of their own."""
    return scale.near and bool(sheet.cautions) and bool(sheet.headline)


def least_head(scale: Scale) -> float:
    """A title in a row and a notice below it: no key moves when something is said."""
    title, small = scale.line / CAPITAL, scale.small / CAPITAL
    return height(1, title) + height(1, small) + scale.mm(1.8)


def typed_field(page: Widget, text: str, field: Box, scale: Scale) -> None:
    """Draw the field with what has been typed."""
    with page.canvas.before:
        fill(field, WHITE)
        frame(field, INK, scale.mm(0.5))
    style = Style(scale.small, scale.line * 1.4, bold=True, rows=1)
    page.add_widget(Text(text or " ", field.inset(scale.mm(1.5)), style, INK))


def key(text: str) -> str:
    """What a key is compared by: whichever decimal sign a keyboard has is the pad's."""
    return text.casefold().replace(",", ".")
