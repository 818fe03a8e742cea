"""Measures fonts: `python assets/faces/make.py` writes the faces' JSON beside it.

Needs fontTools, which comes with the tests. The station reads only the JSON.
"""

from __future__ import annotations

import json
from pathlib import Path

from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

HERE = Path(__file__).resolve().parent
CUT_WIDTH = 0.8  # of the font's own width: shirt figures are narrower; our own choice
FONTS = HERE.parent / "fonts"
FACES = {
    "b612-bold": ("B612 Bold", FONTS / "b612" / "B612-Bold.otf"),
    "dejavu-condensed-bold": (
        "DejaVu Sans Condensed Bold",
        FONTS / "dejavu" / "DejaVuSansCondensed-Bold-part.ttf",
    ),
}
LICENCES = {
    "OFL.txt": "SIL Open Font License 1.1, beside the font",
    "LICENSE.txt": "Bitstream Vera licence, DejaVu changes in the public domain, beside the font",
}


def face(title: str, file: Path) -> dict[str, object]:
    """Return the face; a glyph is its ink's left, bottom, right, top and its advance, in ems."""
    font = TTFont(file)
    em = font["head"].unitsPerEm
    outlines = font.getGlyphSet()
    glyphs = {}
    for code, name in sorted(font.getBestCmap().items()):
        pen = BoundsPen(outlines)
        outlines[name].draw(pen)
        ink = pen.bounds or (0, 0, 0, 0)
        glyphs[chr(code)] = [round(value / em, 4) for value in (*ink, outlines[name].width)]
    return {
        "title": title,
        "source": file.name,
        "licence": next(text for name, text in LICENCES.items() if (file.parent / name).exists()),
        "cap_height": capital(font) / em,
        "cut_width": CUT_WIDTH,
        "glyphs": glyphs,
    }


def capital(font: TTFont) -> int:
    """Return the height of the capitals in font units, measured if the font does not state it."""
    stated = getattr(font["OS/2"], "sCapHeight", None)
    if stated:
        return int(stated)
    pen = BoundsPen(font.getGlyphSet())
    font.getGlyphSet()[font.getBestCmap()[ord("H")]].draw(pen)
    assert pen.bounds is not None
    return int(pen.bounds[3])


def text(made: dict[str, object]) -> str:
    """Return a face as JSON with one glyph a line."""
    head = {key: value for key, value in made.items() if key != "glyphs"}
    lines = [f" {json.dumps(key)}: {json.dumps(value)}," for key, value in head.items()]
    glyphs = made["glyphs"]
    assert isinstance(glyphs, dict)
    rows = [f"  {json.dumps(key)}: {json.dumps(value)}" for key, value in glyphs.items()]
    return "\n".join(["{", *lines, ' "glyphs": {', ",\n".join(rows), " }", "}", ""])


if __name__ == "__main__":
    for key, (title, file) in FACES.items():
        (HERE / f"{key}.json").write_text(text(face(title, file)), encoding="utf-8")
