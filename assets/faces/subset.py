"""Cuts a font down to the letters that the first face lacks: `python assets/faces/subset.py FONT`.

FONT is DejaVuSansCondensed-Bold.ttf, version 2.37, as its makers publish it. What is written is
assets/fonts/dejavu/DejaVuSansCondensed-Bold-part.ttf, which the station draws with and
`make.py` measures. Needs fontTools.
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


def lacking(source: TTFont) -> list[int]:
    """Return the letters of BLOCKS that `source` has and the first face has not."""
    own = TTFont(FIRST).getBestCmap()
    wanted = (code for low, high in BLOCKS for code in range(low, high + 1))
    return [
        code
        for code in wanted
        if code in source.getBestCmap()
        and code not in own
        and unicodedata.category(chr(code)).startswith("L")
        and unicodedata.is_normalized("NFC", chr(code))  # others are looked up as what they mean
    ]


def main(path: str) -> None:
    """Write the part of the font at `path`."""
    source = TTFont(path)
    options = Options()
    options.hinting = False
    options.layout_features = []
    options.name_IDs = ["*"]  # copyright and licence stay with it
    options.notdef_outline = True
    options.drop_tables += ["FFTM"]  # when its editor saved it
    cutter = Subsetter(options)
    cutter.populate(unicodes=[ord("H"), *lacking(source)])  # H tells the height of its capitals
    cutter.subset(source)
    source.save(PART)


if __name__ == "__main__":
    main(sys.argv[1])
