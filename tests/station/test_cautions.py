"""The set-up's cautions have a frame above everything else.

Signal words follow ANSI Z535.4 as others quote it: a WARNING could injure badly, a CAUTION could
injure.
"""

from __future__ import annotations

import pytest
from kivy.core.window import Window
from station_audit import clipped
from station_harness import Bench
from station_screen import PANELS

from kiosk.station.desk.sheet import Sheet, cautions
from kiosk.station.glass.boxes import Scale
from kiosk.station.glass.screens.sheet_page import SheetPage
from kiosk.station.glass.widgets.text import CautionBox, Text
from kiosk.words import Words
from kiosk.words.speak import SET_UP

HAZARDS = {
    "burn": "burns",
    "pinch": "hands clear",
    "alone": "alone",
    "shock": "cord",
    "fumes": "fumes",
}


def _page(bench: Bench, panel: str, language: str) -> SheetPage:
    width, height, inches = PANELS[panel]
    bench.resize(width, height)
    words = Words(language)
    sheet = Sheet(title="…", lines=("…",), cautions=cautions(words, SET_UP))
    scale = Scale((width, height), inches)
    page = SheetPage(sheet, (width, height), scale, "…", bench.clock, lambda: None)
    for child in Window.children[:]:
        Window.remove_widget(child)
    Window.add_widget(page)
    return page


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
def test_every_caution_is_whole_and_above_everything_else(
    bench: Bench, panel: str, language: str
) -> None:
    page = _page(bench, panel, language)
    box = next(child for child in page.children if isinstance(child, CautionBox))
    said = {text.text for text in box.children if isinstance(text, Text)}
    for signal, text in cautions(Words(language), SET_UP):
        assert {signal, text} <= said
    others = [child for child in page.children if isinstance(child, Text)]
    assert others
    assert all(other.ink.top <= box.box.y for other in others)
    assert list(clipped(page)) == []
    least = page.scale.small
    assert all(text.fitted.share == 1.0 for text in box.children if text.style.least == least)


def test_the_set_up_warns_of_burns_pinching_shock_fumes_and_a_press_left_alone() -> None:
    for (_, text), word in zip(cautions(Words("en"), SET_UP), HAZARDS.values(), strict=True):
        assert word in text
    alone = dict(zip(HAZARDS, (text for _, text in cautions(Words("en"), SET_UP)), strict=True))
    assert "fire" in alone["alone"]  # things left in a closed hot press burn: common practice
    assert "burned" in alone["fumes"]
    assert {signal for signal, _ in cautions(Words("en"), SET_UP)} == {"WARNING", "CAUTION"}
