"""What leagues and sports ask for: numbers, heights, places. All of it is data: rules change."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.catalog.base.quantities import Length
from kiosk.catalog.model.orders import SizeClass


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


@dataclass(frozen=True, slots=True)
class CodeRule:
    """The numbers, as text, of the seasons that begin in the years `first` to `last`.

    None leaves that end open. `not_together` may not stand in one set all at once.
    """

    numbers: frozenset[str]
    source: str
    first: int | None = None
    last: int | None = None
    not_together: frozenset[str] = frozenset()

    def holds_in(self, year: int) -> bool:
        """Tell whether the rule is that of the season which begins in `year`."""
        return (self.first is None or self.first <= year) and (
            self.last is None or year <= self.last
        )


@dataclass(frozen=True, slots=True)
class Code:
    """A league's code: its rules, oldest first, none overlapping."""

    key: str
    title: str
    rules: tuple[CodeRule, ...]

    def rule(self, year: int | None) -> CodeRule | None:
        """Return the rule of the season that begins in `year`.

        None where no rule is that season's, or where there are several and no year is given.
        """
        if year is None:
            return self.rules[0] if len(self.rules) == 1 else None
        return next((rule for rule in self.rules if rule.holds_in(year)), None)


def season_text(year: int) -> str:
    """Return the season as it is written: `2022-23`."""
    return f"{year}-{(year + 1) % 100:02d}"


ANY = "any"
"""The key of places that hold for every job, whatever its sport."""


@dataclass(frozen=True, slots=True)
class Place:
    """What a sport does otherwise on one panel of one class of sizes; None leaves it as usual.

    `top` is from the seam at the collar to the first element, `gap` between elements, `widest`
    the widest that an element may be, `across` from the centre line to the middle (positive to
    the right of who looks at it), `name` and `number` their heights, borders counted;
    `least_name` how low a long name may get.
    """

    panel: str
    size_class: SizeClass
    top: Length | None = None
    gap: Length | None = None
    widest: Length | None = None
    across: Length | None = None
    name: Length | None = None
    number: Length | None = None
    least_name: Length | None = None


@dataclass(frozen=True, slots=True)
class Sport:
    """A sport's places, and where they come from."""

    key: str
    title: str
    source: str
    places: tuple[Place, ...]
