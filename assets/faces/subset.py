"""Cuts a font down to the letters of the first face and more: `python assets/faces/subset.py FONT`.

FONT is DejaVuSansCondensed-Bold.ttf, version 2.37, as its makers publish it. Writes
assets/fonts/dejavu/DejaVuSansCondensed-Bold-part.ttf, which the station draws with and `make.py`
measures. Needs fontTools.
"""

from __future__ import annotations

import sys
import unicodedata
from pathlib import Path

from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

FONTS = Path(__file__).resolve().parents[1] / "fonts"
FIRST = FONTS / "b612" / "B612-Bold.otf"
PART = FONTS / "dejavu" / "DejaVuSansCondensed-Bold-part.ttf"
BLOCKS = (
    (0x00C0, 0x024F),  # Latin-1 letters, Latin Extended-A and -B
    (0x02BC, 0x02BC),  # the apostrophe that is a letter
    (0x0370, 0x03FF),  # Greek
    (0x0400, 0x052F),  # Cyrillic and its supplement
    (0x1E00, 0x1EFF),  # Latin Extended Additional
)


def kept(source: TTFont) -> list[int]:
    """Return the letters of BLOCKS that `source` has, and those of the first face.

    A row with one letter that the first face lacks is written in the second face alone.
    """
    wanted = {code for low, high in BLOCKS for code in range(low, high + 1)}
    letters = {code for code in wanted if unicodedata.category(chr(code)).startswith("L")}
    every = letters | TTFont(FIRST).getBestCmap().keys()
    # Characters that NFC changes are looked up in their normal form.
    return sorted(
        code
        for code in every & source.getBestCmap().keys()
        if unicodedata.is_normalized("NFC", chr(code))
    )


def main(path: str) -> None:
    """Write the part of the font at `path`."""
    source = TTFont(path)
    options = Options()
    options.hinting = False
    options.layout_features = []
    options.name_IDs = ["*"]  # copyright and licence stay in it
    options.notdef_outline = True
    options.drop_tables += ["FFTM"]  # the time when its editor saved it
    cutter = Subsetter(options)
    cutter.populate(unicodes=kept(source))
    cutter.subset(source)
    source.save(PART)


if __name__ == "__main__":
    main(sys.argv[1])
