"""Rows to choose from, a page at a time: no scrolling with a glove."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kiosk.station.glass.boxes import Box
from kiosk.station.glass.sizes import Scale
from kiosk.station.glass.theme import INK
from kiosk.station.glass.type import Style
from kiosk.station.glass.widgets.buttons import PaperButton
from kiosk.station.glass.widgets.paint import Drawn
from kiosk.station.glass.widgets.text import Text


class ListRows(Drawn):
    """Paper buttons under each other, `(label, line)` each; `on_choose` gets the row's index.

    Where they do not all fit, `earlier` and `later` turn the page; `place` writes which.
    """

    def __init__(
        self,
        box: Box,
        scale: Scale,
        rows: Sequence[tuple[str, str]],
        on_choose: Callable[[int], None],
        turn: tuple[str, str, Callable[[int, int], str]],
        columns: int = 1,
    ) -> None:
        super().__init__(box)
        self.scale = scale
        self.rows = tuple(rows)
        self.on_choose = on_choose
        self.turn = turn
        self.columns = columns
        self.page = 0
        self.gap = scale.mm(2.0)
        self.row_height = max(scale.target, scale.mm(17.0 if any(r[1] for r in rows) else 15.0))
        self._draw()

    def _fitting(self, height: float) -> int:
        return max(1, int((height + self.gap) // (self.row_height + self.gap))) * self.columns

    @property
    def pages(self) -> int:
        """How many pages the rows take."""
        if len(self.rows) <= self._fitting(self.box.h):
            return 1
        each = self._fitting(self.box.h - self.scale.target - self.gap)
        return -(-len(self.rows) // each)

    def show_page(self, page: int) -> None:
        """Turn to a page, the first one being 0."""
        self.page = min(self.pages - 1, max(0, page))
        self._draw()

    def _draw(self) -> None:
        self.clear_widgets()
        room = self.box
        if self.pages > 1:
            foot, room = room.from_bottom(self.scale.target, self.gap)
            self._turners(foot)
        each = self._fitting(room.h)
        shown = self.rows[self.page * each : (self.page + 1) * each]
        lines = max(1, each // self.columns)
        tall = lines * self.row_height + (lines - 1) * self.gap
        grid = room.from_top(min(room.h, tall))[0].grid(self.columns, lines, self.gap)
        for i, (label, line) in enumerate(shown):
            self._row(grid[i], self.page * each + i, label, line)

    def _row(self, box: Box, index: int, label: str, line: str) -> None:
        self.add_widget(
            PaperButton(box, self.scale, label, lambda: self.on_choose(index), line, "left")
        )

    def _turners(self, foot: Box) -> None:
        earlier, later, place = self.turn
        third = foot.w * 0.3
        left, rest = foot.from_left(third, self.gap)
        right, middle = rest.from_right(third, self.gap)
        if self.page:
            self.add_widget(
                PaperButton(left, self.scale, earlier, lambda: self.show_page(self.page - 1))
            )
        if self.page < self.pages - 1:
            self.add_widget(
                PaperButton(right, self.scale, later, lambda: self.show_page(self.page + 1))
            )
        style = Style(self.scale.small, self.scale.label)
        self.add_widget(Text(place(self.page + 1, self.pages), middle, style, INK, "center"))
