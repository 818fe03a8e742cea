"""Shares that are shown only where enough was counted to say something."""

from __future__ import annotations

from dataclasses import dataclass

LEAST = 20  # fewer are counted and shown, never turned into a rate


@dataclass(frozen=True, slots=True)
class Share:
    """`part` of `whole`, as counted."""

    part: int
    whole: int

    @property
    def rate(self) -> float | None:
        """The share, 0 to 1; None below LEAST counted."""
        return self.part / self.whole if self.whole >= LEAST else None
