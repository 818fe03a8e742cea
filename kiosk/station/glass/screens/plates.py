"""The sheet line, the peel mark with its word, the garment's number and wearer, chips."""

from collections.abc import Callable

from kiosk.catalog.base import dataclass
from kiosk.plan.phrases import panel_word
from kiosk.run.facts import PeelZone, ScreenKind
from kiosk.run.show import View
from kiosk.run.state import TicketStage
from kiosk.station.desk.sheet import Action, ChipTouched
from kiosk.station.glass.boxes import Box
from kiosk.station.glass.screens.page import WorkPage
from kiosk.station.glass.type import CAPITAL, NARROWEST, Style, TextBlock, breadth, fit, height
from kiosk.station.glass.widgets.marks import ASPECT, BELOW, Numeral, PeelMark, shirt
from kiosk.station.glass.widgets.paint import corner, fill, frame, outline
from kiosk.station.glass.widgets.ribbon import LEAST_WIDTH_MM, ChipBox, Tag, chip_height, places

SHEET_WORDS = ("sheet_line.on", "sheet_line.off")
WEARER_SHARE = 0.36


def plate_size(page: WorkPage) -> tuple[float, float]:
    """Return the size in px of the sheet line's plate, the same for both of its words."""
    em = page.scale.big / CAPITAL
    wide = max(breadth(page.words(word), True) for word in SHEET_WORDS) * em
    return wide + page.scale.mm(2.6), height(1, em) + page.scale.mm(0.6)


def draw_sheet(page: WorkPage, view: View, content: Box) -> None:
    """Draw the sheet line in the upper right corner: filled for on, framed for off."""
    if view.sheet_word is None:
        return
    wide, high = plate_size(page)
    plate = Box(content.right - wide, content.top - high, wide, high)
    shade, on = page.shade, bool(view.sheet)
    with page.root.canvas:
        if on:
            fill(plate, shade.text)
        frame(plate, shade.text, page.scale.mm(0.6))
    style = Style(page.scale.big, page.scale.big, bold=True, rows=1)
    colour = shade.ground if on else shade.text
    inner = plate.inset(page.scale.mm(1.0), 0)
    page.text(page.say(view.sheet_word), inner, style, colour, "center", "capitals")


def peel_height(page: WorkPage) -> float:
    """Return the height of a peel mark with its word, px."""
    return height(1, page.scale.big / CAPITAL)


def peel_width(page: WorkPage, view: View) -> float:
    """Return the least width of a peel mark with its short word in narrow letters, px."""
    em = page.scale.big / CAPITAL
    wide = em * breadth(_short_word(page, view), True) * NARROWEST
    return wide + peel_height(page) + page.scale.mm(2.2)


def _short_word(page: WorkPage, view: View) -> str:
    return page.words(f"chip.{view.peel.word}") if view.peel is not None else ""


def draw_peel(page: WorkPage, view: View, box: Box, line: bool = True) -> None:
    """Draw the peel mark and its word in `box`, followed by its line if that fits."""
    if view.peel is None:
        return
    scale, em = page.scale, page.scale.big / CAPITAL
    row, _ = box.from_top(peel_height(page))
    mark, rest = row.from_left(row.h, scale.mm(1.8))
    page.put(PeelMark, mark.inset(scale.mm(0.6)), view.peel, page.shade.text)
    full = page.say(view.peel_word) if view.peel_word is not None else ""
    lined = scale.mm(18.0 + 2.5) if line and view.peel_line is not None else 0.0
    short = breadth(_short_word(page, view), True) * em + lined > rest.w  # then no line in any case
    fits = breadth(full, True) * em + (0.0 if short else lined) <= rest.w
    word = full if full and fits else _short_word(page, view)
    words, rest = rest.from_left(min(rest.w, breadth(word, True) * em + 2), scale.mm(2.5))
    page.text(word, words, Style(scale.big, scale.big, bold=True, rows=1))
    if line and view.peel_line is not None and rest.w > scale.mm(18):
        page.text(page.say(view.peel_line), rest, Style(scale.small, scale.line, rows=3))


def number_height(capital: float) -> float:
    """Return the height of a number with capitals of `capital` px, including its foot bar."""
    return capital * (1 + BELOW)


def draw_number(page: WorkPage, view: View, box: Box, capital: float, shirted: bool = False) -> Box:
    """Draw the number at the left of `box`, after a shirt if `shirted`; return the rest."""
    if not view.number:
        return box
    wide = breadth(view.number, True) * capital / CAPITAL
    if shirted:
        gap = page.scale.mm(1.6)
        room = min(box.h * 0.72 * ASPECT, box.w - wide - set_width(page, view) - gap - 2)
        place, box = box.from_left(max(0.0, room), gap)
        if place.w > page.scale.mm(5):
            place = place.inset(0, max(0.0, place.h - place.w / ASPECT) / 2)
            with page.root.canvas:
                outline(shirt(place), page.shade.text, page.scale.mm(0.5))
    place, rest = box.from_left(min(box.w, wide + 2), page.scale.mm(3.5))
    place, _ = place.from_top(min(place.h, number_height(capital)))
    page.put(Numeral, place, view.number, page.shade.text, capital)
    return _set_beside(page, view, rest, capital) if shirted and view.set else rest


def set_width(page: WorkPage, view: View) -> float:
    """Return the width of the set beside a number on a dark screen, px; 0 without a set."""
    if not view.set:
        return 0.0
    return breadth(view.set, True) * page.scale.line / CAPITAL + page.scale.mm(3.5)


def _set_beside(page: WorkPage, view: View, box: Box, capital: float) -> Box:
    """Write the set on the number's baseline; on a light screen it is in the wearer's line."""
    place, rest = box.from_left(min(box.w, set_width(page, view)), page.scale.mm(2.0))
    place, _ = place.from_top(min(place.h, capital))
    style = Style(page.scale.small, page.scale.line, bold=True, rows=1)
    page.text(view.set, place, style, page.shade.text, valign="bottom")
    return rest


def wearer_height(page: WorkPage, tall: float = 0.0) -> float:
    """Return the least height of name, size and panel, one below the other, px.

    In a column `tall` px high it is a larger share: they are read at the inspection.
    """
    em = page.scale.small / CAPITAL
    least = (2 if page.name else 1) * height(1, em) + page.scale.mm(0.8)
    return max(least, min(2.0 * least, WEARER_SHARE * tall))


def draw_wearer(page: WorkPage, view: View, box: Box, middle: bool = True) -> None:
    """Draw name, size and panel in the middle of a box, or at its top."""
    scale, shade = page.scale, page.shade
    detail = " · ".join(part for part in (view.set, view.size, _panel(page, view)) if part)
    blocks, colours = [], []
    if page.name:
        room = fit(page.name, Style(scale.small, scale.big, bold=True, rows=1), box.w, box.h * 0.55)
        most = max(scale.small, room.em * CAPITAL)
        least = min(scale.line, most)
        blocks.append(TextBlock(page.name, Style(least, most, bold=True), scale.mm(0.6)))
        colours.append(shade.text)
    if detail:
        row = fit(detail, Style(scale.small, scale.line * 1.15, rows=1), box.w, box.h)
        most = max(scale.small, row.em * CAPITAL)
        blocks.append(TextBlock(detail, Style(min(scale.small, most), most)))
        colours.append(shade.second)
    if blocks and box.w > scale.mm(12):
        page.column(box, blocks, colours, middle=middle)


def _panel(page: WorkPage, view: View) -> str:
    word = panel_word(view.panel)
    return word if isinstance(word, str) else page.say(word)


MORE_MM, MORE_WORD_MM = 12.0, 25.0  # with a word below the figure
LAID_LINES = ("line.lay.", "line.top.")  # colours, and what is laid first
MARK_MM = 3.0


def has_chips(view: View) -> bool:
    """Return whether anything is on the rack or put aside."""
    return bool(view.chips or view.aside)


def due_chips(view: View) -> tuple[int, ...]:
    """Return the indices of the chips whose peel is due or late."""
    return tuple(i for i, chip in enumerate(view.chips) if chip.zone is not PeelZone.SOON)


def draw_due(page: WorkPage, view: View, content: Box) -> Box:
    """Draw what is due on the rack at the foot of a page of its own; return the room above."""
    due = due_chips(view)
    if not due:
        return content
    row, rest = content.from_bottom(chip_height(page.scale), page.scale.mm(2.0))
    _draw_in_order(page, view, row, sorted(due, key=lambda i: _rank(view, i)))
    return rest


def draw_chips(page: WorkPage, view: View, row: Box) -> None:
    """Draw the chips that fit into the row, the most important first, and count the rest."""
    every = range(len(view.chips) + len(view.aside))
    _draw_in_order(page, view, row, sorted(every, key=lambda i: _rank(view, i)))


def _draw_in_order(page: WorkPage, view: View, row: Box, order: list[int]) -> None:
    boxes = places(row, page.scale, len(order))
    if len(boxes) < len(order):
        boxes = _with_more(page, view, row, order)
    if has_rack(view):
        mark_closer(page, row)
    for i, box in zip(order, boxes, strict=False):
        if i < len(view.chips):
            _chip(page, view, box, i)
        else:
            _aside(page, view, box, i - len(view.chips))


def _rank(view: View, i: int) -> int:
    """Return a chip's order in the row: looked at, served next, waiting for a decision, others."""
    looked_at, chip_count = (view.ticket, view.inspect_ticket), len(view.chips)
    if i < chip_count:
        chip = view.chips[i]
        return 0 if chip.ticket in looked_at else 1 if chip.following else 3
    aside = view.aside[i - chip_count]
    return 0 if aside.ticket in looked_at else 2 if aside.stage is TicketStage.STOPPED else 3


def _with_more(page: WorkPage, view: View, row: Box, order: list[int]) -> tuple[Box, ...]:
    """Draw how many do not fit, with a word if one of them waits for a supervisor.

    Return the boxes of the others.
    """
    scale, count, chips = page.scale, len(order), len(view.chips)
    more, rest = row.from_right(scale.mm(MORE_MM), scale.mm(2.0))
    hidden = (view.aside[i - chips] for i in order[len(places(rest, scale, count)) :] if i >= chips)
    word = next((page.say(each.word) for each in hidden if each.stage is TicketStage.STOPPED), "")
    if word and row.w >= scale.mm(LEAST_WIDTH_MM + 2.0 + MORE_WORD_MM):
        more, rest = row.from_right(scale.mm(MORE_WORD_MM), scale.mm(2.0))
    boxes = places(rest, scale, count)
    _more(page, more, f"+{count - len(boxes)}", word)
    return boxes


CLOSER = frozenset({ScreenKind.HANDS, ScreenKind.HEAT, ScreenKind.OVER})
"""Screens on which a touch in an empty place shows the rack over the page."""


def has_rack(view: View) -> bool:
    """Return whether the rack can be looked at closer; not while a result is asked for."""
    return view.kind in CLOSER and bool(view.chips) and not view.inspecting


def has_closer(view: View) -> bool:
    """Return whether pieces are laid, so that there is something to look at closer."""
    return any(line.id.startswith(LAID_LINES) for line in view.lines)


def mark_closer(page: WorkPage, box: Box) -> None:
    """Mark the corner of what a touch shows larger."""
    with page.root.canvas:
        corner(box, page.shade.text, page.scale.mm(MARK_MM), page.scale.mm(0.7))


@dataclass(frozen=True, slots=True)
class ChipTouch:
    """What a touch on a chip does; touches of the same chip are equal."""

    act: Callable[[Action], None]
    ticket: str

    def __call__(self) -> None:
        """Ask for a look at the garment."""
        self.act(ChipTouched(self.ticket))


def _chip(page: WorkPage, view: View, box: Box, index: int) -> None:
    chip, touch = view.chips[index], ChipTouch(page.act, view.chips[index].ticket)
    say = page.words.say
    chip_box = page.cache.get(ChipBox, box, page.scale, chip.number, say, page.shade, touch)
    chip_box.show(chip)
    page.add(chip_box)
    page.live.append(lambda later: chip_box.show(later.chips[index]))


def _aside(page: WorkPage, view: View, box: Box, index: int) -> None:
    aside = view.aside[index]
    tag = Tag(box, page.scale, aside.number, page.shade, ChipTouch(page.act, aside.ticket))
    tag.draw(page.shade.ground, page.shade.text, page.say(aside.word), aside.set, 0.0)
    page.add(tag)


def _more(page: WorkPage, box: Box, figure: str, word: str) -> None:
    """Draw how many more there are; "!" stands for `word` if that does not fit below."""
    scale, room = page.scale, box.inset(page.scale.mm(1))
    with page.root.canvas:
        frame(box, page.shade.text, scale.mm(0.3))
    if word and box.w < scale.mm(MORE_WORD_MM):
        figure = f"{figure} !"
    elif word:
        below, room = room.from_bottom(height(2, scale.small / CAPITAL))
        page.text(word, below, Style(scale.small, scale.small, bold=True, rows=2), halign="center")
    style = Style(scale.label, scale.line, bold=True, rows=1)
    page.text(figure, room, style, halign="center")


def remark(page: WorkPage, text: str, box: Box) -> Box:
    """Draw a line that asks for nothing at the right of the wearer; return the rest."""
    place, rest = box.from_right(box.w * 0.5, page.scale.mm(3.0))
    style = Style(page.scale.small, page.scale.line, rows=4)
    page.text(text, place, style, page.shade.second)
    return rest
