"""The parts of a plain page: its head, and the grid of buttons."""

from collections.abc import Sequence
from dataclasses import replace

from kivy.uix.widget import Widget

from kiosk.station.desk.sheet import Button, Picture, Sheet, TablePicture
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.theme import INK, LIGHT, MUTED, PAPER, WHITE
from kiosk.station.glass.type import CAPITAL, Style, TextBlock, breadth, column, height
from kiosk.station.glass.widgets.bench_art import garment_art
from kiosk.station.glass.widgets.charts import table_height
from kiosk.station.glass.widgets.figures import AsWorn
from kiosk.station.glass.widgets.heading import LookPicture
from kiosk.station.glass.widgets.paint import fill, frame
from kiosk.station.glass.widgets.text import Text
from kiosk.train.practice import Bench, LookDrawing, Worn

PICTURE_HEAD = 0.4  # of the height: what the lines above a picture can take
MANY = 12  # from this many choices on, fitting them all comes before larger letters


def heading(
    page: Widget, sheet: Sheet, notices: tuple[str, ...], body: Box, scale: Scale, gap: float
) -> Box:
    """Draw title and lines, with the entry field at their right so that the keys have room.

    In portrait the field goes below them, if all keys fit that way. Return the room left.
    """
    head = body
    upright = None if sheet.entry is None else _entry_below(sheet, body, scale, gap)
    if sheet.entry is not None and upright is not None:
        head, field, left = upright
        typed_field(page, sheet.entry, field, scale)
        write(page, sheet, notices, head, scale)
        return left
    if sheet.entry is not None:
        high = max(scale.line * 2.2, scale.mm(9.0))
        field, head = body.from_right(body.w * 0.42, scale.mm(3.0))
        typed_field(page, sheet.entry, field.from_top(high)[0], scale)
        least = least_head(scale, bool(sheet.headline))
        head = head.from_top(max(high, head.h * 0.2, least))[0]
    elif sheet.picture is not None:
        head = body.from_top(body.h * _picture_head(sheet.picture, body, scale))[0]
    else:
        head = head_of(page, sheet, body, scale)
    top = write(page, sheet, notices, head, scale)
    if sheet.entry is not None or (sheet.look is not None and sheet.choices):
        top = head.y
    left = Box(body.x, body.y, body.w, max(0.0, top - scale.mm(2.0) - body.y))
    if sheet.look is not None and not sheet.choices and scale.portrait:
        put_below(page, sheet.look, left, scale)
    return left


def _picture_head(picture: Picture, body: Box, scale: Scale) -> float:
    """Return the share of the height for the lines above a picture: more over a short table."""
    if not isinstance(picture, TablePicture):
        return PICTURE_HEAD
    free = 1.0 - (table_height(picture, scale, body.w) + scale.mm(3.0)) / body.h
    return min(GARMENT_HEAD, max(PICTURE_HEAD, free))


ENTRY_TITLE = 0.2  # of the height: what the title over a field can take
ENTRY_ROWS = 2  # of lines below it


def _entry_below(sheet: Sheet, body: Box, scale: Scale, gap: float) -> tuple[Box, Box, Box] | None:
    """Return the boxes of words, field and keys, one below the other on a portrait screen.

    Lines and a notice have their room reserved, so that no key moves for them. None if not all keys
    fit below.
    """
    if not scale.portrait:
        return None
    blocks, _ = _blocks(replace(sheet, lines=()), (), scale)
    fitted, _ = column(blocks, body.w, body.h * ENTRY_TITLE)
    tall = sum(each.height for each in fitted) + sum(block.gap for block in blocks)
    tall += height(ENTRY_ROWS, scale.line / CAPITAL) + height(1, scale.small / CAPITAL)
    head, rest = body.from_top(tall + scale.mm(1.0))
    field, keys = rest.from_top(max(scale.line * 2.2, scale.mm(9.0)), scale.mm(3.0))
    labels = [button.label for button in sheet.choices]
    columns, rows = grid(labels, keys, sheet.columns, scale, gap)
    return (head, field, keys) if columns * rows >= len(labels) else None


def write(page: Widget, sheet: Sheet, notices: tuple[str, ...], head: Box, scale: Scale) -> float:
    """Write title, notices and lines into `head`; return the y of their lower end."""
    blocks, first = _blocks(sheet, notices, scale)
    pad = scale.mm(1.5) if notices else 0.0
    fitted, _ = column(blocks, head.w - 2 * pad, head.h)
    top = head.top
    for index, (block, each) in enumerate(zip(blocks, fitted, strict=True)):
        notice = 0 < index <= len(notices)
        box = Box(head.x + notice * pad, top - each.height, head.w, each.height)
        colour = PAPER if notice else MUTED if index > first else INK
        if notice:
            with page.canvas.before:
                fill(Box(head.x, box.y, head.w, box.h).inset(0, -scale.mm(0.3)), INK)
        page.add_widget(Text(block.text, box, block.style, colour, "left", "top", fitted=each))
        top -= each.height + block.gap
    return top


def _blocks(sheet: Sheet, notices: tuple[str, ...], scale: Scale) -> tuple[list[TextBlock], int]:
    """Return all that is written, from the title down, and the index of its first line."""
    small, loud = Style(scale.small, scale.line), Style(scale.small, scale.line, True)
    low = scale.near and not scale.portrait  # three rows of buttons before larger letters
    many = len(sheet.choices) >= MANY and not scale.portrait
    large = Style(scale.line, scale.line * (1.05 if low or many else 1.4), True)
    has_cards = low and any(button.card for button in sheet.choices)
    plain = scale.line * (1.05 if has_cards else 1.6)
    caption = Style(scale.small, scale.small * (1.0 if low else 1.25), True)
    title = caption if sheet.headline else Style(scale.line, plain, True)
    crowded = scale.near and sheet.cautions and sheet.headline  # no rows are left for the lines
    lines = (" · ".join(sheet.lines),) if crowded else sheet.lines
    first = sheet.headline[:1].upper() + sheet.headline[1:]
    headline = (TextBlock(first, large, scale.mm(1.2)),) if first else ()
    next_to_it = Style(scale.small * 1.2, scale.line, True)
    second = (TextBlock(sheet.second, next_to_it, scale.mm(1.2)),) if sheet.second else ()
    title_line = " · ".join(filter(None, (sheet.title, sheet.status)))
    blocks = [
        TextBlock(title_line, title, scale.mm(0.8 if sheet.headline else 1.5)),
        *(TextBlock(notice, loud, scale.mm(1.2)) for notice in notices),
        *headline,
        *second,
        *(TextBlock(line, small, scale.mm(1.0)) for line in lines),
    ]
    return blocks, len(blocks) - len(lines)  # the first line is in ink, as is everything above it


def least_head(scale: Scale, with_headline: bool) -> float:
    """Return the height of a title and a notice below it, so that no key moves for a notice.

    With a headline the title is a caption above it.
    """
    title, small = scale.line / CAPITAL, scale.small / CAPITAL
    rows = 2 if with_headline else 1
    return height(1, title) + rows * (height(1, small) + scale.mm(1.0)) + scale.mm(0.8)


LOOKED_AT_SHARE = 0.3
PLATE_LINES = 4.0  # height of a plate beside plain lines, in capitals
GARMENT_HEAD = 0.62  # of the height: what the lines above a finished garment can take


def head_of(page: Widget, sheet: Sheet, body: Box, scale: Scale) -> Box:
    """Return the box of the head's words; what is to be looked at is put at their right."""
    look, share = sheet.look, 1.0
    if sheet.choices:
        share = 0.45 if len(sheet.lines) > 2 else 0.36 if sheet.headline else 0.3
        share = max(share, 0.45) if len(sheet.choices) <= 2 and sheet.lines else share
        share = 1.0 if key_beside_words(sheet, scale) else share
    elif isinstance(look, Bench) and scale.portrait:
        share = GARMENT_HEAD
    head = body.from_top(body.h * share)[0]
    if look is None or (scale.portrait and not sheet.choices):
        return head
    place, head = head.from_right(head.w * LOOKED_AT_SHARE, scale.mm(3.0))
    if not sheet.choices and not isinstance(look, Bench):
        place = place.from_top(min(place.h, scale.line * PLATE_LINES))[0]
    page.add_widget(look_widget(place, scale, look))
    return head


BESIDE_MM = 22.0


def key_beside_words(sheet: Sheet, scale: Scale) -> bool:
    """Return whether the one key goes beside the words: low screens have no row left for it."""
    return bool(sheet.cautions) and len(sheet.choices) == 1 and not scale.portrait


def put_below(page: Widget, look: LookDrawing, left: Box, scale: Scale) -> None:
    """Put what is to be looked at below the lines, if there is room."""
    if left.h >= scale.target:
        page.add_widget(look_widget(left.from_top(min(left.h, left.w))[0], scale, look))


def look_widget(place: Box, scale: Scale, look: LookDrawing) -> Widget:
    """Return a widget of what is to be looked at: a garment as worn, or what is in the hand."""
    if isinstance(look, Worn):
        return AsWorn(place, scale, ("", None), (look.number, None), "", LIGHT)
    if isinstance(look, Bench):
        return garment_art(place, scale, look)
    return LookPicture(place, scale, look)


def typed_field(page: Widget, text: str, field: Box, scale: Scale) -> None:
    """Draw the field with what has been typed."""
    with page.canvas.before:
        fill(field, WHITE)
        frame(field, INK, scale.mm(0.5))
    style = Style(scale.small, scale.line * 1.4, bold=True, rows=1)
    page.add_widget(Text(text or " ", field.inset(scale.mm(1.5)), style, INK))


def key(text: str) -> str:
    """Return a key's text for comparing: any decimal sign of a keyboard matches the pad's."""
    return text.casefold().replace(",", ".")


TWO_LINES_MM = 60.0  # of a button with an answer below its words
WIDTH_MM = 48.0  # of a choice with words, if the page does not set the columns
CARD_MM = 85.0  # of a card with all its figures
ROW_MM = 30.0  # of a plain button below cards: narrower ones take two rows


def grid(
    labels: Sequence[str], body: Box, wanted: int, scale: Scale, gap: float, two_lines: bool = False
) -> tuple[int, int]:
    """Return columns and rows of glove-sized buttons, for all of them if they fit.

    `wanted` columns, 0 if the page leaves them open; `gap` px between buttons. Buttons with a
    second line (`two_lines`) are broader; sentences go one below the other if they can.
    """
    count = len(labels)
    target = scale.target
    most_rows = max(1, int((body.h + gap) // (target + gap)))
    if wanted:
        widest = max(1, int((body.w + gap) // (target + gap)))
        columns = min(widest, max(wanted, -(-count // most_rows)))
    else:
        least = scale.mm(TWO_LINES_MM if two_lines else WIDTH_MM)
        widest = max(1, int((body.w + gap) // (least + gap)))
        columns = min(widest, max(1, -(-count // most_rows)))
        if columns == 1 and count > 3 and widest > 1 and not _are_sentences(labels, body, scale):
            columns = 2
    return columns, min(most_rows, -(-count // columns))


def _are_sentences(labels: Sequence[str], body: Box, scale: Scale) -> bool:
    """Return whether any label would need more than two rows in half of the room."""
    em = scale.label / CAPITAL
    return max(breadth(label, True) for label in labels) * em > body.w


WORD_COLUMNS = 3  # the most columns that a word takes in the last row of keys


def widen_words(boxes: tuple[Box, ...], labels: Sequence[str], gap: float) -> tuple[Box, ...]:
    """Return boxes of keys, in which words in a last row that is not full share its free room."""
    last = [n for n in range(len(labels)) if boxes[n].y == boxes[len(labels) - 1].y]
    word_places = [n for n in last if len(labels[n]) > 1]
    free = len({box.x for box in boxes}) - len(last)
    more = min(WORD_COLUMNS - 1, free // len(word_places)) if word_places else 0
    placed, x = list(boxes), boxes[last[0]].x
    for n in last:
        wide = boxes[n].w + more * (boxes[n].w + gap) if n in word_places else boxes[n].w
        placed[n], x = boxes[n]._replace(x=x, w=wide), x + wide + gap
    return tuple(placed)


def card_grid(count: int, body: Box, scale: Scale, gap: float, most: int = 0) -> tuple[int, int]:
    """Return columns and rows of cards, as broad as possible and high enough for a glove.

    At most `most` columns, 0 for any number; cards that do not fit are on further pages.
    """
    most_rows = max(1, int((body.h + gap) // (scale.target + gap)))
    widest = max(1, int((body.w + gap) // (scale.mm(WIDTH_MM) + gap)))
    columns = min(widest, max(1, -(-count // most_rows)), most or widest)
    if columns == 1 and body.w > scale.mm(2 * CARD_MM) and count > 1:
        columns = 2
    return columns, min(most_rows, -(-count // columns))


def below_cards(
    plain: int, cards: int, body: Box, scale: Scale, gap: float, most: int
) -> tuple[int, int]:
    """Return columns and rows of plain buttons below cards: one row, or two if it were too narrow.

    Two only if the cards above stay as broad; (0, 0) if not all cards fit above one row.
    """

    def above(rows: int) -> tuple[int, bool]:
        rest = body.from_bottom(rows * (scale.target + gap) - gap, gap)[1]
        columns, lines = card_grid(cards, rest, scale, gap, most)
        return columns, cards <= columns * lines

    if not cards or not plain or not above(1)[1]:
        return 0, 0
    narrow = (body.w + gap) / plain - gap < scale.mm(ROW_MM)
    return (-(-plain // 2), 2) if narrow and above(2) == above(1) else (plain, 1)


def side_needs(beside: tuple[Button | None, ...], scale: Scale) -> float:
    """Return the width, px, that the longest word beside the bar needs."""
    words = [word for button in beside if button is not None for word in button.label.split()]
    em = scale.small / CAPITAL
    return max((breadth(word, True) * em for word in words), default=0.0) + scale.mm(5.0)
