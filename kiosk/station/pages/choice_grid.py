"""How the buttons of a page stand: choices in columns and rows, two beside the bar."""

from __future__ import annotations

from kiosk.station.boxes import Box
from kiosk.station.pages.sheet import Button
from kiosk.station.sizes import Scale
from kiosk.station.type import CAPITAL, breadth

WIDTH_MM = 48.0  # of a choice with words, where the page does not say how many columns
CARD_MM = 85.0  # of a card with all its figures


def grid(count: int, body: Box, wanted: int, scale: Scale, gap: float) -> tuple[int, int]:
    """Columns and rows of buttons no smaller than a glove needs, all of them if they fit.

    `wanted` columns, 0 where the page leaves them open; `gap` px between buttons.
    """
    target = scale.target
    most_rows = max(1, int((body.h + gap) // (target + gap)))
    if wanted:
        widest = max(1, int((body.w + gap) // (target + gap)))
        columns = min(widest, max(wanted, -(-count // most_rows)))
    else:
        widest = max(1, int((body.w + gap) // (scale.mm(WIDTH_MM) + gap)))
        columns = min(widest, max(1, -(-count // most_rows)))
        if columns == 1 and count > 3 and widest > 1:
            columns = 2
    return columns, min(most_rows, -(-count // columns))


def card_grid(count: int, body: Box, scale: Scale, gap: float) -> tuple[int, int]:
    """Columns and rows of cards: as broad as all of them allow, no lower than a glove needs."""
    most_rows = max(1, int((body.h + gap) // (scale.target + gap)))
    widest = max(1, int((body.w + gap) // (scale.mm(WIDTH_MM) + gap)))
    columns = min(widest, max(1, -(-count // most_rows)))
    if columns == 1 and body.w > scale.mm(2 * CARD_MM) and count > 1:
        columns = 2
    return columns, min(most_rows, -(-count // columns))


def side_needs(beside: tuple[Button | None, ...], scale: Scale) -> float:
    """Return the width, px, that the longest word beside the bar needs."""
    words = [word for button in beside if button is not None for word in button.label.split()]
    em = scale.small / CAPITAL
    return max((breadth(word, True) * em for word in words), default=0.0) + scale.mm(5.0)
