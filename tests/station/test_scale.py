"""Millimetres and letters by distance: from the screen's inches, never from Kivy's dpi."""

from __future__ import annotations

from math import hypot

import pytest
from station_harness import Bench

from kiosk.station.glass.boxes import Box, Scale, character_mm
from kiosk.station.glass.theme import INK, PAPER
from kiosk.station.glass.type import Style
from kiosk.station.glass.widgets.paint import fill
from kiosk.station.glass.widgets.text import Text

TEN = Scale((1280, 800), 10.1)
SEVEN = Scale((1024, 600), 7.0)


# H = 6.283 D arcmin / 21600 (NUREG-0700, read; checks.md, "Screen").
@pytest.mark.parametrize(
    ("arc_minutes", "metres", "millimetres"),
    [(16, 0.6, 2.792), (20, 1.0, 5.818), (22, 2.0, 12.799)],
)
def test_letters_have_the_height_their_distance_requires(
    arc_minutes: float, metres: float, millimetres: float
) -> None:
    assert character_mm(arc_minutes, metres) == pytest.approx(millimetres, abs=6e-4)


def test_a_millimetre_comes_from_the_diagonal_in_inches() -> None:
    assert hypot(*TEN.size) == pytest.approx(TEN.mm(10.1 * 25.4))  # an inch is 25.4 mm
    assert TEN.mm(10) != Scale((1280, 800), 13.3).mm(10)


def test_large_words_are_sized_for_2_m_and_on_7_inches_for_1_2_m() -> None:
    assert TEN.big == pytest.approx(TEN.mm(12.799), abs=0.01)
    assert SEVEN.big == pytest.approx(SEVEN.mm(12.799 * 1.2 / 2.0), abs=0.01)
    assert SEVEN.line / SEVEN.px_per_mm == pytest.approx(TEN.line / TEN.px_per_mm)


@pytest.mark.parametrize("bold", [True, False])
def test_a_capital_on_the_glass_is_as_tall_as_asked(bench: Bench, bold: bool) -> None:
    """Counts the rows of pixels that an H actually takes."""
    wanted = TEN.capital(22, 2.0)
    text = Text("H", Box(100, 100, 400, 300), Style(wanted, wanted, bold), INK)
    with text.canvas.before:
        fill(Box(0, 0, 1280, 800), PAPER)
    bench.show(text)
    picture = bench.pixels()
    dark = [y for y in range(800) if any(picture.at(x, y)[0] < 128 for x in range(100, 500))]
    assert len(dark) == pytest.approx(wanted, abs=1.6)  # type is set in whole pixels of the em
