"""A garment's temperatures over time: bond and cloth, named closings, levels, ranges."""

from collections.abc import Iterable, Iterator, Sequence
from math import dist

from kiosk.catalog.base import Degrees, converted, degrees
from kiosk.plan.heat import PhaseSpan
from kiosk.station.desk.sheet import HeatPicture
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.theme import CLOTH, CLOTH_EDGE, INK, MUTED, WHITE, Colour
from kiosk.station.glass.type import CAPITAL, Style, breadth
from kiosk.station.glass.widgets.paint import Drawn, dashes, fill, frame, outline
from kiosk.station.glass.widgets.text import Text

ROW = 1.9  # height of a row of words, in capitals
CEILING, FLOOR = 8.0, 5.0  # °C left free above the highest and below the lowest
STEPS = {Degrees.C: (25, 50, 100), Degrees.F: (50, 100, 200)}
SECONDS = (10, 30, 60, 120, 300)
MOST_TICKS = 7
MOST_LEVEL = 0.35  # of the plot's width: a longer name of a level is replaced by its degrees
NEAREST_MM, SAMPLE_MM = 0.5, 8.0


class HeatGraph(Drawn):
    """A heat curve drawn into `box` in the scale's small letters."""

    def __init__(self, box: Box, scale: Scale, picture: HeatPicture) -> None:
        super().__init__(box)
        self.picture = picture
        self.scale = scale
        self.style = Style(scale.small * 0.9, scale.small, rows=1)
        self.row = scale.small * ROW
        legend, rest = box.from_bottom(self.row * (self._legend_places()[-1][0] + 1))
        names, rest = rest.from_top(self.row)
        left = self._wide("000") + scale.mm(2.0)
        self.plot = rest.from_right(rest.w - left, 0.0)[0]
        axis, foot = self._axis()
        self.plot = self.plot.from_bottom(foot.top - self.plot.y)[1]
        lowest = min(t for p in picture.curve.points for t in (p.bond, p.cloth) if t is not None)
        self._low, self._high = lowest - FLOOR, picture.curve.highest + CEILING
        with self.canvas:
            self._closings()
            self._now()
        self._levels()
        self._axes(axis, foot)
        self._names(names)
        with self.canvas:
            self._curves()
            self._ranges()
        self._legend(legend)

    # -- places -----------------------------------------------------------

    def x(self, seconds: float) -> float:
        """Return the x of a moment, seconds from loading."""
        return self.plot.x + self.plot.w * seconds / self.picture.curve.end

    def y(self, celsius: float) -> float:
        """Return the y of a temperature."""
        return self.plot.y + self.plot.h * (celsius - self._low) / (self._high - self._low)

    def _wide(self, text: str) -> float:
        return breadth(text, False) * self.scale.small / CAPITAL + self.scale.mm(0.5)

    def _say(self, text: str, box: Box, halign: str = "left", colour: Colour = MUTED) -> None:
        self.add_widget(Text(text, box, self.style, colour, halign, "middle"))

    # -- parts ------------------------------------------------------------

    def _closed(self) -> tuple[PhaseSpan, ...]:
        return tuple(span for span in self.picture.curve.phases if span.closed)

    def _closings(self) -> None:
        for span in self._closed():
            left, right = self.x(span.start), self.x(span.end)
            fill(Box(left, self.plot.y, max(2.0, right - left), self.plot.h), CLOTH)

    def _now(self) -> None:
        """Draw when to peel: a bare field with a frame, so that it needs no colour."""
        wait = self.picture.curve.wait
        if wait is None:
            return
        curve = self.picture.curve
        left = self.x(curve.opened + wait.from_seconds)
        right = self.x(min(curve.end, curve.opened + wait.to_seconds))
        field = Box(left, self.plot.y, max(2.0, right - left), self.plot.h)
        fill(field, WHITE)
        frame(field, CLOTH_EDGE, self.scale.mm(0.3))

    def _names(self, strip: Box) -> None:
        """Write the unit, and each closing's name above it, moved apart if names would touch."""
        unit, strip = strip.from_left(self.plot.x - strip.x)
        self._say(f"°{self.picture.unit.value}", unit)
        middles = (self.x((span.start + span.end) / 2) for span in self._closed())
        named = [(n, [middle]) for n, middle in zip(self.picture.closings, middles, strict=True)]
        gap = self.scale.mm(1.5)
        if sum(self._wide(name) + gap for name, _ in named) - gap > strip.w:
            named = _once_a_row(named)
        wides = [self._wide(name) for name, _ in named]
        lefts = strip.left_edges([sum(at) / len(at) for _, at in named], wides, gap)
        for (name, at), left, wide in zip(named, lefts, wides, strict=True):
            self._say(name, Box(left, strip.y, wide, strip.h), "center", INK)
            for middle in at:
                with self.canvas:
                    ends = ((left + wide / 2, strip.y + strip.h * 0.1), (middle, self.plot.top))
                    outline(ends, MUTED, 1.0, close=False)

    def _levels(self) -> None:
        """Draw each level as a dotted line with its name, or its degrees if that is too long."""
        right, free = self.plot.right - self.scale.mm(1.0), self.plot.y
        labelled = zip(self.picture.curve.levels, self.picture.levels, strict=True)
        for level, name in sorted(labelled, key=lambda each: each[0].celsius):
            y = self.y(level.celsius)
            with self.canvas:
                for x in range(round(self.plot.x), round(self.plot.right), 9):
                    fill(Box(x, y - 1, 3, 2), MUTED)
            label, box = name, self._beside_curve(name, right, y, free)
            if box.w > MOST_LEVEL * self.plot.w or box.top > self.plot.top:
                label = f"{degrees(level.celsius, self.picture.unit)} °{self.picture.unit.value}"
                box = self._beside_curve(label, right, y, free)
            self._say(label, box, "right")
            free = box.top

    def _beside_curve(self, label: str, right: float, y: float, free: float) -> Box:
        """Return the box of a level's name: it ends at `right`, above line, `free`, the curve."""
        wide = self._wide(label)
        low = self._above_curve(right - wide, y + self.scale.mm(0.6))
        return Box(right - wide, max(free, low), wide, self.row)

    def _above_curve(self, left: float, low: float) -> float:
        """Return `low`, or just above the bond curve if that crosses a row from `left` on."""
        points = self.picture.curve.points
        heights = [self.y(p.bond) for p in points if p.bond is not None and self.x(p.time) >= left]
        highest = max(heights, default=low)
        crossed = low - self.row < highest and min(heights, default=highest) < low + self.row
        return max(low, highest + self.scale.mm(0.6)) if crossed else low

    def _axes(self, axis: Box, foot: Box) -> None:
        with self.canvas:
            outline((self.plot.pos, (self.plot.right, self.plot.y)), INK, 1.0, close=False)
            outline((self.plot.pos, (self.plot.x, self.plot.top)), INK, 1.0, close=False)
        for label, celsius in self._degrees():
            y = self.y(celsius)
            wide = self.plot.x - self.box.x - self.scale.mm(1.0)
            self._say(label, Box(self.box.x, y - self.row / 2, wide, self.row), "right")
        for label, moment in self._moments():
            wide, x = self._wide(label), self.x(moment)
            if x + wide / 2 <= foot.right:
                self._say(label, Box(x - wide / 2, foot.y, wide, foot.h), "center")
                with self.canvas:
                    dashes(x, self.plot.y, self.plot.y + self.scale.mm(1.5), 2.0)
        self._say(self.picture.axis, axis, "right")

    def _axis(self) -> tuple[Box, Box]:
        """Return the boxes of the axis's title and figures, side by side or stacked."""
        wide, gap = self._wide(self.picture.axis), self.scale.mm(2.5)
        low, rest = self.plot.from_bottom(self.row)
        before = self.x(self.picture.curve.opened) - self._wide("0") / 2 - gap
        if self.plot.x + wide <= before:
            return low._replace(x=before - wide, w=wide), low
        return low.from_right(wide)[0], rest.from_bottom(self.row)[0]

    def _degrees(self) -> Iterator[tuple[str, float]]:
        """Yield round temperatures of the unit in the plot, not too close for their words."""
        most = max(2, int(self.plot.h / (self.row * 1.5)))
        top = self.plot.top - self.scale.small / 2  # the unit is written above it
        found: list[tuple[str, float]] = []
        for step in STEPS[self.picture.unit]:
            found = []
            for shown in range(0, 500, step):
                celsius = converted(float(shown), self.picture.unit, Degrees.C)
                if self._low < celsius < self._high and self.y(celsius) < top:
                    found.append((str(shown), celsius))
            if len(found) <= most:
                break
        yield from found

    def _moments(self) -> Iterator[tuple[str, float]]:
        """Yield seconds after opening, in steps that people count in."""
        curve = self.picture.curve
        after = curve.end - curve.opened
        room = (self.plot.right - self.x(curve.opened)) / (self._wide("00") + self.scale.mm(1.5))
        most = min(MOST_TICKS, room)
        step = next((s for s in SECONDS if after / s <= most), SECONDS[-1])
        for shown in range(0, int(after) + 1, step):
            yield str(shown), curve.opened + shown

    def _curves(self) -> None:
        points = self.picture.curve.points
        cloth = self._line((p.time, p.cloth) for p in points)
        bond = self._line((p.time, p.bond) for p in points)
        outline(cloth, MUTED, self.scale.mm(0.25), close=False)
        outline(bond, INK, self.scale.mm(0.7), close=False)

    def _line(self, points: Iterable[tuple[float, float | None]]) -> list[tuple[float, float]]:
        """Return points on the screen, without close ones, which give a stroke spikes."""
        found: list[tuple[float, float]] = []
        for time, celsius in points:
            if celsius is None:
                continue
            place = (self.x(time), self.y(celsius))
            if not found or dist(found[-1], place) > self.scale.mm(NEAREST_MM):
                found.append(place)
        return found

    def _ranges(self) -> None:
        """Draw the 80 % ranges of ready and late as bars with ends along the foot of the plot."""
        curve = self.picture.curve
        if curve.wait is None:
            return
        spans = (curve.wait.ready, curve.wait.late)
        for row, span in enumerate(spans, 1):
            if span is None or span.high == span.low:
                continue
            y = self.plot.y + self.scale.mm(2.2) * row
            low, high = (self.x(curve.opened + end) for end in (span.low, span.high))
            outline(((low, y), (high, y)), INK, self.scale.mm(0.4), close=False)
            for x in (low, self.x(curve.opened + span.middle), high):
                tall = self.scale.mm(0.8)
                outline(((x, y - tall), (x, y + tall)), INK, self.scale.mm(0.4), close=False)

    def _entries(self) -> tuple[str, ...]:
        now = () if self.picture.curve.wait is None else (self.picture.now,)
        return (self.picture.bond, self.picture.cloth, *now)

    def _legend_places(self) -> list[tuple[int, float]]:
        """Return row and left edge of each entry of the legend, filled from the left."""
        row, left, found = 0, self.box.x, []
        for name in self._entries():
            wide = self.scale.mm(SAMPLE_MM) + self._wide(name)
            if left > self.box.x and left + wide > self.box.right:
                row, left = row + 1, self.box.x
            found.append((row, left))
            left += wide + self.scale.mm(4.0)
        return found

    def _legend(self, strip: Box) -> None:
        """Draw the legend: which line is which, and which field is the time to peel."""
        sample = self.scale.mm(SAMPLE_MM)
        for index, (name, (row, left)) in enumerate(
            zip(self._entries(), self._legend_places(), strict=True)
        ):
            low = strip.top - self.row * (row + 1)
            field = Box(left, low, sample, self.row).inset(self.scale.mm(0.8))
            y = low + self.row / 2
            with self.canvas:
                if index == 2:
                    fill(field, WHITE)
                    frame(field, CLOTH_EDGE, self.scale.mm(0.3))
                else:
                    colour, thick = ((INK, 0.7), (MUTED, 0.25))[index]
                    ends = ((field.x, y), (field.right, y))
                    outline(ends, colour, self.scale.mm(thick), close=False)
            self._say(name, Box(left + sample, low, self._wide(name), self.row), colour=INK)


def _once_a_row(named: Sequence[tuple[str, list[float]]]) -> list[tuple[str, list[float]]]:
    """Return names with the places that they mark; a name that repeats is merged into one."""
    found: list[tuple[str, list[float]]] = []
    for name, at in named:
        if found and found[-1][0] == name:
            found[-1][1].extend(at)
        else:
            found.append((name, [*at]))
    return found
