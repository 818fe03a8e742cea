"""Recognizes art on the screen: which letter of the font a blob of one colour is, and how it lies.

The letters are the font's own outlines as FreeType reads them (matplotlib), turned and mirrored in
all eight ways; nothing of the program's drawing, layout or glyph table is used.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
from matplotlib.font_manager import FontProperties
from matplotlib.path import Path as Contour
from matplotlib.textpath import TextPath
from numpy.typing import NDArray
from station_harness import Picture

from kiosk.station.glass.boxes import Box

FONT = Path(__file__).resolve().parents[2] / "assets" / "fonts" / "b612" / "B612-Bold.otf"
FINE = 40  # cells along each side of a blob's grid
CLEAR = 0.04  # least difference at which an eye tells two letters apart

Mask = NDArray[np.bool_]


class Way(NamedTuple):
    """How a letter lies: first mirrored left to right, then turned left by quarters."""

    quarters: int
    mirrored: bool


UPRIGHT, TURNED = Way(0, False), Way(2, False)
WAYS = [Way(quarters, mirrored) for quarters in range(4) for mirrored in (False, True)]


class Blob(NamedTuple):
    """Connected columns of one colour: its pixels and its extent."""

    left: int
    right: int
    low: int
    top: int
    mask: Mask  # rows from the top, as in a picture


def blobs(picture: Picture, colour: Sequence[int], around: Sequence[Box]) -> list[Blob]:
    """Return the blobs of `colour` in some boxes, divided at empty columns, from left to right."""
    whole = np.frombuffer(picture.data, np.uint8).reshape(picture.high, picture.wide, 3)
    return [each for box in around for each in _of_box(whole, colour, box)]


def _of_box(whole: NDArray[np.uint8], colour: Sequence[int], box: Box) -> Iterator[Blob]:
    x, y = max(0, int(box.x)), max(0, int(box.y))
    part = whole[y : int(box.top) + 1, x : int(box.right) + 1]
    marked = (part == np.array(colour, np.uint8)).all(axis=2)
    for left, right in _runs(marked.any(axis=0)):
        low, top = _ends(marked[:, left : right + 1].any(axis=1))
        if right - left > 2 and top - low > 4:  # no dust
            mask = marked[low : top + 1, left : right + 1][::-1]
            yield Blob(x + left, x + right, y + low, y + top, mask)


def span(found: Sequence[Blob]) -> tuple[int, int]:
    """Return the left and right end of blobs; 0, 0 for none."""
    return (found[0].left, found[-1].right) if found else (0, 0)


def _runs(there: Mask) -> Iterator[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.concatenate(([0], there.astype(np.int8), [0]))))
    yield from ((int(a), int(b) - 1) for a, b in zip(edges[::2], edges[1::2], strict=True))


def _ends(there: Mask) -> tuple[int, int]:
    found = np.flatnonzero(there)
    return int(found[0]), int(found[-1])


@cache
def outline(character: str, way: Way) -> Mask:
    """Return the font's letter lying in one of eight ways, its ink box as FINE by FINE cells."""
    path = TextPath((0, 0), character, size=100, prop=FontProperties(fname=FONT))
    box = path.get_extents()
    xs = np.linspace(box.x0, box.x1, 2 * FINE + 1)[1::2]
    ys = np.linspace(box.y1, box.y0, 2 * FINE + 1)[1::2]  # from the top
    grid = np.array([(x, y) for y in ys for x in xs])
    inside = np.zeros(len(grid), bool)
    for contour in path.to_polygons():
        inside ^= Contour(contour).contains_points(grid)
    mask = inside.reshape(FINE, FINE)
    return np.rot90(mask[:, ::-1] if way.mirrored else mask, way.quarters)


def likeness(blob: Blob, character: str, way: Way) -> float:
    """Return the share of ink that a blob and a letter have in common, 0..1."""
    rows = np.linspace(0, blob.mask.shape[0] - 1, FINE).round().astype(int)
    columns = np.linspace(0, blob.mask.shape[1] - 1, FINE).round().astype(int)
    seen, expected = blob.mask[np.ix_(rows, columns)], outline(character, way)
    return float((seen & expected).sum() / (seen | expected).sum())


def alike(one: Mask, other: Mask) -> float:
    """Return the share of ink that two letters have in common, 0..1."""
    return float((one & other).sum() / (one | other).sum())


def assert_lies(blob: Blob, character: str, way: Way, least: float = 0.6) -> None:
    """Assert that a blob is a letter lying this way, and no way that looks different."""
    seen = likeness(blob, character, way)
    assert seen > least, (character, way, seen)
    expected = outline(character, way)
    for other in WAYS:
        if alike(expected, outline(character, other)) < 1 - CLEAR:
            assert likeness(blob, character, other) < seen, (character, way, other)


def read(blob: Blob, way: Way, among: str) -> str:
    """Return which of some letters a blob is, given how it lies."""
    return max(among, key=lambda character: likeness(blob, character, way))


def capital() -> float:
    """Return the height of a capital in the font at size 100."""
    return float(TextPath((0, 0), "E", size=100, prop=FontProperties(fname=FONT)).get_extents().y1)
