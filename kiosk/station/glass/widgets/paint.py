"""What is drawn once and kept: canvas widgets, rows of letters; and strokes."""

from collections.abc import Callable, Hashable, Sequence
from functools import lru_cache
from math import ceil, floor
from typing import Any, ClassVar, TypeVar
from weakref import ref

from kivy.core.text import Label as CoreLabel
from kivy.core.window import Window
from kivy.graphics import (
    ClearBuffers,
    ClearColor,
    Color,
    Line,
    Mesh,
    Rectangle,
    ScissorPop,
    ScissorPush,
    SmoothLine,
)
from kivy.graphics.tesselator import Tesselator
from kivy.uix.widget import Widget

from kiosk.station.glass.boxes import Box
from kiosk.station.glass.theme import INK, Colour
from kiosk.station.glass.type import ASCENT, CAPITAL, ROUND, face


class Shown(Widget):
    """A widget whose children are never disabled, transparent or waiting for motion.

    Kivy binds parent, child and each widget itself to one another for these.
    """

    def add_widget(self, widget: Widget, index: int = 0, canvas: str | None = None) -> None:
        """Draw `widget` over the other children."""
        widget.parent = self
        self.children.insert(0, widget)
        self.canvas.add(widget.canvas)

    def remove_widget(self, widget: Widget) -> None:
        """Remove a child; do nothing if it is none."""
        if widget in self.children:
            self.children.remove(widget)
            self.canvas.remove(widget.canvas)
            widget.parent = None

    @staticmethod
    def on_opacity(*_: object) -> None:
        """Do nothing: none is transparent, and Kivy would bind each widget to itself."""


def nowhere() -> None:
    """Return None: the parent of a widget that is not shown."""


class Drawn(Shown):
    """A widget with a fixed place, `box`.

    Kivy spends most of a widget's creation on looking up kv rules and on properties that report to
    observers. A screen makes forty of these at every tap, and they need neither: `pos` and `size`
    mean nothing here, `box` does, and what a parent reads are plain values. No reference leads back
    to the widget from them, so one that is no longer shown is freed at once. `changed` is set once
    it shows something other than it was made of.
    """

    children: Sequence[Widget] = ()
    disabled = False
    opacity = 1.0
    changed = False

    def __init__(self, box: Box) -> None:
        self.children = []
        self._parent: Callable[[], Widget | None] = nowhere
        super().__init__(__no_builder=True)
        self.box = box

    @property
    def parent(self) -> Widget | None:
        """The widget that this one is drawn in; None once it is removed or gone."""
        return self._parent()

    @parent.setter
    def parent(self, parent: Widget | None) -> None:
        self._parent = nowhere if parent is None else ref(parent)


D = TypeVar("D", bound=Drawn)

MOST = 120  # a screen has some thirty parts; older ones are seldom needed again


class WidgetCache:
    """The last widgets that were used, by what they were made of.

    There may be two of each: one in the picture on the screen, one in the picture drawn ahead.
    """

    def __init__(self) -> None:
        self._widgets: dict[Hashable, list[Drawn]] = {}

    def get(self, kind: Callable[..., D], *values: Hashable) -> D:
        """Return a widget made of these values: an unused one if there is one, else a new one."""
        key = (kind, values)
        same: list[D] = self._widgets.pop(key, [])
        same = [each for each in same if not each.changed]
        found = next((each for each in same if each.parent is None), None)
        if found is None:
            found = kind(*values)
            same = [*same[-1:], found]
        self._widgets[key] = same
        if len(self._widgets) > MOST:
            del self._widgets[next(iter(self._widgets))]
        return found


Points = Sequence[tuple[float, float]]


def ground(colour: Colour) -> None:
    """Fill the window behind everything: clearing is free, a rectangle of its size is not."""
    if tuple(Window.clearcolor) != colour.rgba:
        Window.clearcolor = colour.rgba


def fill(box: Box, colour: Colour) -> None:
    """Fill an upright box by clearing, which is nearly free; a rectangle would be blended."""
    left, low = ceil(box.x - 0.5), ceil(box.y - 0.5)  # the pixels that a rectangle would fill
    wide, tall = ceil(box.right - 0.5) - left, ceil(box.top - 0.5) - low
    if wide > 0 and tall > 0:
        ScissorPush(x=left, y=low, width=wide, height=tall)
        ClearColor(*colour.rgba)
        ClearBuffers()
        ScissorPop()


def frame(box: Box, colour: Colour, width: float) -> None:
    """Draw the four sides of a box, inside it."""
    inner = box.inset(min(max(1.0, round(width)), box.w / 2, box.h / 2))
    Color(*colour.rgba)
    Mesh(vertices=_ring(box, inner), indices=range(10), mode="triangle_strip")


def _ring(outer: Box, inner: Box) -> list[float]:
    """Return the corners of both boxes in turn, once round, with unused texture coordinates."""
    corners = []
    for x, y in ((0, 0), (1, 0), (1, 1), (0, 1), (0, 0)):
        for box in (outer, inner):
            corners += [box.x + x * box.w, box.y + y * box.h, 0.0, 0.0]
    return corners


def outline(points: Points, colour: Colour, width: float, close: bool = True) -> None:
    """Draw smooth strokes from point to point."""
    Color(*colour.rgba)
    flat = [value for point in points for value in point]
    if width > 1.2:
        SmoothLine(points=flat, width=width / 2, close=close, overdraw_width=1.2)
    else:
        Line(points=flat, width=1.0, close=close)


def polygon(points: Points, colour: Colour) -> None:
    """Fill a polygon, which may be concave."""
    Color(*colour.rgba)
    for vertices, indices in _fans(tuple(points)):
        Mesh(vertices=vertices, indices=indices, mode="triangle_fan")


@lru_cache(maxsize=128)  # a shirt has few places on a screen, and returns to them
def _fans(points: tuple[tuple[float, float], ...]) -> list[tuple[list[float], list[int]]]:
    shape = Tesselator()
    shape.add_contour([value for point in points for value in point])
    shape.tesselate()
    return list(shape.meshes)


def dashes(x: float, bottom: float, top: float, width: float) -> None:
    """Draw a vertical dotted line."""
    Color(*INK.rgba)
    w = max(1.0, round(width))
    y = bottom
    while y < top:
        Rectangle(pos=(x - w / 2, y), size=(w, min(3 * w, top - y)))
        y += 7 * w


def corner(box: Box, colour: Colour, size: float, width: float) -> None:
    """Mark the upper right corner of `box`: a touch shows it larger."""
    x, y = box.right, box.top
    fill(Box(x - size, y - width, size, width), colour)
    fill(Box(x - width, y - size, width, size), colour)


@lru_cache(maxsize=64)
def figures(text: str, em: int) -> tuple[Any, int]:
    """Return bold figures cropped to their rows, and px from the uncropped top to their foot."""
    image = texture(text, True, em)
    baseline = image.height - ASCENT * em
    foot, top = floor(baseline - ROUND * em), ceil(baseline + (CAPITAL + ROUND) * em)
    foot, top = max(0, foot), min(image.height, top)
    return image.get_region(0, foot, image.width, top - foot), image.height - foot


class _Row(CoreLabel):
    """A row to be drawn, which measures each text in a font once.

    Kivy measures twice at each drawing, and keeps so few fonts open that it mostly reopens one.
    """

    _extents: ClassVar[dict[tuple[str, int, str], tuple[int, int]]] = {}

    def get_extents(self, text: str) -> tuple[int, int]:
        key = (self.options["font_name_r"], self.options["font_size"], text)
        if key not in self._extents:
            if len(self._extents) >= MOST_ROWS:
                del self._extents[next(iter(self._extents))]
            self._extents[key] = super().get_extents(text)
        return self._extents[key]


MOST_ROWS = 4096


@lru_cache(maxsize=128)
def texture(
    text: str, bold: bool, em: int, stretched: bool = False
) -> Any:  # a Kivy texture has no types
    """Return one row of white text as a texture; a canvas Color before it tints it.

    Unless `stretched`, it has to be drawn at its own size on whole pixels: then it needs no
    smoothing, which is the most expensive part of drawing it.
    """
    row = _Row(text=text, font_name=face(bold, text), font_size=em)
    row.refresh()
    if not stretched:
        row.texture.min_filter = row.texture.mag_filter = "nearest"
    return row.texture
