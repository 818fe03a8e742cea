"""The screen: boxes in pixels, real millimetres, letter heights by distance, staying awake."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from dataclasses import field
from math import hypot
from typing import NamedTuple

from kiosk.catalog.base import MM_PER_INCH, dataclass


class Box(NamedTuple):
    """A rectangle by its lower left corner."""

    x: float
    y: float
    w: float
    h: float

    @property
    def right(self) -> float:
        """The x of its right side."""
        return self.x + self.w

    @property
    def top(self) -> float:
        """The y of its upper side."""
        return self.y + self.h

    @property
    def centre(self) -> tuple[float, float]:
        """Its centre point."""
        return (self.x + self.w / 2, self.y + self.h / 2)

    @property
    def pos(self) -> tuple[float, float]:
        """Its lower left corner."""
        return (self.x, self.y)

    @property
    def size(self) -> tuple[float, float]:
        """Its width and height."""
        return (self.w, self.h)

    def inset(self, dx: float, dy: float | None = None) -> Box:
        """Return the box less `dx` at the left and right and `dy` at the top and bottom."""
        dy = dx if dy is None else dy
        return Box(self.x + dx, self.y + dy, max(0.0, self.w - 2 * dx), max(0.0, self.h - 2 * dy))

    def from_top(self, height: float, gap: float = 0.0) -> tuple[Box, Box]:
        """Return a strip of `height` at the top, and what is left below a gap."""
        rest = max(0.0, self.h - height - gap)
        return Box(self.x, self.top - height, self.w, height), Box(self.x, self.y, self.w, rest)

    def from_bottom(self, height: float, gap: float = 0.0) -> tuple[Box, Box]:
        """Return a strip of `height` at the bottom, and what is left above a gap."""
        rest = max(0.0, self.h - height - gap)
        return Box(self.x, self.y, self.w, height), Box(self.x, self.top - rest, self.w, rest)

    def from_left(self, width: float, gap: float = 0.0) -> tuple[Box, Box]:
        """Return a strip of `width` at the left, and what is left beside a gap."""
        rest = max(0.0, self.w - width - gap)
        return Box(self.x, self.y, width, self.h), Box(self.right - rest, self.y, rest, self.h)

    def from_right(self, width: float, gap: float = 0.0) -> tuple[Box, Box]:
        """Return a strip of `width` at the right, and what is left beside a gap."""
        rest = max(0.0, self.w - width - gap)
        return Box(self.right - width, self.y, width, self.h), Box(self.x, self.y, rest, self.h)

    def grid(self, columns: int, rows: int, gap: float) -> tuple[Box, ...]:
        """Return equal boxes, row by row from the top left."""
        w = (self.w - gap * (columns - 1)) / columns
        h = (self.h - gap * (rows - 1)) / rows
        return tuple(
            Box(self.x + c * (w + gap), self.top - h - r * (h + gap), w, h)
            for r in range(rows)
            for c in range(columns)
        )

    def table(self, wides: Sequence[float], rows: int, gap: float) -> tuple[Box, ...]:
        """Return boxes in columns of the widths `wides`, row by row from the top left."""
        h = (self.h - gap * (rows - 1)) / rows
        lefts = [self.x + sum(wides[:nth]) + gap * nth for nth in range(len(wides))]
        return tuple(
            Box(x, self.top - h - r * (h + gap), w, h)
            for r in range(rows)
            for x, w in zip(lefts, wides, strict=True)
        )

    def fitted(self, aspect: float) -> Box:
        """Return the largest box of width/height `aspect`, centred in this one."""
        w = min(self.w, self.h * aspect)
        h = w / aspect
        return Box(self.x + (self.w - w) / 2, self.y + (self.h - h) / 2, w, h)

    def left_edges(
        self, middles: Sequence[float], wides: Sequence[float], gap: float
    ) -> tuple[float, ...]:
        """Return left edges that keep parts near `middles`, `gap` apart, inside the box."""
        edges: list[float] = []
        free = self.x
        for middle, wide in zip(middles, wides, strict=True):
            edges.append(max(free, middle - wide / 2))
            free = edges[-1] + wide + gap
        free = self.right
        for nth in reversed(range(len(edges))):
            edges[nth] = min(edges[nth], free - wides[nth])
            free = edges[nth] - gap
        return tuple(edges)

    def overlaps(self, other: Box, slack: float = 0.5) -> bool:
        """Return whether the two share more than a rim of `slack` pixels."""
        return (
            self.x + slack < other.right
            and other.x + slack < self.right
            and self.y + slack < other.top
            and other.y + slack < self.top
        )

    def holds(self, x: float, y: float) -> bool:
        """Return whether a point lies inside."""
        return self.x <= x < self.right and self.y <= y < self.top


NEAR_BELOW_INCHES = 8.0  # a 7-inch screen is read from 1.2 m, larger ones from 2 m
TARGET_MM = 15.0  # a gloved finger
DEAD_GAP_MM = 5.0


def character_mm(arc_minutes: float, metres: float) -> float:
    """Return the height in mm of a capital seen under `arc_minutes` from `metres`.

    H = 6.283 D arcmin / 21600 (NUREG-0700).
    """
    return 6.283 * metres * 1000 * arc_minutes / 21600


@dataclass(frozen=True, slots=True)
class Scale:
    """A window of `size` px on a screen of known diagonal, without Kivy's dpi (Linux says 96)."""

    size: tuple[int, int]
    screen_inches: float
    px_per_mm: float = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(
            self, "px_per_mm", hypot(*self.size) / (self.screen_inches * MM_PER_INCH)
        )

    def mm(self, millimetres: float) -> float:
        """Return `millimetres` in pixels."""
        return millimetres * self.px_per_mm

    def capital(self, arc_minutes: float, metres: float) -> float:
        """Return in pixels the height of a capital seen under `arc_minutes` from `metres`."""
        return self.mm(character_mm(arc_minutes, metres))

    @property
    def portrait(self) -> bool:
        """Whether the screen is upright."""
        return self.size[1] > self.size[0]

    @property
    def near(self) -> bool:
        """Whether the screen is small enough to be read from closer up."""
        return self.screen_inches < NEAR_BELOW_INCHES

    @property
    def far_metres(self) -> float:
        """The distance in metres from which the large words are read."""
        return 1.2 if self.near else 2.0

    @property
    def big(self) -> float:
        """Capital height of number, time, move, sheet line and peel word, px: 22' from afar."""
        return self.capital(22, self.far_metres)

    @property
    def line(self) -> float:
        """Capital height of the move's lines, px: 16' from 1.2 m."""
        return self.capital(16, 1.2)

    @property
    def label(self) -> float:
        """Capital height of words on bar, buttons and chips, px: 16' from 0.9 m."""
        return self.capital(16, 0.9)

    @property
    def small(self) -> float:
        """Capital height of header, ribbon and captions, px: 16' from 0.6 m."""
        return self.capital(16, 0.6)

    @property
    def ruler(self) -> float:
        """Capital height of lengths beside the lay drawing, px: `small` in whole pixels."""
        return self.small * 1.05

    @property
    def target(self) -> float:
        """The smallest side of a touch target, px."""
        return self.mm(TARGET_MM)

    @property
    def gap(self) -> float:
        """The dead gap beside the forward bar, px."""
        return self.mm(DEAD_GAP_MM)

    @property
    def margin(self) -> float:
        """The margin around a screen's content, px."""
        return self.mm(3.0 if self.near else 4.5)


AWAKE = frozenset({"x11", "wayland", "windows", "cocoa", "uikit", "android"})
"""SDL's video drivers that can keep a screen awake (SDL 2's sources, from memory)."""


def stays_awake() -> bool:
    """Return whether the screen is asked to stay on and this machine's driver can do it."""
    from kivy.core.window import Window  # opens the window

    driver = os.environ.get("SDL_VIDEODRIVER", "").lower()
    if not driver and sys.platform == "linux":  # SDL's own choice; a bare console cannot stay awake
        graphic = {"DISPLAY", "WAYLAND_DISPLAY", "ANDROID_ARGUMENT"} & os.environ.keys()
        driver = "x11" if graphic else "kmsdrm"
    return not Window.allow_screensaver and (not driver or driver in AWAKE)
