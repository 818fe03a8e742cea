"""Fits words and numbers into a width: tighter spacing first, then narrower, then lower.

If that is not enough, a person is asked. Figures never get lower: rules are about their height.
"""

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache

from kiosk.catalog.base import dataclass
from kiosk.catalog.rules import Face, Glyph, all_characters
from kiosk.plan.sizes import NARROWEST, ORDER, Border, border, spacing

HEIGHT_STEP = 1 / 8  # inches: letters are cut in these steps; common practice, no source


@dataclass(frozen=True, slots=True)
class ElementCut:
    """How an element is cut: overall `height` in inches, with a border around each upper layer."""

    element: str
    height: float
    layers: int
    widest: float

    @property
    def border(self) -> Border:
        """How far a layer extends around the one above it."""
        return border(self.height)

    @property
    def growth(self) -> float:
        """How far the lowest layer extends around the top one, inches."""
        return self.border.width * (self.layers - 1)

    @property
    def figure(self) -> float:
        """The height of a capital of the top layer, inches."""
        return self.height - 2 * self.growth


@dataclass(frozen=True, slots=True)
class Letter:
    """The ink of one letter's top layer: its centre and its size, inches.

    `known` is false for a letter that no face has: its size is a guess, and it is drawn as a box.
    """

    character: str
    x: float
    y: float
    width: float
    height: float
    known: bool = True


@dataclass(frozen=True, slots=True)
class TextFit:
    """How a text fits: `tracking` as a share of capital height, `condense` of the width.

    If not `fits`, it is too wide even at its narrowest.
    """

    tracking: float
    condense: float
    fits: bool = True


AS_CUT = TextFit(0.0, 1.0)
TIGHTEST = TextFit(0.0, NARROWEST)
STAND_IN = 0.15
"""How far the word drawn in place of made art may narrow: the art's own width is unknown."""


def fit(text: str, face: Face, cut: ElementCut) -> TextFit:
    """Return the widest setting of a text that fits: spacing is reduced before letters narrow."""

    def fits(tracking: float, condense: float) -> bool:
        return breadth(text, face, cut, TextFit(tracking, condense)) <= cut.widest

    least = NARROWEST if cut.element in ORDER else STAND_IN
    normal = spacing(cut.element).normal
    if fits(normal, 1.0):
        return TextFit(normal, 1.0)
    if fits(0.0, 1.0):
        return TextFit(_most(0.0, normal, lambda t: fits(t, 1.0)), 1.0)
    if fits(0.0, least):
        return TextFit(0.0, _most(least, 1.0, lambda c: fits(0.0, c)))
    return TextFit(0.0, NARROWEST, False)


def can_fit(text: str, face: Face, cut: ElementCut) -> bool:
    """Return whether a text fits at this height with the tightest spacing and narrowest letters."""
    return breadth(text, face, cut, TIGHTEST) <= cut.widest


@lru_cache(maxsize=64)
def team_height(names: tuple[str, ...], face: Face, cut: ElementCut, least: float) -> float:
    """Return the height at which all `names` fit, but no less than `least`."""
    height = cut.height
    for name in names:
        while height > least and not can_fit(name, face, replace(cut, height=height)):
            height = max(least, height - HEIGHT_STEP)
    return height


def letters(text: str, face: Face, cut: ElementCut, fitted: TextFit) -> tuple[Letter, ...]:
    """Return the ink of each letter from the middle and the baseline, spaced for the carriers."""
    across, up = cut.figure * fitted.condense, cut.figure
    origins = _origins(text, face, cut, fitted)
    if not origins:
        return ()
    left, right = _ends(origins, across)
    middle = (left + right) / 2
    ink = (_letter(c, g, x - middle, across, up) for c, g, x in origins)
    return tuple(replace(each, known=face.holder(each.character) is not None) for each in ink)


def breadth(text: str, face: Face, cut: ElementCut, fitted: TextFit) -> float:
    """Return the width of all layers of a text, inches; 0 without ink."""
    origins = _origins(text, face, cut, fitted)
    if not origins:
        return 0.0
    left, right = _ends(origins, cut.figure * fitted.condense)
    return right - left + 2 * cut.growth


Origin = tuple[str, Glyph, float]


def _origins(text: str, face: Face, cut: ElementCut, fitted: TextFit) -> list[Origin]:
    across = cut.figure * fitted.condense
    gap = 2 * (cut.growth + spacing(cut.element).carrier)
    origins: list[Origin] = []
    pen, end = 0.0, float("-inf")
    for character in all_characters(text):
        glyph = face.glyph(character)
        if glyph.right > glyph.left:
            pen = max(pen, end + gap - glyph.left * across)
            end = pen + glyph.right * across
            origins.append((character, glyph, pen))
        pen += glyph.advance * across + fitted.tracking * cut.figure
    return origins


def _ends(origins: list[Origin], across: float) -> tuple[float, float]:
    return (
        min(x + glyph.left * across for _, glyph, x in origins),
        max(x + glyph.right * across for _, glyph, x in origins),
    )


def _letter(character: str, glyph: Glyph, x: float, across: float, up: float) -> Letter:
    return Letter(
        character,
        x + (glyph.left + glyph.right) / 2 * across,
        (glyph.bottom + glyph.top) / 2 * up,
        (glyph.right - glyph.left) * across,
        (glyph.top - glyph.bottom) * up,
    )


def _most(low: float, high: float, fits: Callable[[float], bool]) -> float:
    """Return the greatest value between that fits, to a thousandth; `low` must fit."""
    while high - low > 0.001:
        middle = (low + high) / 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low


@dataclass(frozen=True, slots=True)
class ElementBox:
    """An element's box, all layers. `x`, `y` are its centre in inches from centre line and seam.

    As worn, x grows to the viewer's right and y away from the collar. The height is a capital's;
    `letters` are the ink of the top layer, whose accents may rise above the box. `growth` is how
    far the lowest layer extends around them. `turned` means that the art is upside down as seen.
    """

    element: str
    x: float
    y: float
    width: float
    height: float
    turned: bool = False
    letters: tuple[Letter, ...] = ()
    growth: float = 0.0
    fitted: TextFit = AS_CUT

    @property
    def ink(self) -> tuple[float, float, float, float]:
        """Least x, least y, greatest x, greatest y of all layers' ink; of the box without ink."""
        if not self.letters:
            w, h = self.width / 2, self.height / 2
            return self.x - w, self.y - h, self.x + w, self.y + h
        g = self.growth
        return (
            min(each.x - each.width / 2 for each in self.letters) - g,
            min(each.y - each.height / 2 for each in self.letters) - g,
            max(each.x + each.width / 2 for each in self.letters) + g,
            max(each.y + each.height / 2 for each in self.letters) + g,
        )

    def growth_of(self, layer: int, layers: int) -> float:
        """Return how far a layer (1: the lowest) of `layers` extends around the top one, inches."""
        return self.growth * (layers - layer) / max(1, layers - 1)


def as_operator(
    boxes: tuple[ElementBox, ...], collar_toward_operator: bool
) -> tuple[ElementBox, ...]:
    """Return the boxes as the operator sees them: turned if the collar is toward the operator."""
    return tuple(turn(box) for box in boxes) if collar_toward_operator else boxes


def turn(box: ElementBox) -> ElementBox:
    """Return the box turned by 180° about collar seam and centre line; never mirrored."""
    turned = tuple(replace(each, x=-each.x, y=-each.y) for each in box.letters)
    return replace(box, x=-box.x, y=-box.y, letters=turned, turned=not box.turned)
