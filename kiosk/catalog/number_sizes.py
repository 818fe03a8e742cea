"""How high leagues want numbers and names. All of it is data: rules change."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.catalog.quantities import Length


@dataclass(frozen=True, slots=True)
class SizeLimit:
    """How high an element of a panel must be, None where that end is open.

    `border_counted` measures over all layers, otherwise the top layer alone.
    """

    panel: str
    element: str
    low: Length | None
    high: Length | None
    border_counted: bool
    source: str


@dataclass(frozen=True, slots=True)
class SizeRule:
    """A league's rule on heights."""

    key: str
    title: str
    limits: tuple[SizeLimit, ...]
