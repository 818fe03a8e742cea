"""The windows that the demo is played in and the pictures are looked at."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Look:
    """A window in pixels on a screen of so many inches."""

    width: int
    height: int
    inches: float

    @property
    def name(self) -> str:
        """The folder of its pictures."""
        return f"{self.width}x{self.height}"


LOOKS = (
    Look(1280, 800, 10.1),
    Look(800, 1280, 10.1),
    Look(1024, 600, 7.0),
    Look(600, 1024, 7.0),
    Look(1920, 1200, 13.3),
)


BY_NAME = {look.name: look for look in LOOKS}
