"""Real millimetres on this screen, and letters by the distance they are read from."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import hypot

from kiosk.catalog.base import MM_PER_INCH

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
    """A window of `size` pixels on a screen of `screen_inches` diagonal.

    Never Kivy's dpi: Linux always says 96.
    """

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
        """Whether the screen stands upright."""
        return self.size[1] > self.size[0]

    @property
    def near(self) -> bool:
        """Whether the screen is so small that it is read from nearer by."""
        return self.screen_inches < NEAR_BELOW_INCHES

    @property
    def far_metres(self) -> float:
        """The distance from which the large words are read."""
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
    def target(self) -> float:
        """The least side of anything to be touched, px."""
        return self.mm(TARGET_MM)

    @property
    def gap(self) -> float:
        """The dead gap beside the forward bar, px."""
        return self.mm(DEAD_GAP_MM)

    @property
    def margin(self) -> float:
        """The margin around a screen's content, px."""
        return self.mm(3.0 if self.screen_inches < NEAR_BELOW_INCHES else 4.5)
