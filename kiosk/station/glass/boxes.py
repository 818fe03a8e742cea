"""Boxes of pixels, cut and divided. x to the right, y upwards, as Kivy has them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Box:
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
        """Its middle."""
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
        """Return the box less `dx` on left and right and `dy` above and below."""
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

    def fitted(self, aspect: float) -> Box:
        """Return the largest box of width/height `aspect` in the middle of this one."""
        w = min(self.w, self.h * aspect)
        h = w / aspect
        return Box(self.x + (self.w - w) / 2, self.y + (self.h - h) / 2, w, h)

    def overlaps(self, other: Box, slack: float = 0.5) -> bool:
        """Tell whether the two share more than a rim of `slack` pixels."""
        return (
            self.x + slack < other.right
            and other.x + slack < self.right
            and self.y + slack < other.top
            and other.y + slack < self.top
        )

    def holds(self, x: float, y: float) -> bool:
        """Tell whether a point lies inside."""
        return self.x <= x < self.right and self.y <= y < self.top
