"""Colours: the formula against outside values, every pair, and every text as it is drawn."""

from __future__ import annotations

import pytest
from kivy.uix.widget import Widget
from station_audit import faint
from station_harness import Bench
from station_scenes import SCENES
from station_screen import screen_of
from station_tree import texts

from kiosk.station.glass.theme import (
    AMBER,
    CLOTH,
    DIM,
    INK,
    MUTED,
    NIGHT,
    PAPER,
    SLATE,
    SNOW,
    WHITE,
    Colour,
    contrast,
    film,
    from_hex,
)

PAIRS: tuple[tuple[Colour, Colour], ...] = (
    (INK, PAPER),
    (MUTED, PAPER),
    (PAPER, INK),
    (INK, WHITE),
    (MUTED, WHITE),
    (WHITE, INK),
    (INK, CLOTH),
    (SNOW, NIGHT),
    (DIM, NIGHT),
    (AMBER, NIGHT),
    (NIGHT, AMBER),
    (INK, AMBER),
    (NIGHT, SNOW),
    (SNOW, SLATE),
    (DIM, SLATE),
    (AMBER, SLATE),
)
"""Every (text, ground) pair used on the screens."""


def test_a_colour_named_in_spanish_has_a_swatch() -> None:
    assert film("Azul  MARINO") == film("navy") != film("azul") == film("blue")
    assert film("oro viejo") is not None
    assert film("arcoíris") is None


# WCAG 2.2 contrast, computed (checks.md, "Screen"); never rounded before comparing.
@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        ("#777777", "#FFFFFF", 4.4781),
        ("#767676", "#FFFFFF", 4.5422),
        ("#595959", "#FFFFFF", 7.0047),
        ("#FF0000", "#FFFFFF", 3.9985),
        ("#FF8100", "#64003A", 5.23537),
    ],
)
def test_the_contrast_formula_gives_the_known_ratios(one: str, other: str, ratio: float) -> None:
    assert contrast(from_hex(one), from_hex(other)) == pytest.approx(ratio, abs=5e-5)
    assert contrast(from_hex(other), from_hex(one)) == contrast(from_hex(one), from_hex(other))


@pytest.mark.parametrize("pair", PAIRS, ids=str)
def test_every_pair_of_text_and_ground_has_a_contrast_of_seven_to_one(
    pair: tuple[Colour, Colour],
) -> None:
    assert contrast(*pair) >= 7.0


@pytest.mark.parametrize("name", SCENES)
def test_every_text_on_the_screen_has_a_contrast_of_seven_to_one(bench: Bench, name: str) -> None:
    screen: Widget = screen_of(bench, name)
    picture = bench.pixels()
    assert list(faint(screen, picture)) == []
    if bytes((AMBER.red, AMBER.green, AMBER.blue)) in picture.data:  # clear in greyscale too
        said = " ".join(text.text for text in texts(screen))
        assert any(word in said for word in ("late", "OPEN NOW", "closed unasked")), said
