"""The row of chips: garments that cool, then those that wait for a person."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from kiosk.run.show import View
from kiosk.station.actions import Action, ChipTouched
from kiosk.station.boxes import Box
from kiosk.station.screens.page import Page
from kiosk.station.type import Style
from kiosk.station.widgets.chips import ChipBox, Tag, places
from kiosk.station.widgets.paint import frame

MORE_MM = 12.0


def chips_wanted(view: View) -> bool:
    """Tell whether anything lies on the rack or aside."""
    return bool(view.chips or view.aside)


def draw_chips(page: Page, view: View, row: Box) -> None:
    """Draw as many chips as the row holds, oldest first, and how many more there are.

    Where not all have room, the one that is served next stands first.
    """
    count = len(view.chips) + len(view.aside)
    boxes = places(row, page.scale, count)
    if len(boxes) < count:
        more, rest = row.from_right(page.scale.mm(MORE_MM), page.scale.mm(2.0))
        boxes = places(rest, page.scale, count)
        _more(page, more, count - len(boxes))
    order = list(range(count))
    if len(boxes) < count:
        order.sort(key=lambda i: not (i < len(view.chips) and view.chips[i].following))
    for i, box in zip(order, boxes, strict=False):
        if i < len(view.chips):
            _chip(page, view, box, i)
        else:
            _aside(page, view, box, i - len(view.chips))


@dataclass(frozen=True, slots=True)
class Touch:
    """What a touch of a chip does; two that do the same are equal."""

    act: Callable[[Action], None]
    ticket: str

    def __call__(self) -> None:
        """Ask for a look at the garment."""
        self.act(ChipTouched(self.ticket))


def _chip(page: Page, view: View, box: Box, index: int) -> None:
    chip, touch = view.chips[index], Touch(page.act, view.chips[index].ticket)
    say = page.words.say
    shown = page.kept.get(ChipBox, box, page.scale, chip.number, say, page.shade, touch)
    shown.show(chip)
    page.add(shown)
    page.live.append(lambda later: shown.show(later.chips[index]))


def _aside(page: Page, view: View, box: Box, index: int) -> None:
    aside = view.aside[index]
    tag = Tag(box, page.scale, aside.number, page.shade, Touch(page.act, aside.ticket))
    tag.draw(page.shade.ground, page.shade.text, page.say(aside.word), aside.set, 0.0)
    page.add(tag)


def _more(page: Page, box: Box, count: int) -> None:
    with page.root.canvas:
        frame(box, page.shade.text, page.scale.mm(0.3))
    style = Style(page.scale.label, page.scale.line, bold=True, rows=1)
    page.text(f"+{count}", box.inset(page.scale.mm(1)), style, halign="center")
