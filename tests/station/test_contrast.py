"""Colours: the formula against outside values, every pair, and every text as it is drawn."""

from __future__ import annotations

from collections import Counter

import pytest
from kivy.uix.widget import Widget
from station_harness import Bench, Picture
from station_scenes import SCENES
from station_screen import screen_of
from station_tree import texts

from kiosk.station.theme import PAIRS, Colour, contrast, from_hex
from kiosk.station.widgets.text import Text

WHITE = from_hex("#FFFFFF")


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
def test_every_pair_of_text_and_ground_has_seven_to_one(pair: tuple[Colour, Colour]) -> None:
    assert contrast(*pair) >= 7.0


def ground(picture: Picture, text: Text) -> Colour:
    """The commonest colour in the rim of a text's box: what it stands on."""
    box = text.ink.inset(-1)
    xs = [box.x + box.w * i / 40 for i in range(41)]
    ys = [box.y + box.h * i / 12 for i in range(13)]
    rim = [(x, y) for x in xs for y in (box.y, box.top)] + [(x, y) for y in ys for x in (box.x,)]
    inside = [(x, y) for x, y in rim if 0 <= x < picture.wide and 0 <= y < picture.high]
    return Colour(*Counter(picture.at(x, y) for x, y in inside).most_common(1)[0][0])


@pytest.mark.parametrize("name", SCENES)
def test_every_text_on_the_screen_has_seven_to_one(bench: Bench, name: str) -> None:
    screen: Widget = screen_of(bench, name)
    picture = bench.pixels()
    for text in texts(screen):
        if text.text and text.fitted.em > 14:  # what is smaller is part of a figure
            assert contrast(text.colour, ground(picture, text)) >= 7.0, text.text
