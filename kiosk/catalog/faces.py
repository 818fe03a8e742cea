"""Faces that names and numbers are cut in: the ink of each glyph, read from assets/faces."""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

FACES = Path(__file__).resolve().parents[2] / "assets" / "faces"
OUR_FACE = "b612-bold"
LACKING = "H"  # a character that the face lacks takes as much room as this one


@dataclass(frozen=True, slots=True)
class Glyph:
    """A glyph's box of ink and its advance; x from its origin, y up from the baseline."""

    left: float
    bottom: float
    right: float
    top: float
    advance: float


@dataclass(frozen=True, slots=True, eq=False)
class Face:
    """A face as it is cut: all lengths are shares of a capital's height.

    `width` is how wide the cut is, of the font's own outlines; the glyphs have it already.
    `capital` is the height of the font's capitals in ems.
    `rise` is how far a letter with its accent may stand above a capital, `drop` how far one
    may hang below the baseline.
    """

    title: str
    width: float
    capital: float
    glyphs: Mapping[str, Glyph]
    rise: float
    drop: float

    def glyph(self, character: str) -> Glyph:
        """Return the glyph of a character, accent and all; of another one where it lacks it."""
        composed = unicodedata.normalize("NFC", character)
        return self.glyphs.get(composed) or self.glyphs.get(composed[:1]) or self.glyphs[LACKING]


def face_of(data: Mapping[str, object]) -> Face:
    """Return the face that a JSON file of assets/faces holds (ems there, capitals here)."""
    capital, width, rows = data["cap_height"], data["cut_width"], data["glyphs"]
    assert isinstance(capital, float)
    assert isinstance(width, float)
    assert isinstance(rows, dict)
    across, up = width / capital, 1 / capital
    glyphs = {
        text: Glyph(left * across, bottom * up, right * across, top * up, advance * across)
        for text, (left, bottom, right, top, advance) in rows.items()
    }
    letters = [glyph for text, glyph in glyphs.items() if text.isalpha()]
    return Face(
        title=str(data["title"]),
        width=width,
        capital=capital,
        glyphs=glyphs,
        rise=max(glyph.top for glyph in letters) - 1,
        drop=-min(glyph.bottom for glyph in letters),
    )


@lru_cache(maxsize=4)
def read_face(key: str = OUR_FACE) -> Face:
    """Return a face that comes with the program; OSError for a key that none has."""
    return face_of(json.loads((FACES / f"{key}.json").read_text(encoding="utf-8")))
