"""What leagues, sports and suppliers set: numbers, heights, places, packs. All of it is data."""

from collections.abc import Mapping
from dataclasses import field
from fractions import Fraction

from kiosk.catalog.base import dataclass
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


@dataclass(frozen=True, slots=True)
class Pack:
    """A pack of one character, or a kit with a mix of its own.

    A kit has `mix`, pieces by character; a pack has `of_one` pieces of any one of
    `characters`. `price` is in hundredths of the shop's money. Where material, colour or
    height is None it is to be had in every one.
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
        """Tell whether the pack is to be had in this material, colour and height."""
        return (
            self.material in {None, material}
            and self.colour in {None, colour}
            and (self.height is None or same_height(self.height, height_inches))
        )


@dataclass(frozen=True, slots=True)
class SpareRule:
    """Spares of each character in use: a share of its need, rounded up, `least` at least."""

    share: Fraction = Fraction(0)
    least: int = 0

    def spares(self, need: int) -> int:
        """Return the spares for `need` pieces; none where none is needed."""
        return max(self.least, -(-need * self.share // 1)) if need else 0


@dataclass(frozen=True, slots=True)
class Packs:
    """The content of packs.yaml; `others` are pieces that are no single digit or letter."""

    packs: tuple[Pack, ...] = ()
    digits: SpareRule = SpareRule()
    letters: SpareRule = SpareRule()
    others: SpareRule = SpareRule()


@dataclass(frozen=True, slots=True)
class Stock:
    """A drawer: pieces by character. The under layer of a stack is cut wider than the top."""

    material: str
    colour: str
    height: Length
    pieces: Mapping[str, int]
    layer: int = 1
    layers: int = 1


def same_height(height: Length, inches: float) -> bool:
    """Tell whether a height from a file is that of a piece, to a thousandth of an inch."""
    return abs(float(height.inches) - inches) < 0.001
