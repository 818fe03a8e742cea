"""Where ink lies on a platen, by 3x3 matrices, corners and trial: an independent geometry.

It was written from docs/decisions.md and design.md, section 7, without looking at the program: a
letter is four corners that one matrix places on the garment and another on the platen. It reads the
faces' boxes from their JSON itself and takes the shop's tables (rooms) as data.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
FACES = Path(__file__).resolve().parents[2] / "assets" / "faces"
EDGE, CLEAR, USUAL_SEAM, EIGHTH = 0.5, 0.25, 1.0, 0.125
ORDER = ("name", "number")
CARRIERS, USUAL_CARRIER = {"name": 1 / 32}, 1 / 8  # margin around the ink, on every side
APART = {"name": 0.08}  # between letters, as a share of capital height
NARROWEST = 0.8
STAND_IN = 0.15  # for a word drawn in place of made art
HAIR = 1e-9
LOOKS_TURNED = {"0": "0", "1": "1", "6": "9", "8": "8", "9": "6"}  # common practice, no source


@lru_cache(maxsize=2)
def face(key: str) -> dict[str, tuple[float, ...]]:
    """Return left, bottom, right, top and advance by character, as shares of capital height."""
    data = json.loads((FACES / f"{key}.json").read_text(encoding="utf-8"))
    scale = np.array([data["cut_width"], 1, data["cut_width"], 1, data["cut_width"]])
    return {
        c: tuple(np.array(box) * scale / data["cap_height"]) for c, box in data["glyphs"].items()
    }


def glyph(character: str) -> tuple[float, ...]:
    own, spare = face("b612-bold"), face("dejavu-condensed-bold")
    return own.get(character) or spare.get(character) or own["H"]


def beyond(characters: Sequence[str]) -> tuple[float, float]:
    """Return the most that these rise above a capital, and drop below the baseline."""
    boxes = [glyph(c) for c in characters]
    return max((b[3] - 1 for b in boxes), default=0.0), max((-b[1] for b in boxes), default=0.0)


FACE_BEYOND = beyond([c for c in face("b612-bold") if c.isalpha()])
FIGURES_BEYOND = beyond("0123456789")


@dataclass(frozen=True)
class Element:
    """How an element is cut: `height` over all layers, a border around each upper one."""

    name: str
    layers: int
    height: float

    @property
    def growth(self) -> float:
        return (self.layers - 1) * (
            1 / 4 if self.height >= 6 else 1 / 8 if self.height >= 2 else 1 / 16
        )

    @property
    def figure(self) -> float:
        return self.height - 2 * self.growth


def affine(across: float, up: float, x: float, y: float) -> Array:
    return np.array([[across, 0, x], [0, up, y], [0, 0, 1.0]])


TURN = affine(-1, -1, 0, 0)


def corners(character: str, onto: Array) -> Array:
    left, bottom, right, top, _ = glyph(character)
    box = np.array([[left, bottom, 1], [right, bottom, 1], [right, top, 1], [left, top, 1]])
    return np.asarray((onto @ box.T).T[:, :2])


Row = tuple[tuple[str, Array], ...]


def row(text: str, cut: Element, apart: float, narrow: float) -> Row:
    """Return each inked letter and its matrix onto a row: ink centred at 0, baseline 0, y down."""
    across, up = cut.figure * narrow, cut.figure
    gap = 2 * (CARRIERS.get(cut.name, USUAL_CARRIER) + cut.growth)
    placed: list[tuple[str, Array]] = []
    pen, ink_ends = 0.0, -np.inf
    for character in unicodedata.normalize("NFC", text):
        left, _, right, _, advance = glyph(character)
        if right > left:
            pen = max(pen, ink_ends + gap - left * across)
            ink_ends = pen + right * across
            placed.append((character, affine(across, -up, pen, 0)))
        pen += advance * across + apart * cut.figure
    if not placed:
        return ()
    ends = np.concatenate([corners(c, m)[:, 0] for c, m in placed])
    middle = affine(1, 1, -(ends.min() + ends.max()) / 2, 0)
    return tuple((c, middle @ m) for c, m in placed)


def width(text: str, cut: Element, apart: float, narrow: float) -> float:
    """Return the width of all layers."""
    placed = row(text, cut, apart, narrow)
    ends = [corners(*placed[n])[:, 0] for n in (0, -1) if placed]
    return float(ends[1].max() - ends[0].min()) + 2 * cut.growth if ends else 0.0


def widest(low: float, high: float, fits: Callable[[float], bool]) -> float:
    """Return the greatest value that fits, by bisection; `low` must fit."""
    if fits(high):
        return high
    for _ in range(20):
        middle = (low + high) / 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low


def fit(text: str, cut: Element, most: float) -> tuple[float, float, bool]:
    """Return spacing and width that fit: spacing is reduced first, then width; else False."""
    if width(text, cut, 0.0, 1.0) <= most:
        apart = widest(0.0, APART.get(cut.name, 0.0), lambda a: width(text, cut, a, 1.0) <= most)
        return apart, 1.0, True
    least = NARROWEST if cut.name in ORDER else STAND_IN
    if width(text, cut, 0.0, least) <= most:
        return 0.0, widest(least, 1.0, lambda n: width(text, cut, 0.0, n) <= most), True
    return 0.0, NARROWEST, False


@dataclass(frozen=True)
class Slot:
    """An element at its place as worn: the middle of its box below the seam, and its most width."""

    cut: Element
    middle: float
    most: float

    def span(self, rise: float, drop: float) -> tuple[float, float]:
        """Return its ink's extent along the centre line, in inches from the seam."""
        half, figure = self.cut.height / 2, self.cut.figure
        return self.middle - half - rise * figure, self.middle + half + drop * figure

    def any_text(self, names: Sequence[str], own_drop: bool = False) -> tuple[float, float]:
        """Return the extent for any text: by the whole face, or by `names` if they rise higher."""
        if self.cut.name == "number":
            return self.span(*FIGURES_BEYOND)
        if self.cut.name != "name":
            return self.span(0.0, 0.0)
        used = [c for name in names for c in unicodedata.normalize("NFC", name) if c != " "]
        rise, drop = beyond(used)
        return self.span(max(rise, FACE_BEYOND[0]), drop if own_drop else FACE_BEYOND[1])


@dataclass(frozen=True)
class Room:
    top: float
    gap: float
    widest: float
    heights: Mapping[str, float]
    across: float
    least_name: float


def slots(
    pieces: Mapping[str, tuple[int, float | None]],
    where: Room,
    platen: tuple[float, float],
    names: Sequence[str],
) -> list[Slot]:
    """Return the elements of a panel from the collar down, names as low as the widest needs.

    `pieces` has layers and a written height by element. Each keeps the middle of the place it would
    have at full height.
    """
    order = sorted(pieces, key=lambda e: ORDER.index(e) if e in ORDER else len(ORDER))
    heights = {e: pieces[e][1] or where.heights.get(e) for e in order}
    guessed = [e for e in order if heights[e] is None]
    known = {e: h for e, h in heights.items() if h is not None}
    if guessed:
        first = next((e for e in ORDER if e in known), None)
        above = {"name": 0.3, "number": 0.03}[first] * known[first] if first else 0.0
        free = platen[1] - 2 * EDGE - sum(known.values()) - where.gap * (len(order) - 1) - above
        each = np.floor(free / len(guessed) / EIGHTH + HAIR) * EIGHTH
        known |= dict.fromkeys(guessed, min(3.0, max(0.5, float(each))))
    most = max(0.0, min(where.widest, platen[0] - 2 * (EDGE + abs(where.across))))
    found, top = [], where.top
    for element in order:
        full = Element(element, pieces[element][0], known[element])
        cut = full if element != "name" else lowered(full, names, most, where.least_name)
        found.append(Slot(cut, top + full.height / 2, most))
        top += full.height + where.gap
    return found


def lowered(full: Element, names: Sequence[str], most: float, least: float) -> Element:
    """Return the element lowered by eighths of an inch until every name fits."""
    height, least = full.height, min(full.height, least)
    while True:
        cut = Element(full.name, full.layers, height)
        if height <= least or all(width(n, cut, 0.0, NARROWEST) <= most for n in names):
            return cut
        height = max(least, height - EIGHTH)


Spans = Sequence[tuple[float, float]]


def cuts(spans: Spans, platen: float) -> set[int]:
    """Return after how many elements a closing ends: each takes all that its platen holds."""
    ends, start = {0}, 0
    for nth in range(1, len(spans)):
        held = spans[start : nth + 1]
        if max(low for _, low in held) - min(top for top, _ in held) > platen - 2 * EDGE:
            ends.add(nth)
            start = nth
    return ends


def seam_range(held: Spans, before: Spans, platen: float) -> tuple[float, float]:
    """Return the marks of the ruler between which the seam may lie; rounding takes an eighth."""
    least = EDGE - min(top for top, _ in held)
    most = min(USUAL_SEAM, platen - EDGE - max(low for _, low in held))
    if not before:
        return max(least, most), max(least, most)
    off = -CLEAR - max(low for _, low in before)
    wanted = max(min(most, off) if off >= least else most, least)
    return max(wanted - EIGHTH, least), wanted


def read_turned(number: str) -> str | None:
    """Return how a number reads, left to right, when turned; None if not as figures."""
    placed = row(number, Element("number", 1, 10.0), 0.0, 1.0)
    seen = sorted((corners(c, TURN @ m)[:, 0].mean(), LOOKS_TURNED.get(c)) for c, m in placed)
    figures = [figure for _, figure in seen if figure]
    return "".join(figures) if len(figures) == len(number) else None
