"""Names on pages and beside moves: a letter missing in the face is still drawn."""

from __future__ import annotations

from itertools import combinations

import pytest
from fontTools.ttLib import TTFont
from station_harness import Bench

from kiosk.station.glass.type import BOLD, SPARE, breadth, face
from kiosk.station.glass.widgets.paint import texture


def test_a_row_with_a_letter_the_face_lacks_uses_the_spare_face() -> None:
    lacking = [c for c in "ŁČĞŐЖ" if ord(c) not in TTFont(BOLD).getBestCmap()]
    assert lacking == [*"ŁČĞŐЖ"]
    assert all(face(True, f"A{letter}Ñ") == SPARE for letter in lacking)
    for text in ("MUÑERA", "284 °F", "ΝΙΚΟΣ", "a\nb", "a\u00a0b"):
        assert face(True, text) == BOLD


def test_letters_the_face_lacks_look_different_from_each_other(bench: Bench) -> None:
    drawn = [bytes(texture(letter, True, 60).pixels) for letter in "ŁČŻЖИ"]
    assert all(one != other for one, other in combinations(drawn, 2))


@pytest.mark.parametrize("text", ["ŁĄCZ", "ИВАНОВ"])
def test_a_row_in_the_spare_face_is_as_wide_as_its_font_says(text: str) -> None:
    font = TTFont(SPARE)
    names, widths = font.getBestCmap(), font["hmtx"]
    advance = sum(widths[names[ord(c)]][0] for c in text) / font["head"].unitsPerEm
    assert breadth(text, True) == pytest.approx(advance, abs=0.05)
