"""The cross-section: what is on the cloth, what is going down, carrier and sheet on or off."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kiosk.catalog.base import Message
from kiosk.run.show import Slab, StackSlab
from kiosk.station.boxes import Box
from kiosk.station.sizes import Scale
from kiosk.station.theme import CLOTH, DIM, MUTED, WHITE, Colour, Shade, film
from kiosk.station.type import CAPITAL, Style, breadth, height
from kiosk.station.widgets.drawn import Drawn
from kiosk.station.widgets.paint import fill, frame
from kiosk.station.widgets.text import Text

SWATCH_MM = 13.0
LIFT_MM = 1.2  # what is going down floats above the rest
GROUNDS: dict[Slab, Colour | None] = {
    Slab.PLATEN: DIM,
    Slab.SHEET: WHITE,
    Slab.CARRIER: None,
    Slab.CLOTH: CLOTH,
    Slab.PAD: MUTED,
}


def stack_size(
    slabs: Sequence[StackSlab], scale: Scale, say: Callable[[Message], str]
) -> tuple[float, float]:
    """Return the width and height in px that a cross-section takes."""
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
        shade: Shade,
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
        ground = film(slab.colour) if slab.slab is Slab.FILM else GROUNDS[slab.slab]
        with self.canvas:
            if ground is not None:
                fill(swatch, ground)
            frame(swatch, self.shade.text, self.scale.mm(0.6 if slab.coming else 0.3))
        style = Style(self.scale.small, self.scale.small, bold=slab.coming, rows=1)
        self.add_widget(Text(word, words, style, self.shade.text))
