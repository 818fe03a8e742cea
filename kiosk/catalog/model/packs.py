"""What digits and letters are bought in, how many are pulled as spares, what is in stock."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from kiosk.catalog.base.quantities import Length


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
