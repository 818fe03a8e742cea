"""The ribbon: where in the procedure we are, by the names of this recipe's phases."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kiosk.catalog.message import Message
from kiosk.run.views import Done, Mark
from kiosk.station.boxes import Box
from kiosk.station.sizes import Scale
from kiosk.station.theme import Shade
from kiosk.station.type import CAPITAL, Style, breadth, height
from kiosk.station.widgets.drawn import Drawn
from kiosk.station.widgets.paint import fill, frame
from kiosk.station.widgets.text import Text


def bars_height(scale: Scale) -> float:
    """Return the height that the fields take without names, px."""
    return scale.mm(2.6)


def ribbon_height(scale: Scale, one_row: bool = False) -> float:
    """Return the height that a ribbon takes, px."""
    names = height(1, scale.small / CAPITAL)
    return names if one_row else bars_height(scale) + scale.mm(0.6) + names


class Ribbon(Drawn):
    """A field for each phase; names stand below as far as there is room, nearest ones first.

    In `one_row` only what is at hand is named, at the right of the fields.
    """

    def __init__(
        self,
        box: Box,
        scale: Scale,
        marks: Sequence[Mark],
        say: Callable[[Message], str],
        shade: Shade,
        one_row: bool = False,
    ) -> None:
        super().__init__(box)
        if not marks:
            return
        now = " · ".join(say(mark.label) for mark in marks if mark.done is Done.NOW)
        if one_row:
            bars, names = self._name_at_right(box, scale, now, shade), box
        else:
            bars, names = box.from_top(bars_height(scale), scale.mm(0.6))
        fields = bars.grid(len(marks), 1, scale.mm(0.8))
        with self.canvas:
            for field, mark in zip(fields, marks, strict=True):
                self._field(field, mark, scale, shade)
        if not one_row:
            self._names(names, scale, [say(mark.label) for mark in marks], fields, marks, shade)

    def _name_at_right(self, box: Box, scale: Scale, now: str, shade: Shade) -> Box:
        """Name what is at hand; returns where the fields stand."""
        wide = breadth(now, True) * scale.small / CAPITAL + 2
        place, bars = box.from_right(min(wide, box.w / 2), scale.mm(2.0))
        style = Style(scale.small, scale.small, bold=True, rows=1)
        self.add_widget(Text(now, place, style, shade.text, "right"))
        return bars.inset(0, (bars.h - bars_height(scale)) / 2)

    def _field(self, field: Box, mark: Mark, scale: Scale, shade: Shade) -> None:
        if mark.done is Done.NOW:
            fill(field, shade.text)
            return
        low = Box(field.x, field.y + scale.mm(0.6), field.w, field.h - scale.mm(1.2))
        if mark.done is Done.DONE:
            fill(low, shade.text)
        else:
            frame(low, shade.text, scale.mm(0.3))

    def _names(
        self,
        room: Box,
        scale: Scale,
        names: Sequence[str],
        fields: Sequence[Box],
        marks: Sequence[Mark],
        shade: Shade,
    ) -> None:
        """Put the names of what is at hand first, then those beside it, while they fit."""
        now = [i for i, mark in enumerate(marks) if mark.done is Done.NOW]
        middle = sum(now) / len(now) if now else 0.0
        taken: list[Box] = []
        em = scale.small / CAPITAL
        for i in sorted(range(len(names)), key=lambda i: (abs(i - middle), i)):
            bold = marks[i].done is Done.NOW
            wide = breadth(names[i], bold) * em + 2
            x = min(max(fields[i].centre[0] - wide / 2, room.x), room.right - wide)
            place = Box(x, room.y, wide, room.h)
            apart = place.inset(-scale.mm(0.8), 0)
            if any(apart.overlaps(other) for other in taken):
                continue
            taken.append(place)
            style = Style(scale.small, scale.small, bold=bold, rows=1)
            colour = shade.text if bold else shade.second
            self.add_widget(Text(names[i], place, style, colour, "center"))
