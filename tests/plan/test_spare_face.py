"""Letters that the first face lacks: measured by a second face, and boxed if no face has them.

The spare face is compared with its font's own outlines, as measured by fontTools.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from pathlib import Path

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from place_samples import FACE, back

from kiosk.catalog.rules.faces import SPARE_FACE, all_characters, read_face
from kiosk.plan.place.fitting import AS_CUT, ElementCut, TextFit, breadth, letters

FONTS = Path(__file__).resolve().parents[2] / "assets" / "fonts" / "dejavu"
PART = FONTS / "DejaVuSansCondensed-Bold-part.ttf"
SPARE = read_face(SPARE_FACE)
NAME = ElementCut("name", 2.5, 1, 99.0)
WITHIN = 0.02  # inches


@lru_cache(maxsize=1)
def font() -> TTFont:
    return TTFont(PART)


def bounds(character: str) -> tuple[float, float, float, float]:
    """Return left, bottom, right and top of a glyph's ink in the font's units."""
    name, glyphs = font().getBestCmap()[ord(character)], font().getGlyphSet()
    pen = BoundsPen(glyphs)
    glyphs[name].draw(pen)
    assert pen.bounds is not None
    left, bottom, right, top = map(float, pen.bounds)
    return left, bottom, right, top


def test_every_letter_of_europes_alphabets_is_measured() -> None:
    """Latin Extended-A, modern Greek and the Cyrillic of the Slavic languages (Unicode blocks)."""
    letters = [chr(code) for code in (*range(0x100, 0x180), *range(0x400, 0x460))]
    letters += [c for c in map(chr, range(0x386, 0x3CF)) if unicodedata.category(c) in {"Lu", "Ll"}]
    assert [c for c in letters if FACE.holder(c) is None] == []


@pytest.mark.parametrize("height", [1.0, 2.5])
def test_a_spare_letters_ink_matches_its_fonts_outline(height: float) -> None:
    capital = bounds("H")[3]
    spare_letters = [c for c in SPARE.glyphs if c not in FACE.glyphs]
    assert {*"ŁČĞŐЖЯΆű"} <= set(spare_letters)
    for character in spare_letters:
        (ink,) = letters(character, FACE, ElementCut("name", height, 1, 99.0), AS_CUT)
        left, bottom, right, top = (value / capital for value in bounds(character))
        assert ink.known
        assert ink.width == pytest.approx((right - left) * SPARE.width * height, abs=WITHIN)
        assert ink.height == pytest.approx((top - bottom) * height, abs=WITHIN), character
        assert ink.y == pytest.approx((top + bottom) / 2 * height, abs=WITHIN), character


def test_a_letter_in_both_faces_comes_from_the_first() -> None:
    assert FACE.holder("H") is FACE
    assert FACE.holder("Ж") is FACE.spare


@pytest.mark.parametrize("character", ["Ł", "Ж", "И"])
def test_a_spare_letter_is_not_measured_as_an_h(character: str) -> None:
    wide, h = (breadth(c, FACE, NAME, TextFit(0.0, 1.0)) for c in (character, "H"))
    assert wide != pytest.approx(h, abs=0.01)


@pytest.mark.parametrize("text", ["中", "م", "अ", "X\u030c"])
def test_a_letter_in_no_face_is_marked_unknown(text: str) -> None:
    ink = letters(f"A{text}B", FACE, NAME, AS_CUT)
    assert [each.known for each in ink] == [True, False, True]
    assert ink[1].character == text


def test_the_layout_marks_the_letters_drawn_as_boxes() -> None:
    (name, _) = back("KO中A").boxes
    assert [each.known for each in name.letters] == [True, True, False, True]


def test_marks_stay_on_their_letters() -> None:
    assert all_characters("X\u030cA\u0301 B") == ["X\u030c", "Á", " ", "B"]


def test_the_licence_is_beside_the_font_and_the_notice_in_it() -> None:
    text = (FONTS / "LICENSE.txt").read_text("utf-8")
    assert "DejaVu changes are in public domain" in text
    assert "Permission is hereby granted, free of charge" in text
    notices = {record.nameID: str(record) for record in font()["name"].names}
    assert "Bitstream" in notices[0]
    assert PART.stat().st_size < 120_000
