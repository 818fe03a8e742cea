"""Rules of leagues, sports and suppliers: numbers, heights, places, packs. All of it is data."""

from collections.abc import Mapping
from dataclasses import field
from fractions import Fraction

from kiosk.catalog.base import dataclass
from kiosk.catalog.base.quantities import Length
from kiosk.catalog.model.orders import SizeClass


@dataclass(frozen=True, slots=True)
class SizeLimit:
    """The least and greatest height of an element of a panel; None leaves that end open.

    With `border_counted` the height is that of all layers together, else of the top layer.
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
    """The numbers, as text, allowed in seasons that begin in the years `first` to `last`.

    None leaves that end open. One set must not have all of `not_together`.
    """

    numbers: frozenset[str]
    source: str
    first: int | None = None
    last: int | None = None
    not_together: frozenset[str] = frozenset()

    def holds_in(self, year: int) -> bool:
        """Return whether the rule applies to the season that begins in `year`."""
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

        None if there is none for that season, or if there are several and no year is given.
        """
        if year is None:
            return self.rules[0] if len(self.rules) == 1 else None
        return next((rule for rule in self.rules if rule.holds_in(year)), None)


def season_text(year: int) -> str:
    """Return the season as people write it: `2022-23`."""
    return f"{year}-{(year + 1) % 100:02d}"


ANY = "any"
"""The key of places that apply to every job, whatever its sport."""


@dataclass(frozen=True, slots=True)
class SportPlace:
    """A sport's own measures on one panel for one size class; None means the usual one.

    `top` is from the collar seam to the first element, `gap` between elements, `widest` the
    greatest width of an element, `across` from the centre line to the element's middle (positive
    to the viewer's right), `name` and `number` their heights with borders, `least_name` the
    least height of a long name.
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
    """A sport's places and their source."""

    key: str
    title: str
    source: str
    places: tuple[SportPlace, ...]


@dataclass(frozen=True, slots=True)
class Pack:
    """A pack of one character, or a kit with a mix of several.

    A kit has `mix`, pieces by character; a pack has `of_one` pieces of any one of
    `characters`. `price` is in hundredths of the shop's currency. A material, colour or height
    of None means that it is sold in all of them.
    """

    key: str
    title: str
    price: int
    mix: Mapping[str, int] = field(default_factory=dict)
    of_one: int = 0
    characters: frozenset[str] = frozenset()
    material: str | None = None
    colour: str | None = None
    height: Length | None = None

    def fits(self, material: str, colour: str, height_inches: float) -> bool:
        """Return whether the pack is sold in this material, colour and height."""
        return (
            self.material in {None, material}
            and self.colour in {None, colour}
            and (self.height is None or same_height(self.height, height_inches))
        )


@dataclass(frozen=True, slots=True)
class SpareRule:
    """Spares of each character in use: a share of its need, rounded up, but at least `least`."""

    share: Fraction = Fraction(0)
    least: int = 0

    def spares(self, need: int) -> int:
        """Return the number of spares for `need` pieces; 0 if none is needed."""
        return max(self.least, -(-need * self.share // 1)) if need else 0


@dataclass(frozen=True, slots=True)
class Packs:
    """The content of packs.yaml; `others` is for pieces that are not a single digit or letter."""

    packs: tuple[Pack, ...] = ()
    digits: SpareRule = SpareRule()
    letters: SpareRule = SpareRule()
    others: SpareRule = SpareRule()


@dataclass(frozen=True, slots=True)
class Stock:
    """A drawer: pieces by character, for one layer (under layers are cut wider than the top)."""

    material: str
    colour: str
    height: Length
    pieces: Mapping[str, int]
    layer: int = 1
    layers: int = 1


def same_height(height: Length, inches: float) -> bool:
    """Return whether a height from a file equals a piece's, to a thousandth of an inch."""
    return abs(float(height.inches) - inches) < 0.001
