"""How far an inspection has come, and the choices of its pages."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from kiosk.run.state import Stage
from kiosk.station.boxes import Box
from kiosk.station.screens.ask import Choices
from kiosk.station.screens.page import Page
from kiosk.station.type import CAPITAL, Style, height
from kiosk.station.widgets.paper_button import PaperButton, alike


@dataclass(frozen=True, slots=True)
class Judging:
    """How far an inspection has come: the result, then the class of defect.

    `stage` None for no result: where it lies and how it feels is asked instead.
    """

    ticket: str
    number: str
    stage: Stage | None
    defect: str = ""
    reads: bool = False  # a thermometer's reading is being entered


Turn = Callable[[Judging], None]


@dataclass(frozen=True, slots=True)
class Chosen:
    """What a choice turns to, what a pedal steps through, and the figures typed so far."""

    turn: Turn
    choices: Choices
    typed: list[str]


def grid(
    page: Page,
    content: Box,
    title: str,
    words: Sequence[tuple[str, Callable[[], None]]],
    choices: Choices,
) -> None:
    """Draw a title and choices below it, to be touched or stepped through."""
    scale, gap = page.scale, page.scale.mm(2.0)
    columns = 2 if scale.portrait else 3
    head = height(1, scale.line / CAPITAL) + gap
    while -(-len(words) // columns) * (scale.target + gap) > content.h - head:
        columns += 1
    rows = -(-len(words) // columns)
    top, room = content.from_top(head - gap, gap)
    page.text(title, top, Style(scale.small, scale.line * 1.2, bold=True, rows=1))
    tall = min(room.h, rows * scale.mm(22) + (rows - 1) * gap)
    boxes = room.from_top(tall)[0].grid(columns, rows, gap)
    most = alike(scale, [(box, word, "") for box, (word, _) in zip(boxes, words, strict=False)])
    for box, (word, choose) in zip(boxes, words, strict=False):
        button = PaperButton(box, scale, word, choose, most=most)
        page.add(button)
        choices.buttons.append(button)
