"""The faces that names and numbers are cut in: glyph sizes, read from assets/faces."""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

from kiosk.catalog.base import dataclass

FACES = Path(__file__).resolve().parents[3] / "assets" / "faces"
OUR_FACE = "b612-bold"
SPARE_FACE = "dejavu-condensed-bold"  # for letters that OUR_FACE lacks; about as wide
LACKING = "H"  # stands in for the width of a character that both lack; those are asked about


@dataclass(frozen=True, slots=True)
class Glyph:
    """A glyph's ink box and advance; x from its origin, y up from the baseline."""

    left: float
    bottom: float
    right: float
    top: float
    advance: float


@dataclass(frozen=True, slots=True, eq=False)
class Face:
    """A face as it is cut; lengths are in units of a capital's height.

    `width` is the cut's width as a share of the font's outlines, already applied to the glyphs.
    `capital` is the height of the font's capitals in ems. `rise` is the farthest that a letter
    with an accent reaches above a capital, `drop` the farthest below the baseline. `spare` has
    letters that this face lacks.
    """

    title: str
    width: float
    capital: float
    glyphs: Mapping[str, Glyph]
    rise: float
    drop: float

    spare: Face | None = None

    def glyph(self, character: str) -> Glyph:
        """Return a character's glyph from this face or the spare one, else that of LACKING."""
        composed = unicodedata.normalize("NFC", character)
        holder = self.holder(composed)
        return self.glyphs[LACKING] if holder is None else holder.glyphs[composed]

    def holder(self, character: str) -> Face | None:
        """Return the face that has a character, or None if this and the spare face lack it."""
        composed = unicodedata.normalize("NFC", character)
        if composed in self.glyphs:
            return self
        return self.spare.holder(composed) if self.spare is not None else None


def all_characters(text: str) -> list[str]:
    """Return the characters of a text, blanks too, each with its combining marks."""
    found: list[str] = []
    for character in unicodedata.normalize("NFC", text):
        if unicodedata.combining(character) and found:
            found[-1] += character
        else:
            found.append(character)
    return found


def face_of(data: Mapping[str, object], spare: Face | None = None) -> Face:
    """Return the face in a JSON file of assets/faces, converted from ems to capital heights."""
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
        spare=spare,
    )


@lru_cache(maxsize=4)
def read_face(key: str = OUR_FACE) -> Face:
    """Return a built-in face with the spare face behind it; raises OSError if unknown."""
    return face_of(_data(key), None if key == SPARE_FACE else read_face(SPARE_FACE))


def face_characters(key: str = OUR_FACE) -> frozenset[str]:
    """Return the characters that a face itself has; raises OSError if it is unknown."""
    glyphs = _data(key)["glyphs"]
    assert isinstance(glyphs, dict)
    return frozenset(glyphs)


def _data(key: str) -> dict[str, object]:
    data: dict[str, object] = json.loads((FACES / f"{key}.json").read_text(encoding="utf-8"))
    return data
