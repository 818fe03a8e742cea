"""The station's face, and text fitted into boxes: shrunk to its least size, wrapped, narrowed.

Sizes are heights of a capital in pixels, because distance rules are stated that way.
"""

import re
from collections.abc import Sequence
from functools import lru_cache
from math import floor
from pathlib import Path
from typing import Any, NamedTuple

from kivy.core.text import Label as CoreLabel

from kiosk.catalog.rules import face_characters

FONTS = Path(__file__).resolve().parents[3] / "assets" / "fonts" / "b612"
REGULAR = str(FONTS / "B612-Regular.otf")
BOLD = str(FONTS / "B612-Bold.otf")
SPARE = str(FONTS.parent / "dejavu" / "DejaVuSansCondensed-Bold-part.ttf")

# Of the em, measured in the font's outlines.
CAPITAL = 0.763
ASCENT = 0.96
TOP = 0.82  # room kept above the baseline; an accent on a capital uses the gap above
DESCENT = 0.26
ROUND = 0.03  # how far a round figure overshoots a straight one
PITCH = 1.06  # from baseline to baseline

MEASURED_AT = 100
NARROWEST = 0.86  # of a letter's own width; beyond this its height shrinks


class Style(NamedTuple):
    """How large a text can be: capitals of `least` to `most` pixels, on at most `rows` rows."""

    least: float
    most: float
    bold: bool = False
    rows: int = 9


class FittedText(NamedTuple):
    """A text broken into rows at `em` pixels.

    `narrow` below 1 sets the letters narrower; `share` below 1 is the part of its least height that
    the text kept, the last resort.
    """

    rows: tuple[str, ...]
    em: int
    width: float
    height: float
    narrow: float = 1.0
    share: float = 1.0


def face(bold: bool, text: str = "") -> str:
    """Return the face's font file, or the spare one if the face lacks a letter of the text."""
    if not text.isascii() and not _drawable().issuperset(text):
        return SPARE
    return BOLD if bold else REGULAR


@lru_cache(maxsize=1)
def _drawable() -> frozenset[str]:
    """Return the characters that the face has, and the blanks that draw nothing."""
    return face_characters() | {"\n", NO_BREAK}


@lru_cache(maxsize=4096)
def breadth(text: str, bold: bool) -> float:
    """Return the width of a row of text in ems."""
    return float(_measure(face(bold, text)).get_extents(text)[0]) / MEASURED_AT if text else 0.0


@lru_cache(maxsize=3)
def _measure(font: str) -> Any:  # Kivy's label has no types
    label = CoreLabel(font_name=font, font_size=MEASURED_AT)
    label.resolve_font_name()
    return label


def height(rows: int, em: float) -> float:
    """Return the height in pixels of a block of rows."""
    return (TOP + DESCENT + PITCH * (rows - 1)) * em if rows else 0.0


NO_BREAK = "\u00a0"  # a space at which no row ends


_UNIT = r"(?<=\d) (?=(?:°[FC]|%|s|in|mm|min)(?![\w.]))"  # joined to the number before it
_PART = r"(?<=\d) (?=(?:of|de) \d)|(?<=\d of) (?=\d)|(?<=\d de) (?=\d)"
_NAMED = r"(?:(?<=[^\W\d])|(?<=[^\W\d]:)) (?=\d{1,3}(?:[,:;.)?]| ·|$))"  # "number 31, peel"
_JOINED = re.compile(rf"{_UNIT}|{_PART}|{_NAMED}| (?=· )")


@lru_cache(maxsize=1024)
def _words(text: str) -> tuple[str, ...]:
    """Return the words between which a row may end, never before a dot or within a figure.

    A unit stays beside its number, as do the parts of "3 of 11", and a number beside its word.
    """
    joined = _JOINED.sub(NO_BREAK, text.replace("\n", " "))
    return tuple(word for word in joined.split(" ") if word)


DOT = f"{NO_BREAK}·"  # between two facts of a row


def wrap(text: str, bold: bool, ems: float) -> tuple[str, ...]:
    """Break `text` into rows of at most `ems` width; a single longer word stays whole.

    Bold rows, which are read at a glance, end without a dot: the break says as much.
    """
    rows: list[str] = []
    for paragraph in text.split("\n"):
        row = ""
        for word in _words(paragraph):
            longer = f"{row} {word}" if row else word
            if row and breadth(longer, bold) > ems:
                rows.append(row.removesuffix(DOT) if bold else row)
                row = word
            else:
                row = longer
        rows.append(row)
    return tuple(rows)


@lru_cache(maxsize=1024)
def balanced(text: str, bold: bool, rows: int) -> tuple[float, tuple[str, ...]]:
    """Return the least width in ems at which `text` takes at most `rows` rows, and the rows."""
    words = _words(text)
    if not words:
        return 0.0, ()
    low = max(breadth(word, bold) for word in words)
    high = max(breadth(line, bold) for line in text.split("\n"))
    if rows > 1 and len(wrap(text, bold, low)) <= rows:
        high = low
    for _ in range(14 if rows > 1 else 0):
        middle = (low + high) / 2
        if len(wrap(text, bold, middle)) <= rows:
            high = middle
        else:
            low = middle
    broken = wrap(text, bold, high)
    return max(breadth(row, bold) for row in broken), broken


@lru_cache(maxsize=2048)  # one screen differs from the last in a few texts only
def fit(text: str, style: Style, width: float, room: float) -> FittedText:
    """Fit `text` into `width` by `room` pixels, on as few rows as its least size allows."""
    most = FittedText((), 1, 0.0, 0.0, share=0.0)
    for narrow in (1.0, NARROWEST):
        em, rows = _largest(text, style, width / narrow, room)
        most = _fitted(rows, em, style, narrow)
        if most.share == 1.0:
            break
    return most


def _largest(text: str, style: Style, width: float, room: float) -> tuple[float, tuple[str, ...]]:
    best: tuple[float, tuple[str, ...]] = (0.0, ())
    for rows in range(text.count("\n") + 1, min(style.rows, max(1, len(_words(text)))) + 1):
        ems, broken = balanced(text, style.bold, rows)
        em = min(
            style.most / CAPITAL,
            room / (TOP + DESCENT + PITCH * (len(broken) - 1)),
            width / ems if ems else style.most / CAPITAL,
        )
        if em > best[0] + 0.01:
            best = (em, broken)
        if em >= style.least / CAPITAL - 0.01:
            break
    return best


def _fitted(rows: tuple[str, ...], em: float, style: Style, narrow: float) -> FittedText:
    set_em = whole(em)
    wide = max((breadth(row, style.bold) for row in rows), default=0.0) * set_em * narrow
    least = style.least / CAPITAL
    share = 1.0 if not rows or em >= least - 1.0 else em / least  # a pixel is rounding
    return FittedText(rows, set_em, wide, height(len(rows), set_em), narrow, share)


def whole(em: float) -> int:
    """Return the whole pixels that letters are set at."""
    return max(1, floor(em + 0.01))


class TextBlock(NamedTuple):
    """One text of a column, with `gap` free pixels below it.

    One that `keeps` its least height is never made smaller to make room for the others.
    """

    text: str
    style: Style
    gap: float = 0.0
    keeps: bool = False


GROWN = (1.0, 0.85, 0.7, 0.55, 0.4, 0.25, 0.12, 0.0)  # from the least size to the most
NARROWS = (0.95, 0.9, NARROWEST)
SHARES = (0.97, 0.94, 0.91, 0.88, 0.85, 0.82, 0.79, 0.76, 0.73, 0.7, 0.64, 0.58, 0.5, 0.4, 0.3, 0.2)
TRIES = (
    *((grown, 1.0, 1.0) for grown in GROWN),
    *((0.0, narrow, 1.0) for narrow in NARROWS),
    *((0.0, NARROWEST, share) for share in SHARES),
)


def column(
    blocks: Sequence[TextBlock], width: float, room: float
) -> tuple[tuple[FittedText, ...], float]:
    """Fit blocks one below the other into `width` by `room`; all grow and shrink alike.

    If they do not fit at their least sizes, letters are first set narrower, then smaller. Return
    the fitted texts, and the share of their least sizes that they kept (1 if they fit).
    """
    return _column(tuple(blocks), width, room)


@lru_cache(maxsize=1024)
def _column(
    blocks: tuple[TextBlock, ...], width: float, room: float
) -> tuple[tuple[FittedText, ...], float]:
    for grown, narrow, share in TRIES:
        if share != SHARES[-1] and _least(blocks, grown, share) > room + 0.5:
            continue
        fitted = _fit_at(blocks, width, grown, narrow, share)
        if fits(fitted, blocks, width, room):
            break
    return fitted, share


def _least(blocks: Sequence[TextBlock], grown: float, share: float) -> float:
    """Return the least height of the blocks with their gaps: one row each."""
    with_text = [block for block in blocks if block.text.strip(" \n")]
    rows = sum(height(1, whole(_em(block, grown, share))) for block in with_text)
    return rows + sum(block.gap for block in blocks[:-1])


def fits(
    fitted: Sequence[FittedText], blocks: Sequence[TextBlock], width: float, room: float
) -> bool:
    """Return whether fitted blocks with their gaps stay inside `width` by `room`."""
    gaps = sum(block.gap for block in blocks[:-1])
    return (
        sum(each.height for each in fitted) + gaps <= room + 0.5
        and max((each.width for each in fitted), default=0.0) <= width + 0.5
    )


def _fit_at(
    blocks: Sequence[TextBlock], width: float, grown: float, narrow: float, share: float
) -> tuple[FittedText, ...]:
    found = []
    for block in blocks:
        own_share = 1.0 if block.keeps else share
        em = _em(block, grown, share)
        found.append(_wrapped(block.text, block.style.bold, width, em, narrow, own_share))
    return tuple(found)


def _em(block: TextBlock, grown: float, share: float) -> float:
    style, own_share = block.style, 1.0 if block.keeps else share
    return own_share * (style.least + (style.most - style.least) * grown) / CAPITAL


@lru_cache(maxsize=4096)
def _wrapped(
    text: str, bold: bool, width: float, em: float, narrow: float, share: float
) -> FittedText:
    em = whole(em)
    needed = len(wrap(text, bold, width / em / narrow))
    ems, rows = balanced(text, bold, needed)
    return FittedText(rows, em, ems * em * narrow, height(len(rows), em), narrow, share)
